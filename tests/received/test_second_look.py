"""What would probably scrap the sheet although nothing is wrong with the file; and ordinary parts, which pass."""

from __future__ import annotations

import json
from math import cos, pi, radians, sin
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from gasketcut import Options, parse_job, read_job
from gasketcut.cli import main
from gasketcut.profile.profiles import Profiles
from gasketcut.received.inspection import inspect
from gasketcut.received.looks.least import least_for
from tests.making import make
from tests.received.drawn import circle, dxf, line, polyline, square
from tests.received.test_inspect import WITH_A_TOOLS_WAY

PLATE = polyline((0, 0), (80, 0), (80, 50), (0, 50))
INCH = "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$INSUNITS\n70\n1\n0\nENDSEC\n"


def looks(*entities, units="mm", **more):
    return inspect(dxf(*entities), units, **more).looks


def kinds(*entities, **more):
    return sorted({one.kind for one in looks(*entities, **more)})


def box(x, y, width, height):
    return polyline((x, y), (x + width, y), (x + width, y + height), (x, y + height))


# What was found in the issue, each in a drawing of its own, and more of the same sort.
NOTED = {
    "a second outline 0.05 mm inside": ((PLATE, box(0.05, 0.05, 79.9, 49.9)), ["near-double"]),
    "a circle twice, 0.2 mm larger": ((PLATE, circle(40, 25, 10), circle(40, 25, 9.9)), ["near-double"]),
    "an A3 frame": ((box(0, 0, 420, 297), box(100, 100, 80, 50), circle(140, 125, 5)), ["frame"]),
    "an A3 frame round a plain plate": ((box(0, 0, 420, 297), box(100, 100, 80, 50)), ["frame"]),
    "three views": (
        (box(0, 0, 80, 50), circle(20, 20, 5), circle(60, 20, 5), box(0, 70, 80, 12), box(100, 0, 12, 50)),
        ["views"],
    ),
    "a plate and its edge": ((PLATE, circle(40, 25, 5), box(0, 60, 80, 3)), ["views"]),
    "a disc and its edge beside it": ((circle(0, 0, 30), circle(0, 0, 10), box(40, -30, 5, 60)), ["views"]),
    "a stray hole 1.5 m away": ((PLATE, circle(40, 25, 5), circle(1500, 20, 3)), ["far-off"]),
    "a neck of 0.001 mm": (
        (polyline((0, 0), (30, 0), (30, 9.9995), (40, 9.9995), (40, 0), (70, 0), (70, 20), (40, 20), (40, 10.0005),
                  (30, 10.0005), (30, 20), (0, 20)),),
        ["thin-web"],
    ),
    "a hole 0.02 mm from the edge": ((PLATE, circle(5.02, 25, 5)), ["thin-web"]),
    "two holes 0.1 mm apart": ((PLATE, circle(20, 25, 5), circle(30.1, 25, 5)), ["thin-web"]),
    "a hole of 0.3 mm": ((PLATE, circle(20, 25, 0.15)), ["small-hole"]),
    "a slot of 0.2 mm": ((PLATE, box(20, 20, 20, 0.2)), ["small-hole"]),
    "a crack from the edge": (
        (polyline((0, 0), (80, 0), (80, 50), (40.1, 50), (40.1, 30), (40, 30), (40, 50), (0, 50)),),
        ["narrow-slit"],
    ),
    "a finger of 0.2 mm": (
        (polyline((0, 0), (80, 0), (80, 50), (40.2, 50), (40.2, 70), (40, 70), (40, 50), (0, 50)),),
        ["thin-web"],
    ),
    "a thread as two circles": ((PLATE, circle(20, 25, 3), circle(20, 25, 2.5)), ["thread"]),
    "a thread in a countersink": ((PLATE, circle(20, 25, 5), circle(20, 25, 3), circle(20, 25, 2.5)), ["thread"]),
    "a countersink": ((PLATE, circle(20, 25, 5), circle(20, 25, 2.6)), ["thread"]),
    "a ring and a disc 0.2 mm apart": (
        (circle(0, 0, 60), circle(0, 0, 50), circle(0, 0, 49.8), circle(0, 0, 30)),
        ["narrow-slit"],
    ),
    "a ring and a bare disc 0.2 mm apart": ((circle(0, 0, 60), circle(0, 0, 50), circle(0, 0, 49.8)), ["near-double"]),
    "a strip of 0.2 mm": ((PLATE, box(100, 0, 0.2, 30)), ["thin-web"]),
    "two parts 0.2 mm apart": ((PLATE, box(80.2, 0, 30, 40)), ["narrow-slit"]),
    "a point visited twice": (
        (polyline((0, 0), (80, 0), (80, 50), (40, 50), (50, 30), (30, 30), (40, 50), (0, 50)),),
        ["self-touch"],
    ),
    "two squares in one line, corner to corner": (
        (polyline((0, 0), (10, 0), (10, 10), (20, 10), (20, 20), (10, 20), (10, 10), (0, 10)),),
        ["self-touch"],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", NOTED)
def test_what_would_scrap_the_sheet_is_noted(name):
    entities, shown = NOTED[name]
    found = inspect(dxf(*entities), "mm")

    assert [flaw.text for flaw in found.flaws] == []
    assert sorted({one.kind for one in found.looks}) == shown
    assert found.verdict == "look"


# Ordinary parts, and those that come near to one that is noted.
PASSES = {
    "a plate with holes": (PLATE, circle(10, 10, 3), circle(70, 10, 3), circle(40, 25, 12)),
    "a ring": (circle(0, 0, 20), circle(0, 0, 18)),
    "rings in a ring": (circle(0, 0, 60), circle(0, 0, 50), circle(0, 0, 45), circle(0, 0, 40)),
    "a disc in a large hole": (PLATE, circle(40, 25, 20), circle(40, 25, 6)),
    "equal parts in rows": tuple(box(x, y, 30, 20) for x in (0, 35, 70) for y in (0, 25, 50)),
    "two plates of one width in a column": (PLATE, circle(40, 25, 5), box(0, 60, 80, 40), circle(40, 80, 8)),
    "strips": (PLATE, box(0, 55, 80, 10), box(0, 70, 80, 10)),
    "a plate of 300 x 200": (box(0, 0, 300, 200), circle(50, 50, 10), circle(250, 150, 10)),
    "a plate with a window": (box(0, 0, 300, 200), box(20, 20, 260, 160)),
    "a sharp tooth": (polyline((0, 0), (80, 0), (80, 50), (44, 50), (40, 70), (36, 50), (0, 50)),),
    "a notch of 0.5 mm": (
        polyline((0, 0), (80, 0), (80, 50), (40.5, 50), (40.5, 30), (40, 30), (40, 50), (0, 50)),
    ),
    "a hole of just 0.5 mm": (PLATE, circle(40, 25, 0.25)),
    "a web of just 0.3 mm": (PLATE, circle(5.3, 25, 5)),
    "a small washer": (circle(0, 0, 4), circle(0, 0, 2.1)),
    "two parts on a large sheet": (PLATE, box(700, 900, 80, 50)),
    "a small part beside a large one": (box(0, 0, 400, 300), box(600, 0, 20, 20)),
    "a fine wave": (
        polyline(*[(x / 10, 0.2 * sin(x)) for x in range(800)], (80, 50), (0, 50)),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", PASSES)
def test_ordinary_parts_pass(name):
    found = inspect(dxf(*PASSES[name]), "mm")

    assert [one.text for one in found.looks] == []
    assert found.verdict == "ready"


def test_our_own_sheets_hold_no_views():
    entities = [one.replace("8\n0", "8\nCUT-OUTSIDE", 1) for one in (PLATE, box(0, 60, 80, 3))]
    hole = circle(40, 25, 5, "CUT-INSIDE")

    assert kinds(*entities, hole) == []


def test_inch_numbers_that_say_mm():
    entities = [box(0, 0, 3.15, 1.97), *(circle(x, y, 0.12) for x in (0.3, 2.85) for y in (0.3, 1.67))]
    found = inspect(dxf(*entities))

    (odd,) = found.looks
    assert "read as mm it is 3.15 x 1.97 mm, smallest hole 0.24 mm, which is odd" in odd.text
    assert "as inches it would be 80.01 x 50.04 mm, hole 6.1 mm" in odd.text
    assert odd.do.endswith("--units in")
    assert kinds(*entities, units="in") == []


def test_mm_numbers_that_say_inches():
    entities = [box(0, 0, 20, 12), *(circle(x, y, 1.5) for x in (4, 16) for y in (4, 8))]
    found = inspect(dxf(*entities, header=INCH))

    assert found.unit.likely == "in"
    (odd,) = found.looks
    assert "508 x 304.8 mm, smallest hole 76.2 mm" in odd.text
    assert "as mm it would be 20 x 12 mm, hole 3 mm" in odd.text


@pytest.mark.parametrize("size", [(4, 3), (8, 5), (20, 12)])
def test_a_real_inch_part_passes(size):
    width, height = size
    holes = [circle(0.5, 0.5, 0.125), circle(width - 0.5, height - 0.5, 0.125)]

    assert inspect(dxf(box(0, 0, width, height), *holes, header=INCH)).verdict == "ready"


def test_places_are_in_the_files_own_numbers():
    (look,) = inspect(dxf(box(0, 0, 4, 3), circle(1.0, 2.0, 0.005)), "in").looks

    assert look.kind == "small-hole"
    assert look.at == pytest.approx((1.0, 2.0))
    assert "0.254 mm" in look.text


def turned(points, turn, scale, mirror):
    c, s, way = cos(radians(turn)), sin(radians(turn)), -1 if mirror else 1
    return [(scale * (c * x - s * way * y) + 7, scale * (s * x + c * way * y) - 3) for x, y in points]


TURNED = {
    "neck": [((0, 0), (30, 0), (30, 9.95), (40, 9.95), (40, 0), (70, 0), (70, 20), (40, 20), (40, 10.05), (30, 10.05),
              (30, 20), (0, 20))],
    "crack": [((0, 0), (80, 0), (80, 50), (40.1, 50), (40.1, 30), (40, 30), (40, 50), (0, 50))],
    "touch": [((0, 0), (80, 0), (80, 50), (40, 50), (50, 30), (30, 30), (40, 50), (0, 50))],
    "double": [((0, 0), (80, 0), (80, 50), (0, 50)), ((0.1, 0.1), (79.9, 0.1), (79.9, 49.9), (0.1, 49.9))],
    "plain": [((0, 0), (80, 0), (80, 50), (44, 50), (40, 20), (36, 50), (0, 50)), ((10, 10), (20, 10), (10, 20))],
}  # fmt: skip
SHOWN = {"neck": "thin-web", "crack": "narrow-slit", "touch": "self-touch", "double": "near-double", "plain": None}


@settings(max_examples=40)
@given(
    st.sampled_from(sorted(TURNED)), st.floats(0, 360), st.booleans(), st.integers(0, 9), st.sampled_from(["mm", "in"])
)
def test_looks_do_not_hang_on_turn_mirror_start_or_unit(name, turn, mirror, first, units):
    scale = 1 if units == "mm" else 1 / 25.4
    rings = [turned((*one[first % len(one) :], *one[: first % len(one)]), turn, scale, mirror) for one in TURNED[name]]
    found = inspect(dxf(*[polyline(*ring) for ring in rings]), units)

    assert {one.kind for one in found.looks} == ({SHOWN[name]} if SHOWN[name] else set())


@given(st.floats(0.05, 0.6), st.floats(0, 360), st.floats(2, 20))
def test_a_web_between_circles_is_as_wide_as_the_closed_form_says(web, turn, radius):
    far = 2 * radius + web
    x, y = 100 + far * cos(radians(turn)), 100 + far * sin(radians(turn))
    found = inspect(dxf(square(0, 0, 200), circle(100, 100, radius), circle(x, y, radius)), "mm")

    assert found.what.smallest_web.width == pytest.approx(web, abs=1e-6)
    assert bool(found.looks) == (web < 0.3 - 1e-3)
    if found.looks:
        half = radius + web / 2
        at = (100 + half * cos(radians(turn)), 100 + half * sin(radians(turn)))
        assert found.looks[0].at == pytest.approx(at, abs=1e-6)


@pytest.mark.parametrize(
    ("process", "thickness", "hole", "web"), [("co2", 1.0, 1.0, 1.0), ("co2", 3.0, 3.0, 3.0), ("co2", None, 1.0, 1.0)]
)
def test_a_process_has_limits_of_its_own(process, thickness, hole, web):
    least = least_for(process, thickness, Profiles().cutters)
    entities = PLATE, circle(20, 25, hole / 2 - 0.05), circle(45 + web - 0.1, 25, 5), circle(35, 25, 5)

    assert (least.hole, least.web) == (hole, web)
    assert kinds(*entities) == []
    assert kinds(*entities, least=least) == ["small-hole", "thin-web"]


def test_what_looks_right_has_its_limit_and_whose_it_is_in_the_text():
    (ours,) = looks(PLATE, circle(20, 25, 0.15))
    (theirs,) = looks(PLATE, circle(20, 25, 0.45), least=least_for("co2", 1.0, Profiles().cutters))

    assert ours.text == "a hole of 0.3 mm; most cutters do no less than 0.5 mm (our choice)"
    assert theirs.text == "a hole of 0.9 mm; CO2 laser in a sheet of 1 mm: no less than 1 mm (the cutter's profile)"


def test_many_of_a_kind_are_counted_and_not_all_listed():
    holes = [circle(2 + 2 * (k % 20), 2 + 2 * (k // 20), 0.1) for k in range(200)]
    found = looks(box(0, 0, 60, 40), *holes)

    assert len(found) == 51
    assert found[-1].text.startswith("and 150 more")


def run(*words):
    return CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)


def test_by_command(tmp_path):
    file = tmp_path / "plate.dxf"
    file.write_bytes(dxf(PLATE, circle(20, 25, 0.45)))
    plain, by_process = run("inspect", file), run("inspect", file, "--process", "co2", "--thickness", "1 mm")
    data = json.loads(run("inspect", file, "--process", "co2", "--thickness", "1 mm", "--json").stdout)

    assert (plain.exit_code, by_process.exit_code) == (0, 1)
    assert "READY: " in plain.stdout
    assert "READY, LOOK AT 1 PLACE: " in by_process.stdout
    assert data["verdict"] == "look"
    assert [set(one) for one in data["looks"]] == [{"kind", "at", "text", "do"}]
    assert run("inspect", file, "--process", "co2", "--thickness", "1.0").stdout == by_process.stdout
    assert run("inspect", file, "--thickness", "1 mm").exit_code == 2
    for wrong in ("0", "0 mm", "thin", "1 kg"):
        assert run("inspect", file, "--process", "co2", "--thickness", wrong).exit_code == 2


def test_faults_come_before_looks_and_both_are_listed():
    found = inspect(dxf(PLATE, circle(20, 25, 0.15), line(30.0, 30.0, 35.0, 30.0)), "mm")

    assert found.verdict == "ask"
    assert [one.kind for one in found.looks] == ["small-hole"]


@pytest.mark.parametrize("path", sorted((Path(__file__).parents[2] / "output_examples").rglob("*.dxf")), ids=str)
def test_our_own_examples_pass(path):
    assert [one.text for one in inspect(path).looks] == []


def test_our_own_parts_sheets_and_paths_pass(tmp_path):
    make(read_job("demo"), tmp_path / "demo", Options())
    job = parse_job(WITH_A_TOOLS_WAY)
    make(job, tmp_path / "path", Options())
    files = sorted(tmp_path.rglob("*.dxf"))
    found = {file.name: inspect(file) for file in files}

    assert len(files) > 4
    assert {name: [one.text for one in each.looks] for name, each in found.items() if each.looks} == {}
    assert {each.verdict for each in found.values()} == {"ready"}
    assert ("LEAD", "lead") in {(one.layer, one.kind) for each in found.values() for one in each.taken}


@pytest.mark.parametrize(
    "path", sorted((Path(__file__).parent / "real").glob("*.dxf")), ids=lambda path: path.stem[:12]
)
def test_real_parts_pass(path):
    # The one that is noted is a drawing in two views, threads as circles, no part to cut.
    assert bool(inspect(path).looks) == path.stem.startswith("17_")


@settings(max_examples=25)
@given(st.integers(0, 2**32 - 1))
def test_any_drawing_of_circles_and_boxes_is_looked_through(seed):
    import random

    chance = random.Random(seed)
    entities = []
    for _ in range(chance.randrange(1, 12)):
        x, y, size = (chance.choice([0, 1, 5, 10.05, 40, 1e4]) for _ in range(3))
        entities.append(circle(x, y, size + 0.1) if chance.random() < 0.5 else box(x, y, size + 0.1, size + 2))
    found = inspect(dxf(*entities))
    assert all(one.text and one.do and (one.at is None or abs(one.at[0]) <= 1e9) for one in found.looks)
    assert found.what.cut_length <= sum(2 * pi * 1e5 for _ in entities)
