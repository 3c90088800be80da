"""What a received drawing holds: parts, holes, lengths, narrowest places, the sheet by its name."""

from __future__ import annotations

import json
from math import cos, hypot, pi, radians, sin

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from gasketcut.cli import main
from gasketcut.received.inspection import inspect
from gasketcut.received.stock.as_named import as_named
from gasketcut.received.stock.nest import nest_of
from gasketcut.shape.loop import Circle, Loop
from tests.received.drawn import arc, circle, dxf, line, polyline, square

PLATE = polyline((0, 0), (80, 0), (80, 50), (0, 50))


def what(*entities, name=""):
    return inspect(dxf(*entities), "mm", name=name).what


def test_a_plate_with_holes_and_a_disc_beside_it():
    found = what(PLATE, circle(10, 10, 3), circle(70, 10, 2.5), circle(70, 40, 3), circle(110, 10, 8))

    assert (found.parts, found.holes, found.starts) == (2, (3, 0), 5)
    assert found.cut_length == pytest.approx(260 + 2 * pi * (3 + 2.5 + 3 + 8), rel=1e-12)
    assert (found.smallest_hole.width, found.smallest_hole.at) == (5.0, (70.0, 10.0))
    assert found.smallest_radius is None
    assert found.smallest_web.width == pytest.approx(7.0, abs=0.003)  # from the holes of 6 mm to two edges


def test_a_hole_that_is_not_round_is_as_wide_as_the_disc_that_goes_through():
    found = what(PLATE, polyline((20, 20), (40, 20), (40, 21.5), (20, 21.5)))

    assert found.smallest_hole.width == pytest.approx(1.5, abs=0.02)
    assert (found.smallest_radius.width, found.smallest_hole.at[1]) == (0.0, pytest.approx(20.75, abs=0.02))


@pytest.mark.parametrize("back", [False, True])
def test_inner_radii_are_those_of_the_sheet_whichever_way_it_is_drawn(back):
    quarter = 2**0.5 - 1
    rounded = [
        (20, 20), (40, 20, quarter), (42, 22), (42, 30, quarter), (40, 32), (20, 32, quarter), (18, 30),
        (18, 22, quarter),
    ]  # fmt: skip
    if back:
        ends = [*rounded[1:], rounded[0]]
        bulges = [point[2] if len(point) > 2 else 0 for point in rounded]
        rounded = [(*end[:2], -bulge) for end, bulge in zip(ends[::-1], bulges[::-1], strict=True)]
    outside = polyline((0, 0), (80, 0), (80, 50, 0.4), (75, 55), (0, 50))  # rounded outwards: nothing to turn within

    assert what(outside, polyline(*rounded)).smallest_radius.width == pytest.approx(2.0)
    assert what(outside, circle(20, 20, 3)).smallest_radius is None
    assert what(polyline(*rounded)).smallest_radius is None


def test_a_notch_has_a_sharp_inner_corner():
    found = what(polyline((0, 0), (80, 0), (80, 50), (45, 50), (40, 30), (35, 50), (0, 50)))

    assert (found.smallest_radius.width, found.smallest_radius.at) == (0.0, (40.0, 30.0))


def test_a_neck_is_a_web():
    low = [(0, 0), (20, 0), (20, 9), (40, 9), (40, 0), (60, 0)]
    found = what(polyline(*low, *((x, 20 - y) for x, y in low[::-1])))

    assert found.smallest_web.width == pytest.approx(2.0, abs=0.02)


def test_equal_parts_are_counted_turned_or_not_and_mirror_images_are_not():
    def part(turn, dx, way=1):
        c, s = cos(radians(turn)), sin(radians(turn))
        at = [
            (c * x - s * way * y + dx, s * x + c * way * y)
            for x, y in ((0, 0), (30, 0), (30, 8), (8, 20), (0, 20), (5, 6))
        ]
        return polyline(*at[:5]), circle(*at[5], 2)

    assert what(*part(0, 0), *part(0, 50), *part(37, 120)).duplicates == 2
    assert what(*part(0, 0), *part(0, 100, way=-1)).duplicates == 0
    assert what(*part(0, 0), part(0, 50)[0]).duplicates == 0


def test_open_lines_are_cut_and_marks_are_not():
    found = what(PLATE, line(5.0, 5.0, 15.0, 5.0), line(5.0, 9.0, 25.0, 9.0, "MARK"), arc(40, 25, 2, 0, 180))

    assert (found.starts, found.cut_length) == (3, pytest.approx(260 + 10 + 2 * pi))


def test_lengths_are_in_mm_and_places_in_the_files_own_numbers():
    found = inspect(dxf(square(0, 0, 4), circle(1.0, 2.0, 0.25)), "in").what

    assert found.smallest_hole.width == pytest.approx(12.7)
    assert found.smallest_hole.at == pytest.approx((1.0, 2.0))


def test_a_figure_that_crosses_itself_is_counted_and_not_measured():
    found = what(PLATE, polyline((10, 10), (20, 20), (20, 10), (10, 20)), circle(60, 20, 4))

    assert (found.parts, found.holes) == (1, (2,))
    assert found.smallest_hole.width == 8.0


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("bracket_S235_3mm_4x", "S235 3mm"),
        ("S235 3 mm", "S235 3 mm"),
        ("cover 1.4301 t1.5", "1.4301 t1.5"),
        ("DC01-1,5mm", "DC01 1,5mm"),
        ("Platte_AlMg3_2mm", "AlMg3 2mm"),
        ("5754 2mm", "5754 2mm"),
        ("stainless steel 0.5 mm", "stainless steel 0.5 mm"),
        ("Gasket paper 0.8 mm", "Gasket paper 0.8 mm"),
        ("MDF", "MDF"),
        ("acrylic-3mm", "acrylic 3mm"),
        ("cork 2mm", "cork 2mm"),
        ("EPDM rubber t3", "EPDM rubber t3"),
        ("t3", "t3"),
        ("part 5754", None),  # may be any number
        ("plate 80x50mm", None),
        ("holes 6mm", None),
        ("scorecard", None),
        ("CUT-OUTSIDE", None),
        ("Layer1", None),
        ("M8", None),
    ],
)
def test_the_sheet_as_named(name, said):
    assert as_named([name]) == said


def test_file_and_layers_are_both_read_and_each_is_said_once():
    assert as_named(["S235 3mm", "0", "S235 3mm", "DC01"]) == "S235 3mm; DC01"
    assert what(circle(0, 0, 5, "Steel 2mm"), name="plate_DC01.dxf").as_named == "DC01; Steel 2mm"


def test_text_and_json_say_it(tmp_path):
    file = tmp_path / "plate_S235_3mm.dxf"
    file.write_bytes(dxf(PLATE, circle(10, 10, 3)))
    text = CliRunner().invoke(main, ["inspect", str(file)]).stdout
    data = json.loads(CliRunner().invoke(main, ["inspect", str(file), "--json"]).stdout)["what"]

    assert "parts     1 with 1 hole\n" in text
    assert "as named  S235 3mm" in text
    assert data == {
        "parts": 1, "holes": [1], "duplicates": 0, "cut_length_mm": 278.85, "starts": 2, "smallest_hole_mm": 6.0,
        "smallest_radius_mm": None, "smallest_web_mm": 7.0, "as_named": "S235 3mm",
    }  # fmt: skip


def test_no_dxf_has_no_what(tmp_path):
    (tmp_path / "e.dxf").write_bytes(b"")
    assert json.loads(CliRunner().invoke(main, ["inspect", str(tmp_path / "e.dxf"), "--json"]).stdout)["what"] is None


@given(st.lists(st.tuples(st.floats(-40, 40), st.floats(-40, 40), st.floats(0.5, 30)), min_size=1, max_size=12))
def test_circles_are_nested_as_closed_forms_say(rows):
    kept = []
    for x, y, r in rows:
        apart = [(hypot(x - u, y - v), s) for u, v, s in kept]
        if all(abs(d - (r + s)) > 0.1 and (d > r + s or abs(r - s) - d > 0.1) for d, s in apart):
            kept.append((x, y, r))
    nest = nest_of([Circle((x, y), r) for x, y, r in kept])
    around = [[n for n, (u, v, s) in enumerate(kept) if s > r and hypot(x - u, y - v) < s] for x, y, r in kept]

    assert nest.depth.tolist() == [len(one) for one in around]
    assert nest.parent.tolist() == [min(one, key=lambda n: kept[n][2], default=-1) for one in around]


@given(st.floats(0, 360), st.floats(0.2, 30), st.booleans())
def test_areas_lengths_and_ways_round_agree_with_the_loops_own(turn, size, mirror):
    c, s = cos(radians(turn)), sin(radians(turn))
    flat = [(0, 0, 0.3), (3, 0, 0.0), (3, 2, -0.7), (1, 4, 1.0), (0, 2, 0.0)]
    way = -1 if mirror else 1
    points = tuple((size * (c * x - s * y * way), size * (s * x + c * y * way)) for x, y, _ in flat)
    loop = Loop(points, tuple(way * bulge for _, _, bulge in flat))
    nest = nest_of([Circle((500, 500), 1), loop])

    assert nest.area[1] == pytest.approx(loop.area)
    assert nest.length[1] == pytest.approx(loop.length)
    assert nest.turn[1] == (1 if loop.signed_area > 0 else -1)
    assert nest.boxes[0].tolist() == [499, 499, 501, 501]
    xs, ys = zip(*loop.flattened(), strict=True)
    assert nest.boxes[1].tolist() == pytest.approx([min(xs), min(ys), max(xs), max(ys)], abs=0.01)
