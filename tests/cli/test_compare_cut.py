"""A scan of a cut part held against its drawing from the command line: words, JSON, picture, exit codes, refusals."""

import io
import json

import numpy as np
import pytest
from click.testing import CliRunner

from gasketcut.cli import main
from tests.comparing.cut_parts import JOB
from tests.received.drawn import circle, dxf, plate
from tests.scans import BORE, CORNER, HEIGHT, HOLES, WIDTH, gasket, rounded, scan

OFFSET, MOVED = 0.15, (0.18, -0.24)
NOTCH = 0.8


def wrong(u, v):
    """The gasket with an edge too far out, a hole beside its place, and a notch in the right side."""
    distance = rounded(u, v, WIDTH, HEIGHT, CORNER) - OFFSET
    for number, (x, y, width) in enumerate(((0.0, 0.0, BORE), *HOLES)):
        dx, dy = MOVED if number == 3 else (0.0, 0.0)
        distance = np.maximum(distance, width / 2 - OFFSET - np.hypot(u - x - dx, v - y - dy))
    notch = np.maximum(np.abs(v - 5) - 0.6, (WIDTH / 2 - NOTCH) - u)
    return np.maximum(distance, -notch)


def png(shape, **how):
    stream = io.BytesIO()
    scan(dpi=150, shapes=((shape, 0.0, 0.0),), **how).save(stream, "PNG", dpi=(150, 150))
    return stream.getvalue()


@pytest.fixture(scope="module")
def scans():
    with_card = {"card": 90.0, "page": (180.0, 100.0)}
    return {"wrong": png(wrong, **with_card), "right": png(gasket, turn=188.0, **with_card), "alone": png(gasket)}


@pytest.fixture
def run(tmp_path, scans):
    files = {**{f"{name}.png": data for name, data in scans.items()}, "job.toml": JOB.encode(),
             "two.toml": (JOB + JOB[JOB.index("[[part]]") :].replace("carb-gasket", "other")).encode(),
             "latin.toml": JOB.replace("cut right?", "d\xfcse").encode("latin-1"),
             "part.dxf": dxf(plate(0, 0, 80, 50), circle(10, 10, 4))}  # fmt: skip
    for name, data in files.items():
        (tmp_path / name).write_bytes(data)

    def run(*words):
        there = [str(tmp_path / word) if word in files else word for word in words]
        return CliRunner().invoke(main, ["compare", *there])

    return run


def test_an_offset_a_hole_and_a_notch_are_found_out(run, tmp_path):
    said = run(
        "wrong.png", "job.toml", "--part", "carb-gasket", "--card", "--json", "--picture", str(tmp_path / "a.svg")
    )
    assert said.exit_code == 1, said.output
    data = json.loads(said.output)
    assert data["verdict"] == "not as drawn"
    assert data["scale"]["source"] == "card"
    assert data["offset_mm"] == pytest.approx(OFFSET, abs=0.01)
    assert data["offset_is_constant"]
    holes = {one["name"]: one for one in data["holes"]}
    moved = holes["stud's hole at (23.5, 25.5)"]
    assert moved["moved_mm"] == pytest.approx(0.3, abs=0.02)
    assert moved["shift_mm"] == pytest.approx(MOVED, abs=0.02)
    assert moved["diameter_mm"] == pytest.approx(5.2, abs=0.02)
    assert moved["drawn_mm"] == 5.5
    assert all(one["moved_mm"] < 0.02 for one in holes.values() if one is not moved)
    worst = data["worst"][0]
    assert worst["of"] == "outline"
    assert worst["mm"] == pytest.approx(-NOTCH, abs=0.03)
    assert worst["range_95"][0] < -NOTCH < worst["range_95"][1]
    assert worst["at"] == pytest.approx((30.0, 5.0), abs=0.7)
    assert (data["fit"]["as_drawn"], data["fit"]["as_cut"]) == ("fits", "does not fit")
    assert any("does not go over its studs" in one["text"] for one in data["fit"]["findings"])
    drawn = (tmp_path / "a.svg").read_text()
    assert "not cut as drawn within 0.20 mm (0.008 in)" in drawn
    assert "times as far as the part itself is drawn" in drawn
    assert ">-0.8" in drawn


def test_what_was_cut_right_ends_with_0_whichever_file_comes_first(run, tmp_path):
    said = run("job.toml", "right.png", "--card", "--within", "0.15mm", "--picture", str(tmp_path / "a.pdf"))
    assert said.exit_code == 0, said.output
    assert "CUT AS DRAWN: nothing of carb-gasket is off by more than 0.15 mm (0.006 in)." in said.output
    assert "Checked as it was cut: FITS (as drawn: fits)" in said.output
    assert (tmp_path / "a.pdf").read_bytes().startswith(b"%PDF")


def test_a_scale_that_is_not_sure_enough_proves_nothing(run):
    said = run("alone.png", "job.toml", "--no-card", "--within", "0.1mm")
    assert said.exit_code == 1, said.output
    assert "NOT PROVEN: what is seen of carb-gasket is within 0.10 mm (0.004 in)" in said.output
    assert "lay a bank card" in said.output


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("part.dxf", "part.dxf", "--dpi", "300"), "both files are drawings"),
        (("part.dxf", "part.dxf", "--part", "x"), "both files are drawings"),
        (("part.dxf", "job.toml"), "is a drawing and"),
        (("job.toml", "job.toml"), "is a job and"),
        (("right.png", "right.png"), "is a picture and"),
        (("right.png", "part.dxf"), "give two drawings (DXF), or the picture of a cut part and its job"),
        (("right.png", "job.toml", "--units", "mm"), "--units and --drop are for drawings"),
        (("right.png", "job.toml", "--part", "other"), "known are carb-gasket"),
        (("right.png", "latin.toml"), "UTF-8"),
        (("right.png", "two.toml"), "Add --part and one of: carb-gasket, other"),
        (("right.png", "job.toml", "--picture", "a.png"), "ends in .svg or .pdf"),
    ],
)
def test_what_cannot_be_compared_is_refused_before_a_long_look(run, words, says):
    said = run(*words)
    assert said.exit_code == 2
    assert says in " ".join(said.output.split())
    assert "Traceback" not in said.output
