"""Received drawings put right where that is safe, and only there."""

import json
from math import cos, pi, radians, sin
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from gasketcut.cli import main
from gasketcut.errors import ReadBackError
from gasketcut.output.mended import mended_dxf
from gasketcut.received.inspection import inspect
from gasketcut.received.mending import mend
from gasketcut.shape.loop import Circle
from tests.received.drawn import arc, circle, dxf, line, polyline, square
from tests.received.test_inspect import BLOCK, FAULTS, REAL


def mended(data, **how):
    """The mended bytes, looked through again."""
    result = mend(data, **{"units": "mm", **how})
    assert [flaw.text for flaw in result.refused] == []
    return inspect(mended_dxf(result, "t", 0.05))


def refused(data, **how):
    return [flaw.kind for flaw in mend(data, **{"units": "mm", **how}).refused]


MENDABLE = {  # area of what is closed, by the file's own numbers
    "bom": 800.0,
    "circle_r0": 800.0,
    "circle_rneg": 800.0,
    "closed_flag_and_dup_last": 800.0,
    "crlf": 800.0,
    "dup_line_reversed": 800.0,
    "gap_0.02": 800.2,  # its fourth side begins 0.02 mm off the corner; half of that in the mean
    "gap_1e-7": 800.0,
    "zero_len": 800.0,
    "units_none_r12": 800.0,
    "circle_neg_extrusion": 25 * pi,
    "circle_360gon": 100 * pi,
}


@pytest.mark.parametrize("name", MENDABLE)
def test_a_mendable_fault_is_gone_and_the_area_stays(name):
    found = mended((FAULTS / f"{name}.dxf").read_bytes())

    assert found.verdict == "ready"
    (one,) = found.closed
    assert one.contour.area == pytest.approx(MENDABLE[name], rel=6e-4)


def test_the_circle_is_a_circle_again():
    (one,) = mended((FAULTS / "circle_360gon.dxf").read_bytes()).closed

    assert isinstance(one.contour, Circle)
    assert one.contour.radius == pytest.approx(10.0, abs=1e-6)


def test_a_circle_farther_off_than_asked_for_stays_lines_and_is_said():
    # 60 lines on a radius of 10 are up to 10 (1 - cos 3 deg) = 0.0137 mm off it.
    data = (FAULTS / "circle_360gon.dxf").read_bytes()
    result = mend(data, "mm", fit=0.013)
    (look,) = result.inspection.looks

    assert len(result.closed[0][0].points) == 60
    assert inspect(mended_dxf(result, "t", 0.05), fit=0.013).verdict == "look"
    assert look.kind == "circle-as-lines"
    assert "0.014 mm off" in look.text
    assert "--fit 0.014mm" in look.do
    assert isinstance(mended(data, fit=0.014).closed[0].contour, Circle)


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("open_contour_missing_side", "open"),
        ("bowtie", "self-crossing"),
        ("text", "text"),
        ("hidden_layers", "hidden"),
        ("nan_coord", "bad-number"),
        ("hatch_over_outline", "hatch"),
    ],
)
def test_what_needs_a_person_is_refused(name, kind):
    assert kind in refused((FAULTS / f"{name}.dxf").read_bytes())


@pytest.mark.parametrize("name", ["text", "hatch_over_outline"])
def test_what_the_user_lets_go_is_left_out(name):
    found = mended((FAULTS / f"{name}.dxf").read_bytes(), drop=("text", "hatch"))

    assert found.verdict == "ready"
    assert len(found.closed) == 1


@pytest.mark.parametrize("name", ["units_conflict_mm_vs_imperial", "units_inch_label_mm_numbers", "units_none_r12"])
def test_a_doubtful_unit_is_asked_for(name):
    data = (FAULTS / f"{name}.dxf").read_bytes()

    assert refused(data, units=None) != []
    assert mended(data, units="mm").size == pytest.approx((40.0, 20.0))
    assert mended(data, units="in").size == pytest.approx((1016.0, 508.0))
    assert mended(data, units="in").unit.declared == "mm"


@pytest.mark.parametrize(
    ("entities", "area"),
    [
        ((square(0, 0, 20), line(5.0, 0.0, 12.0, 0.0)), 400.0),
        ((square(0, 0, 20), square(0, 0, 20)), 400.0),
        ((arc(0, 0, 5, 0, 200), arc(0, 0, 5, 180, 360)), 25 * pi),
        ((arc(0, 0, 5, 0, 200), arc(0, 0, 5, 100, 300), arc(0, 0, 5, 250, 10)), 25 * pi),
        ((circle(0, 0, 5), arc(0, 0, 5, 30, 120), arc(0, 0, 5, 300, 40)), 25 * pi),
        (
            (line(0.0, 0.0, 12.0, 0.0), line(8.0, 0.0, 20.0, 0.0), line(20.0, 0.0, 20.0, 20.0),
             line(20.0, 20.0, 0.0, 20.0), line(0.0, 20.0, 0.0, 0.0), line(0.0, 3.0, 0.0, 5.0)),
            400.0,
        ),
        ((polyline((0, 0), (9, 0), (9, 9), (0, 9), (0, 0), closed=False),), 81.0),
    ],
)  # fmt: skip
def test_lines_on_each_other_become_one(entities, area):
    (one,) = mended(dxf(*entities)).closed

    assert one.contour.area == pytest.approx(area, rel=1e-9)


def test_an_ellipse_becomes_arcs_within_the_tolerance():
    ellipse = "0\nELLIPSE\n8\n0\n100\nAcDbEllipse\n10\n0\n20\n0\n11\n20\n21\n0\n40\n0.6\n41\n0\n42\n6.283185307179586"
    (one,) = mended(dxf(ellipse), fit=0.01).closed
    loop = one.contour

    assert 8 <= len(loop.points) <= 60
    assert all(loop.bulges)
    assert loop.area == pytest.approx(pi * 20 * 12, rel=1e-4)
    for x, y in loop.flattened():  # to first order the distance to x2/a2 + y2/b2 = 1
        value, slope = x * x / 400 + y * y / 144 - 1, 2 * ((x / 400) ** 2 + (y / 144) ** 2) ** 0.5
        assert abs(value) / slope < 0.0115


def test_a_block_stretched_or_not():
    half = arc(0, 0, 8, 0, 180) + "\n" + line(-8.0, 0.0, 8.0, 0.0)
    blocks = f"0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n8\n0\n2\nB\n10\n0\n20\n0\n{half}\n0\nENDBLK\n0\nENDSEC\n"
    for sx, sy in ((1, 1), (-1, 1), (2, 1), (1, -3)):
        insert = f"0\nINSERT\n8\n0\n2\nB\n10\n7\n20\n9\n41\n{sx}\n42\n{sy}\n50\n30"
        (one,) = mended(dxf(insert, blocks=blocks)).closed
        assert one.contour.area == pytest.approx(32 * pi * abs(sx * sy), abs=0.02 * 60)  # fit by length


def test_far_away_comes_to_the_origin():
    x, y = 568053449.0, 5774347227.0
    sides = [
        line(x, y, x + 40, y),
        line(x + 40, y, x + 40, y + 20),
        line(x + 40, y + 20, x, y + 20),
        line(x, y + 20, x, y),
    ]
    found = mended(dxf(*sides))

    assert found.size == pytest.approx((40.0, 20.0))
    assert found.closed[0].contour.area == pytest.approx(800.0)
    assert max(abs(n) for point in found.closed[0].contour.points for n in point) <= 40.0


@given(st.lists(st.floats(2.0, 20.0), min_size=5, max_size=12), st.floats(0, 0.03), st.randoms())
def test_a_star_shuffled_doubled_and_torn_comes_back(radii, gap, chance):
    """Lines of a star in any order and direction, some doubled, each corner torn by less than the tolerance."""
    count = len(radii)
    corners = [(r * cos(2 * pi * k / count), r * sin(2 * pi * k / count)) for k, r in enumerate(radii)]
    area = abs(sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(corners, corners[1:] + corners[:1], strict=True))) / 2
    sides = []
    for (x, y), (u, v) in zip(corners, corners[1:] + corners[:1], strict=True):
        turn = chance.uniform(0, 2 * pi)
        sides.append((x + gap * cos(turn), y + gap * sin(turn), u, v))
    sides += [sides[k] for k in range(0, count, 3)]
    chance.shuffle(sides)
    sides = [side if chance.random() < 0.5 else (*side[2:], *side[:2]) for side in sides]
    result = mend(dxf(*[line(*side) for side in sides]), "mm")

    assert {flaw.kind for flaw in result.refused} <= {"self-crossing"}  # a thin star may truly cross itself when torn
    (one,) = result.closed
    assert one[0].area == pytest.approx(area, abs=gap * 20 * count + 1e-9)


@pytest.mark.parametrize(
    "name", ["03_respira_tubing_adapter_gasket_mm_AC1032", "04_respira_driver_plate_polyline_AC1032"]
)
def test_a_clean_file_is_left_as_it_is(tmp_path, name):
    source = REAL / f"{name}.dxf"
    result = CliRunner().invoke(main, ["mend", str(source), "-o", str(tmp_path / "m.dxf")], catch_exceptions=False)

    assert result.exit_code == 0
    assert (tmp_path / "m.dxf").read_bytes() == source.read_bytes()
    assert result.output.rstrip().endswith("m.dxf: copied, there is nothing to change")


@pytest.mark.parametrize(
    "name", ["crlf", "units_none_r12", "units_conflict_mm_vs_imperial", "units_inch_label_mm_numbers"]
)
def test_a_unit_that_was_named_is_declared_in_what_is_written(tmp_path, name):
    words = ["mend", str(FAULTS / f"{name}.dxf"), "-o", str(tmp_path / "m.dxf"), "--units", "mm"]
    said = CliRunner().invoke(main, words, catch_exceptions=False)
    found = inspect((tmp_path / "m.dxf").read_bytes())

    assert said.exit_code == 0
    assert (found.verdict, found.unit.declared, found.size) == ("ready", "mm", pytest.approx((40.0, 20.0)))


def test_a_real_file_is_ready_after(tmp_path):
    source = REAL / "14_otone_motor_mount_open_nounits_AC1015.dxf"
    before = inspect(source.read_bytes(), "mm")
    words = ["mend", str(source), "-o", str(tmp_path / "m.dxf"), "--units", "mm", "--json"]
    result = CliRunner().invoke(main, words, catch_exceptions=False)
    after = inspect((tmp_path / "m.dxf").read_bytes())

    assert result.exit_code == 0
    kinds = [change["kind"] for change in json.loads(result.stdout)["changes"]]
    assert kinds == ["overlap"] * 5 + ["sliver"] * 2 + ["unit"]
    assert after.verdict == "ready"
    areas = [sorted(one.contour.area for one in found.closed) for found in (before, after)]
    assert areas[0] == pytest.approx(areas[1], abs=1e-3)


@pytest.mark.parametrize(
    ("spoilt", "words"),
    [
        (lambda closed: [*closed, closed[0]], "still has a fault: duplicate"),
        (lambda closed: closed[:-1], "does not hold the contours"),
        (lambda closed: [(contour.moved(0, 0) if n else Circle((50.0, 50.0), 9.0), layer)
                         for n, (contour, layer) in enumerate(closed)], "does not hold the contours"),
    ],
)  # fmt: skip
def test_what_is_written_is_looked_through_again(monkeypatch, spoilt, words):
    from gasketcut.output import mended as module

    result = mend(dxf(square(0, 0, 20), circle(40, 0, 3), circle(40, 0, 3)), "mm")
    plain = module.write_contours
    monkeypatch.setattr(module, "write_contours", lambda closed, *more: plain(spoilt(list(closed)), *more))
    with pytest.raises(ReadBackError, match=words):
        mended_dxf(result, "t", 0.05)


def test_never_over_its_own_input(tmp_path):
    own = tmp_path / "a.dxf"
    own.write_bytes((FAULTS / "dup_line_reversed.dxf").read_bytes())
    words = ["mend", str(own), "-o", str(own), "--units", "mm", "--replace"]
    result = CliRunner().invoke(main, words, catch_exceptions=False)

    assert result.exit_code == 2
    assert own.read_bytes() == (FAULTS / "dup_line_reversed.dxf").read_bytes()


def test_refused_writes_nothing(tmp_path):
    words = ["mend", str(FAULTS / "bowtie.dxf"), "-o", str(tmp_path / "m.dxf"), "--units", "mm"]
    result = CliRunner().invoke(main, words, catch_exceptions=False)

    assert result.exit_code == 1
    assert "crosses itself" in result.output
    assert list(tmp_path.iterdir()) == []


JOB = """
title = "Received"
units = "mm"

[[stock]]
name = "paper"
thickness = 0.5

[[part]]
name = "cover"
kind = "flat"
stock = "paper"
outline = { file = "outline.dxf" }
"""


def run_job(tmp_path: Path, data: bytes):
    (tmp_path / "outline.dxf").write_bytes(data)
    (tmp_path / "job.toml").write_text(JOB, encoding="utf-8")
    return CliRunner().invoke(main, ["make", str(tmp_path / "job.toml"), "--out", str(tmp_path / "out")])


def test_a_mended_outline_can_be_a_part(tmp_path):
    faulty = dxf(*[line(*side) for side in ((0.0, 0.0, 30.0, 0.0), (30.0, 0.0, 30.0, 20.0), (30.0, 20.0, 0.0, 20.0),
                                             (0.0, 20.0, 0.0, 0.01))])  # fmt: skip
    before = run_job(tmp_path, faulty)
    after = run_job(tmp_path, mended_dxf(mend(faulty), "outline.dxf", 0.05))

    assert before.exit_code == 2
    assert "gasketcut mend outline.dxf" in before.output
    assert after.exit_code == 0
    (made,) = inspect((tmp_path / "out" / "cover.dxf").read_bytes()).closed
    assert made.contour.area == pytest.approx(600.0, abs=0.2)


def test_blocks_from_the_other_tests_are_open_and_asked_for():
    assert "open" in refused(dxf("0\nINSERT\n8\n0\n2\nB\n10\n0\n20\n0", blocks=BLOCK))


def test_turned_arcs_join_lines():
    """A slot of two lines and two arcs, the arcs given from their angles: closed, and the area is exact."""
    r, length, turn = 4.0, 30.0, radians(37)
    c, s = cos(turn), sin(turn)
    a, b = (-length / 2 * c, -length / 2 * s), (length / 2 * c, length / 2 * s)
    up = (-s * r, c * r)
    lines = [line(a[0] + up[0], a[1] + up[1], b[0] + up[0], b[1] + up[1]),
             line(a[0] - up[0], a[1] - up[1], b[0] - up[0], b[1] - up[1])]  # fmt: skip
    found = mended(dxf(*lines, arc(*b, r, 37 - 90, 37 + 90), arc(*a, r, 37 + 90, 37 + 270)))

    (one,) = found.closed
    assert one.contour.area == pytest.approx(2 * r * length + pi * r * r, rel=1e-7)
