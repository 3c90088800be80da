"""Two drawings compared from the command line: words, JSON, picture, exit codes, and files at fault."""

import json

import pytest
from click.testing import CliRunner

from gasketcut.cli import main
from tests.received.drawn import circle, dxf, line, plate, polyline, text

INCH = "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$INSUNITS\n70\n1\n0\nENDSEC\n"
NONE = "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n0\nENDSEC\n"
HOLES = [circle(10, 10, 4), circle(70, 10, 4), circle(70, 40, 4), circle(10, 40, 4), circle(30, 22, 9)]
FIRST = dxf(plate(0, 0, 80, 50), *HOLES)
TURNED = polyline((100, 0), (100, 80), (50, 80), (50, 0))  # a quarter turn to the left, then 100 to the right
SECOND = dxf(TURNED, circle(90, 10, 4), circle(90, 70, 4), circle(60, 70, 4), circle(60, 10, 4), circle(78, 30, 9))
MOVED = dxf(TURNED, circle(90, 10, 4), circle(90, 70, 4.25), circle(60, 70, 4), circle(60.3, 10, 4), circle(78, 30, 9),
            circle(75, 60, 2))  # fmt: skip


@pytest.fixture
def run(tmp_path):
    def run(first, second, *options):
        names = []
        for name, data in (("a.dxf", first), ("b.dxf", second)):
            (tmp_path / name).write_bytes(data)
            names.append(str(tmp_path / name))
        return CliRunner().invoke(main, ["compare", *names, *options])

    return run


def test_the_same(run):
    said = run(FIRST, SECOND)
    assert said.exit_code == 0, said.output
    assert "SAME: nothing is off by more than 0.10 mm (0.004 in)." in said.output
    assert "b.dxf is a.dxf turned by 90.000 deg, moved by (100.000, 0.000) mm" in said.output
    assert "5 of 5 holes are the same in place and size" in said.output


def test_what_differs_in_words(run):
    said = run(FIRST, MOVED)
    assert said.exit_code == 1
    assert said.output.startswith("NOT THE SAME within 0.10 mm (0.004 in).")
    assert "hole at (10.000, 40.000): moved by 0.300 mm (0.0118 in)" in said.output
    assert "hole at (70.000, 10.000): 8.000 mm (0.3150 in) in diameter, now 8.500 mm (0.3346 in)" in said.output
    assert "only in b.dxf: a hole of 4.00 mm (0.157 in) at (60.000, 25.000)" in said.output
    assert run(FIRST, MOVED, "--within", "0.4mm").exit_code == 1  # one hole too many


def test_what_differs_as_data(run):
    said = run(FIRST, MOVED, "--json")
    assert said.exit_code == 1
    data = json.loads(said.output)
    assert (data["same"], data["mirrored"], data["within_mm"]) == (False, False, 0.1)
    assert data["largest_mm"] == pytest.approx(0.3, abs=0.001)
    assert data["at"] == pytest.approx([10.0, 35.7], abs=0.001)
    assert (data["turn_deg"], data["shift_mm"]) == (pytest.approx(90, abs=1e-3), pytest.approx([100, 0], abs=1e-3))
    holes = {tuple(one["at"]): one for one in data["holes"]}
    assert holes[10.0, 40.0]["moved_mm"] == pytest.approx(0.3, abs=0.001)
    assert holes[70.0, 10.0]["diameter_mm"] == [8.0, 8.5]
    assert holes[10.0, 10.0]["moved_mm"] == pytest.approx(0, abs=0.001)
    assert data["missing"] == []
    (extra,) = data["extra"]
    assert (extra["what"], extra["diameter_mm"]) == ("hole", 4.0)
    assert extra["at"] == pytest.approx([60, 25], abs=1e-3)
    back = json.loads(run(MOVED, FIRST, "--json").output)
    assert (len(back["missing"]), back["extra"]) == (1, [])


def test_a_mirror_image_is_told_as_one(run):
    over = dxf(plate(-80, 0, 80, 50), *(circle(-x, y, r) for x, y, r in
               ((10, 10, 4), (70, 10, 4), (70, 40, 4), (10, 40, 4), (30, 22, 9))))  # fmt: skip
    said = run(FIRST, over)
    assert said.exit_code == 1
    assert "NOT THE SAME: mirror image; otherwise the same within 0.000 mm (0.0000 in)." in said.output
    assert json.loads(run(FIRST, over, "--json").output)["mirrored"] is True


def test_in_inches_and_in_millimetres(run):
    inch = dxf(plate(0, 0, 80 / 25.4, 50 / 25.4), *(circle(x / 25.4, y / 25.4, r / 25.4) for x, y, r in
               ((10, 10, 4), (70, 10, 4), (70, 40, 4), (10, 40, 4), (30, 22, 9))), header=INCH)  # fmt: skip
    assert run(FIRST, inch).exit_code == 0
    assert run(inch, FIRST).exit_code == 0


def test_units_are_said_for_one_or_for_both(run):
    bare = dxf(plate(0, 0, 80, 50), *HOLES, header=NONE)
    asked = run(FIRST, bare)
    assert asked.exit_code == 2
    assert "no unit is declared" in asked.output
    assert run(FIRST, bare, "--units-b", "mm").exit_code == 0
    assert run(bare, bare, "--units", "mm").exit_code == 0
    assert run(bare, FIRST, "--units-b", "mm").exit_code == 2


def test_faults_are_mended_where_that_is_safe(run):
    sides = [line(0, 0, 80, 0), line(80, 0, 80, 50), line(80, 50, 0, 50), line(0, 50, 0, 0.02)]
    assert run(FIRST, dxf(*sides, *HOLES)).exit_code == 0


def test_what_a_person_has_to_decide_is_refused(run):
    for first, second in ((FIRST, dxf(plate(0, 0, 80, 50), text(5, 5, "left"), *HOLES)), (b"", FIRST)):
        said = run(first, second)
        assert said.exit_code == 2
        assert "Traceback" not in said.output
    said = run(FIRST, dxf(plate(0, 0, 80, 50), text(5, 5, "left"), *HOLES))
    assert "b.dxf: a person has to decide something first" in said.output
    assert "--drop text leaves it out" in said.output
    assert run(FIRST, dxf(plate(0, 0, 80, 50), text(5, 5, "left"), *HOLES), "--drop", "text").exit_code == 0


@pytest.mark.parametrize(("ending", "begins"), [("svg", b"<?xml"), ("pdf", b"%PDF"), ("PDF", b"%PDF")])
def test_the_picture_is_what_its_name_says(run, tmp_path, ending, begins):
    picture = tmp_path / f"both.{ending}"
    assert run(FIRST, MOVED, "--picture", str(picture)).exit_code == 1
    assert picture.read_bytes().startswith(begins)
    assert run(FIRST, SECOND, "--picture", str(picture)).exit_code == 2  # it is there already
    assert run(FIRST, SECOND, "--picture", str(picture), "--replace").exit_code == 0


def test_another_ending_is_refused(run, tmp_path):
    said = run(FIRST, SECOND, "--picture", str(tmp_path / "both.png"))
    assert said.exit_code == 2
    assert "ends in .svg or .pdf" in said.output


def test_names_with_control_characters_are_escaped(tmp_path):
    for name in ("a\x1b[31m.dxf", "b.dxf"):
        (tmp_path / name).write_bytes(FIRST)
    names = [str(tmp_path / "a\x1b[31m.dxf"), str(tmp_path / "b.dxf")]
    for picture in ("both.svg", "both.pdf"):
        said = CliRunner().invoke(main, ["compare", *names, "--picture", str(tmp_path / picture)])
        assert said.exit_code == 0, said.output
        assert "\x1b" not in said.output
    assert "\x1b" not in (tmp_path / "both.svg").read_text()


def test_the_picture_shows_what_differs(run, tmp_path):
    picture = tmp_path / "both.svg"
    run(FIRST, MOVED, "--picture", str(picture))
    drawn = picture.read_text()
    assert ">0.30<" in drawn
    assert ">0.25<" in drawn
    assert ">extra<" in drawn
    assert "ring: largest deviation, 0.300 mm (0.0118 in)" in drawn
    assert drawn.count("stroke-dasharray") == 7
