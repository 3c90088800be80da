"""Contours in closed form: what a vertex with a bulge means, and sums over a loop."""

from math import hypot, pi, radians, sin, tan

import pytest
from shapely.geometry import Polygon

from gasketcut.shape.loop import Circle, Loop, Outline, Segment, chords_needed
from gasketcut.tolerances import CHORD

ROUNDING = 1e-9  # mm and mm2: double precision over a hundred millimetres
SIXTH_DIGIT = 5e-7  # the table of bulges is printed to six decimals

STADIUM = Loop(((-10.0, -4.0), (10.0, -4.0), (10.0, 4.0), (-10.0, 4.0)), (0.0, 1.0, 0.0, 1.0))
QUARTER = tan(radians(90) / 4)
ROUNDED_SQUARE = Loop(  # 20 x 20, corners 5
    ((-5, -10), (5, -10), (10, -5), (10, 5), (5, 10), (-5, 10), (-10, 5), (-10, -5)), (0, QUARTER) * 4
)  # fmt: skip
# A plate 30 x 10 out of whose upper side a half circle of diameter 10 is bitten: one arc runs clockwise.
BITTEN = Loop(((0, 0), (30, 0), (30, 10), (20, 10), (10, 10), (0, 10)), (0, 0, 0, -1.0, 0, 0))
DEEP = Loop(((0.0, 0.0), (10.0, 0.0)), (-0.2, 1.0))  # a crescent: half a disc with a shallow clockwise bite

LOOPS = [STADIUM, ROUNDED_SQUARE, BITTEN, DEEP]


@pytest.mark.parametrize(
    ("sweep", "bulge"),
    # DXF reference, LWPOLYLINE group 42: the bulge is the tangent of a quarter of the included angle.
    [(30, 0.131652), (45, 0.198912), (60, 0.267949), (90, 0.414214), (180, 1.0), (0, 0.0)],
)
@pytest.mark.parametrize("way", [1, -1])
def test_bulges_of_the_format_reference(sweep, bulge, way):
    assert Segment((0, 0), (10, 0), way * tan(radians(sweep) / 4)).sweep == pytest.approx(way * sweep, abs=1e-9)
    assert tan(radians(sweep) / 4) == pytest.approx(bulge, abs=SIXTH_DIGIT)
    assert Segment((0, 0), (10, 0), way * bulge).sweep == pytest.approx(way * sweep, abs=1e-3)


@pytest.mark.parametrize("sweep", [30, 45, 60, 90, 180])
def test_radius_and_middle_height_of_an_arc_follow_from_chord_and_bulge(sweep):
    # Geometry of the circle: chord = 2 r sin(sweep / 2), sagitta = |bulge| chord / 2.
    bulge, radius = tan(radians(sweep) / 4), 32.0
    arc = Segment((0, 0), (2 * radius * sin(radians(sweep) / 2), 0), bulge)

    assert arc.radius == pytest.approx(radius, abs=ROUNDING)
    assert arc.length == pytest.approx(radius * radians(sweep), abs=ROUNDING)
    assert hypot(*arc.center) == pytest.approx(radius, abs=ROUNDING)
    low = min(y for _, y in arc.points(CHORD / 100))
    assert low == pytest.approx(-bulge * arc.chord / 2, abs=CHORD / 50)


def test_a_half_circle_to_the_right_passes_below():
    # Checked against the DXF library: from (0, 0) to (10, 0) with bulge 1 the centre is (5, 0) and (5, -5) lies on it.
    arc = Segment((0, 0), (10, 0), 1.0)

    assert (*arc.center, arc.radius) == pytest.approx((5, 0, 5), abs=ROUNDING)
    assert min(hypot(x - 5, y + 5) for x, y in arc.points(1e-6)) < 0.02
    assert max(y for _, y in arc.points()) < ROUNDING


def test_a_negative_bulge_bends_the_other_way():
    arc = Segment((0, 0), (10, 0), -1.0)

    assert arc.sweep == pytest.approx(-180, abs=ROUNDING)
    assert max(y for _, y in arc.points()) == pytest.approx(5, abs=CHORD)
    assert min(y for _, y in arc.points()) > -ROUNDING


@pytest.mark.parametrize(
    ("loop", "area", "length"),
    [
        (STADIUM, 20 * 8 + pi * 4**2, 40 + 8 * pi),
        (ROUNDED_SQUARE, 20**2 - (4 - pi) * 5**2, 40 + 10 * pi),
        (BITTEN, 30 * 10 - pi * 5**2 / 2, 70 + 5 * pi),
        (Loop(((0, 0), (3, 0), (0, 4)), (0, 0, 0)), 6, 12),
        (Circle((7, -3), 22).halves(), pi * 22**2, 44 * pi),
        (Circle((7, -3), 22), pi * 22**2, 44 * pi),
    ],
)
def test_areas_and_lengths_in_closed_form(loop, area, length):
    assert loop.area == pytest.approx(area, abs=ROUNDING)
    assert loop.length == pytest.approx(length, abs=ROUNDING)


@pytest.mark.parametrize("loop", LOOPS)
def test_area_is_signed_by_the_direction(loop):
    assert loop.signed_area > 0
    assert loop.reversed().signed_area == pytest.approx(-loop.signed_area, abs=ROUNDING)


@pytest.mark.parametrize("loop", LOOPS)
def test_reversing_keeps_the_line_and_twice_is_nothing(loop):
    there = Polygon(loop.flattened(CHORD / 10))
    back = Polygon(loop.reversed().flattened(CHORD / 10))

    assert there.symmetric_difference(back).area < CHORD * loop.length
    assert loop.reversed().length == pytest.approx(loop.length, abs=ROUNDING)
    assert loop.reversed().reversed() == loop
    assert [segment.bulge for segment in loop.reversed().segments()] == [-bulge for bulge in _backwards(loop)]


def _backwards(loop: Loop) -> list[float]:
    """Bulges as one meets them walking back from the last vertex."""
    ends = {segment.end: segment.bulge for segment in loop.segments()}
    return [ends[point] for point in loop.points[::-1]]


@pytest.mark.parametrize("loop", LOOPS)
def test_moving_changes_nothing_but_the_place(loop):
    moved = loop.moved(1500.0, -700.0)

    assert moved.signed_area == pytest.approx(loop.signed_area, abs=1e-6)  # mm2, at 1.5 m
    assert moved.length == pytest.approx(loop.length, abs=ROUNDING)
    assert moved.bulges == loop.bulges
    assert moved.points[0] == (loop.points[0][0] + 1500.0, loop.points[0][1] - 700.0)


def test_a_moved_circle_keeps_its_radius():
    assert Circle((1, 2), 22.3).moved(10, -20) == Circle((11, -18), 22.3)


@pytest.mark.parametrize("turn", range(0, 360, 17))
def test_bounds_against_dense_sampling(turn):
    sampling = 1e-6  # mm, the sagitta of the sample
    for loop in LOOPS:
        turned = _turned(loop, turn)
        xs, ys = zip(*turned.flattened(sampling), strict=True)
        bounds = Outline(turned, (), 0.0).bounds

        assert bounds == pytest.approx((min(xs), min(ys), max(xs), max(ys)), abs=2 * sampling)
        assert bounds == pytest.approx(Outline(turned.reversed(), (), 0.0).bounds, abs=ROUNDING)


def _turned(loop: Loop, degrees: float) -> Loop:
    c, s = sin(radians(90 - degrees)), sin(radians(degrees))
    return Loop(tuple((x * c - y * s, x * s + y * c) for x, y in loop.points), loop.bulges)


def test_bounds_of_a_circle_are_its_own_numbers():
    assert Outline(Circle((1, 2), 22), (), 0.0).bounds == (-21, -20, 23, 24)


@pytest.mark.parametrize("chord", [0.1, CHORD, CHORD / 10])
@pytest.mark.parametrize("contour", [*LOOPS, Circle((0, 0), 0.15), Circle((3, 4), 22), Circle((0, 0), 950)])
def test_flattening_keeps_within_the_chord_error_on_the_inside(contour, chord):
    flat = contour.flattened(chord)
    missing = contour.area - Polygon(flat).area

    # A chord cuts off two thirds of chord x sagitta; a clockwise arc adds the same.
    assert abs(missing) <= 2 / 3 * chord * contour.length + ROUNDING
    assert flat[0] != flat[-1]


@pytest.mark.parametrize("radius", [0.05, 0.15, 2.75, 22, 300, 950])
def test_as_many_chords_as_needed_and_no_more(radius):
    count = chords_needed(radius, 2 * pi, CHORD)

    def sagitta(chords):
        return radius * (1 - sin(pi / 2 - pi / chords))

    assert sagitta(count) <= CHORD * (1 + 1e-9)
    assert sagitta(count - 1) > CHORD


@pytest.mark.parametrize("radius", [CHORD / 2, CHORD])
def test_a_circle_no_larger_than_the_chord_error_is_still_closed(radius):
    assert chords_needed(radius, 2 * pi, CHORD) >= 4


def test_net_area_and_cut_length_of_an_outline():
    outline = Outline(ROUNDED_SQUARE, (Circle((0, 0), 3), STADIUM.reversed()), 0.0)
    outside, bore, slot = 400 - (4 - pi) * 25, 9 * pi, 160 + 16 * pi

    assert outline.area == pytest.approx(outside - bore - slot, abs=ROUNDING)
    assert outline.cut_length == pytest.approx(40 + 10 * pi + 6 * pi + 40 + 8 * pi, abs=ROUNDING)
    assert outline.contours[-1] is outline.outer
    assert outline.moved(5, 6).area == pytest.approx(outline.area, abs=ROUNDING)
