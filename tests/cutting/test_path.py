"""The tool's path: order, lead-ins, tabs, overcut; each as a property of what comes out, by shapely where it can be."""

from collections import Counter
from itertools import combinations, pairwise
from math import dist, pi

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon

from gasketcut.cutting.path.lead import with_leads
from gasketcut.cutting.path.order import ordered, travel
from gasketcut.cutting.path.overcut import overcut_of
from gasketcut.cutting.path.stroke import Stroke, between, corners, mark, strokes_of, through
from gasketcut.cutting.path.tab import tab_count, with_tabs
from gasketcut.cutting.path.toolpath import PathOptions, tool_path
from gasketcut.cutting.path.tour import shorter
from gasketcut.shape.loop import Circle, Loop, Outline

CUTS = ("CUT-INSIDE", "CUT-OUTSIDE")


def box(x, y, width, height):
    return Loop(((x, y), (x + width, y), (x + width, y + height), (x, y + height)), (0.0,) * 4)


def slot(x, y, length, width):
    """Clockwise, as an opening is; two straight edges and two half circles."""
    return Loop(((x, y), (x, y + width), (x + length, y + width), (x + length, y)), (-1.0, 0.0, -1.0, 0.0))


def flange(x=0.0, y=0.0):
    """80 x 60 with a bore, two bolt holes and a slot."""
    inner = (
        Circle((x + 40, y + 30), 18.0),
        Circle((x + 8, y + 8), 3.25),
        Circle((x + 72, y + 52), 3.25),
        slot(x + 20, y + 5, 30.0, 4.0),
    )
    return Outline(box(x, y, 80, 60), inner, 0.0)


def sheet(places):
    return tuple(
        stroke
        for number, (x, y) in enumerate(places)
        for stroke in strokes_of(
            flange(x, y), number, [through([(x + 30, y + 54), (x + 50, y + 54), (x + 50, y + 56)])]
        )
    )


def shape_of(stroke):
    """What the stroke draws, whatever its start and direction."""
    length, points = round(stroke.length, 6), stroke.flattened(0.01)
    box_of = LineString(points).bounds
    return stroke.layer, stroke.part, length, tuple(round(number, 2) for number in box_of)


SPOTS = st.lists(st.tuples(st.integers(0, 5), st.integers(0, 5)), min_size=1, max_size=9, unique=True)


@given(SPOTS)
def test_marks_first_then_part_after_part_inside_before_outside(spots):
    given_strokes = sheet([(x * 90.0, y * 70.0) for x, y in spots])
    path = ordered(given_strokes)

    layers = [stroke.layer for stroke in path.strokes]
    assert layers[: len(spots)] == ["MARK"] * len(spots)
    cuts = path.strokes[len(spots) :]
    changes = [one.part for one, other in pairwise(cuts) if one.part != other.part] + [cuts[-1].part]
    assert sorted(changes) == list(range(len(spots)))  # each part's cuts stand together
    for one, other in pairwise(cuts):
        assert (one.layer == "CUT-OUTSIDE") == (one.part != other.part)


@given(SPOTS)
def test_order_changes_no_geometry_and_is_never_longer_than_as_given(spots):
    given_strokes = sheet([(x * 90.0, y * 70.0) for x, y in spots])
    path = ordered(given_strokes)

    assert Counter(map(shape_of, path.strokes)) == Counter(map(shape_of, given_strokes))
    assert sum(one.length for one in path.strokes) == pytest.approx(sum(one.length for one in given_strokes), abs=1e-6)
    assert path.travel == pytest.approx(travel(path.strokes))
    by_hand = [*(s for s in given_strokes if s.layer == "MARK"), *(s for s in given_strokes if s.layer != "MARK")]
    assert path.travel <= travel(by_hand) + 1e-6
    assert ordered(given_strokes) == path


def test_the_way_round_a_ring_of_holes_is_the_short_one():
    # Eight holes at the corners of an octagon, given crosswise: from the first, the best way is seven of its sides.
    octagon = [Point(0, 0).buffer(50, quad_segs=2).exterior.coords[number] for number in (0, 4, 1, 5, 2, 6, 3, 7)]
    plate = Outline(box(-80, -80, 160, 160), tuple(Circle(place, 3.0) for place in octagon), 0.0)
    path = ordered(strokes_of(plate), (-80.0, -80.0))
    holes = path.strokes[:-1]

    side = 2 * 50 * 0.3826834323650898  # sin 22.5 deg
    assert travel(holes[1:], holes[0].start) == pytest.approx(7 * side, rel=1e-6)


@given(st.lists(st.tuples(st.integers(0, 50), st.integers(0, 50)), min_size=2, max_size=9, unique=True), st.booleans())
def test_no_stretch_turned_round_and_no_point_moved_would_shorten_the_way(points, ends):
    start, end = (0.0, 0.0), (50.0, 0.0) if ends else None

    def way(order):
        stops = [start, *(points[number] for number in order), *([end] if end else [])]
        return sum(dist(one, other) for one, other in pairwise(stops))

    order = shorter(np.array(points, dtype=float), start, end)
    assert sorted(order) == list(range(len(points)))
    assert way(order) <= way(range(len(points))) + 1e-9
    for i, j in combinations(range(len(points) + 1), 2):
        assert way([*order[:i], *order[i:j][::-1], *order[j:]]) >= way(order) - 1e-5
    for i in range(len(points)):
        rest = [*order[:i], *order[i + 1 :]]
        for j in range(len(points)):
            assert way([*rest[:j], order[i], *rest[j:]]) >= way(order) - 1e-5


def test_parts_in_a_row_are_cut_along_the_row():
    row = [stroke for stroke in sheet([(x * 90.0, 0.0) for x in (3, 0, 4, 1, 2)]) if stroke.layer in CUTS]
    path = ordered(row)
    cuts = [stroke.part for stroke in path.strokes if stroke.layer == "CUT-OUTSIDE"]
    assert cuts == [1, 3, 4, 0, 2]


def test_a_part_in_anothers_bore_comes_before_that_part():
    ring = Outline(Circle((40.0, 30.0), 12.0), (Circle((40.0, 30.0), 6.0),), 0.0)
    plug = Outline(Circle((40.0, 30.0), 4.0), (), 0.0)
    strokes = (*strokes_of(flange(), 0), *strokes_of(ring, 1), *strokes_of(plug, 2), *strokes_of(flange(90.0), 3))
    for origin in ((0.0, 0.0), (200.0, 60.0)):
        order = [stroke.part for stroke in ordered(strokes, origin).strokes if stroke.layer == "CUT-OUTSIDE"]
        assert order.index(2) < order.index(1) < order.index(0)


def test_nothing_in_nothing_out():
    assert ordered(()).strokes == ()
    assert ordered(()).travel == 0


def test_five_hundred_parts_are_ordered_in_seconds():
    path = ordered(sheet([(x * 90.0, y * 70.0) for x in range(25) for y in range(20)]))
    assert len(path.strokes) == 3000
    assert path.travel < 500 * 300  # five holes and the outside of a part of 80 by 60


def test_a_mark_without_length_is_refused():
    with pytest.raises(ValueError, match="two points that differ"):
        through([(1.0, 2.0), (1.0, 2.0)])


@given(st.floats(0, 300), st.floats(0.1, 100))
def test_a_stretch_has_the_length_asked_for_and_lies_on_the_contour(first, size):
    stroke = next(one for one in strokes_of(flange()) if len(one.segments) == 4)  # the slot: lines and arcs
    first %= stroke.length
    last = first + min(size, stroke.length)
    pieces = between(stroke.segments, first, last)

    assert sum(piece.length for piece in pieces) == pytest.approx(last - first, abs=1e-6)
    line = LineString(stroke.flattened(1e-4))
    assert max(line.distance(Point(place)) for piece in pieces for place in piece.points(0.01)) < 2e-4
    for one, other in pairwise(pieces):
        assert dist(one.end, other.start) < 1e-9


def test_the_turns_of_a_contour_add_up_to_once_round():
    outer = strokes_of(flange())[-1]
    assert sum(turn for _, turn in corners(outer.segments)) == pytest.approx(2 * pi)
    hole = strokes_of(flange())[-2]
    arcs = sum(segment.sweep for segment in hole.segments) * pi / 180
    assert sum(turn for _, turn in corners(hole.segments)) + arcs == pytest.approx(-2 * pi)


def solids(outlines):
    return [Polygon(one.outer.flattened(), [hole.flattened() for hole in one.inner]) for one in outlines]


@pytest.mark.parametrize("form", ["arc", "line"])
@pytest.mark.parametrize("clear", [0.05, 0.4])
def test_a_lead_in_starts_in_scrap_clear_of_every_part(form, clear):
    outlines = [flange(), flange(83.0), Outline(Circle((40.0, 30.0), 12.0), (Circle((40.0, 30.0), 6.0),), 0.0)]
    strokes = [stroke for number, one in enumerate(outlines) for stroke in strokes_of(one, number)]
    led = with_leads(strokes, 2.0, clear, form=form)
    leads = [stroke for stroke in led.strokes if stroke.layer == "LEAD"]

    assert len(leads) == len(strokes)  # every contour found one
    parts = shapely.union_all(solids(outlines))
    assert min(parts.distance(Point(lead.start)) for lead in leads) >= clear - 2e-3  # chords of 1 um
    for lead, cut in pairwise(led.strokes):
        if lead.layer == "LEAD":
            assert lead.part == cut.part
            assert dist(lead.end, cut.start) < 1e-9
            assert parts.intersection(LineString(lead.flattened())).length < 5e-3
            own = Polygon(cut.flattened())
            assert own.contains(Point(lead.start)) == (cut.layer == "CUT-INSIDE")
    cut_again = [stroke for stroke in led.strokes if stroke.layer != "LEAD"]
    assert Counter(map(shape_of, cut_again)) == Counter(map(shape_of, strokes))


def test_an_arc_runs_into_the_cut_and_a_line_comes_in_square():
    strokes = strokes_of(flange())
    for lead, cut in pairwise(with_leads(strokes, 2.0, 0.1).strokes):
        if lead.layer == "LEAD":
            joined = (lead.segments[0], cut.segments[0])
            assert abs(list(corners(joined))[1][1]) < 1e-6
    hole = strokes_of(Outline(box(0, 0, 60, 60), (Circle((30.0, 30.0), 9.0),), 0.0))[0]
    lead = with_leads((hole,), 2.0, 0.1, form="line").strokes[0]
    assert dist(lead.start, (30.0, 30.0)) == pytest.approx(7.0)


def test_no_room_gives_a_shorter_lead_in_or_none_and_says_so():
    outline = Outline(box(0, 0, 40, 30), (Circle((10.0, 10.0), 1.5), Circle((30.0, 10.0), 0.15)), 0.0)
    led = with_leads(strokes_of(outline), 3.0, 0.1, names={0: "cover"})

    assert [finding.found for finding in led.findings] == [pytest.approx(1.05, abs=0.4), 0.0]
    assert [finding.part for finding in led.findings] == ["cover", "cover"]
    assert "has no room" in led.findings[1].text
    assert [stroke.layer for stroke in led.strokes] == ["LEAD", "CUT-INSIDE", "CUT-INSIDE", "LEAD", "CUT-OUTSIDE"]
    assert led.strokes[2].circle == outline.inner[1]  # untouched


@given(st.floats(0.3, 6.0), st.floats(0.05, 1.0), st.sampled_from(["arc", "line"]))
def test_in_a_hole_of_any_size_the_start_is_clear_of_its_edge(radius, clear, form):
    hole = strokes_of(Outline(box(-20, -20, 40, 40), (Circle((0.0, 0.0), radius),), 0.0))[0]
    led = with_leads((hole,), 3.0, clear, form=form)
    for lead in led.strokes[:-1]:
        assert radius - dist(lead.start, (0, 0)) >= clear - 1e-6
        # Further on it only comes nearer: what it cuts on its way is scrap.
        away = [radius - dist(place, (0, 0)) for place in lead.flattened()]
        first = next(number for number, one in enumerate(away) if one < clear) if min(away) < clear else len(away)
        assert all(after < before + 1e-9 for before, after in pairwise(away[first:]))
    if radius > 3 * clear + 1:
        assert len(led.strokes) == 2


def test_parts_side_by_side_lead_in_where_the_gap_is_not():
    strokes = [*strokes_of(Outline(box(0, 0, 40, 30), (), 0.0)), *strokes_of(Outline(box(41, 0, 40, 30), (), 0.0), 1)]
    room = shapely.box(-1, -5, 90, 31)
    led = with_leads(strokes, 3.0, 0.2, within=room)

    assert led.findings == ()
    leads = [LineString(stroke.flattened()) for stroke in led.strokes if stroke.layer == "LEAD"]
    assert all(room.contains(line) for line in leads)
    assert leads[0].distance(shapely.box(41, 0, 81, 30)) >= 0.2
    assert leads[1].distance(shapely.box(0, 0, 40, 30)) >= 0.2


@given(st.integers(1, 6), st.floats(0.2, 1.5))
def test_cuts_and_tabs_are_the_whole_contour_once(count, width):
    for stroke in strokes_of(flange()):
        if stroke.length < 40:
            continue
        tabbed = with_tabs(stroke, count, width)
        tabs = [one for one in tabbed.strokes if one.layer == "TAB"]

        assert len(tabs) == tabbed.count == count
        assert [one.length for one in tabs] == pytest.approx([width] * count, abs=1e-6)
        assert sum(one.length for one in tabbed.strokes) == pytest.approx(stroke.length, abs=1e-6)
        assert all(dist(one.end, other.start) < 1e-6 for one, other in pairwise(tabbed.strokes))
        assert dist(tabbed.strokes[-1].end, stroke.start) < 1e-6
        line = LineString(stroke.flattened())
        assert max(line.distance(Point(place)) for one in tabs for place in one.flattened()) < 2e-3


@given(st.integers(1, 20), st.floats(0.2, 1.0))
def test_tabs_stand_on_straight_edges_off_the_corners_and_off_the_start(count, width):
    outer = strokes_of(flange())[-1]
    tabbed = with_tabs(outer, count, width, off_start=1.0)
    assert tabbed.count == count
    for tab in tabbed.strokes:
        if tab.layer == "TAB":
            assert all(segment.bulge == 0 for segment in tab.segments)
            ends = (tab.start, tab.end)
            assert min(dist(place, one.start) for place in ends for one in outer.segments) >= 1.5 * width - 1e-6
            assert min(dist(place, outer.start) for place in ends) >= 1.0 + 1.5 * width - 1e-6


def test_how_many_tabs_a_piece_gets():
    hole, *_ = strokes_of(Outline(box(0, 0, 200, 90), (Circle((20.0, 20.0), 4.0),), 0.0))
    bore, outer = strokes_of(Outline(box(0, 0, 200, 90), (Circle((90.0, 45.0), 30.0),), 0.0))
    assert (tab_count(hole), tab_count(hole, 5)) == (0, 0)  # falls through
    assert (tab_count(bore), tab_count(bore, 5)) == (2, 2)
    assert (tab_count(outer), tab_count(outer, 5)) == (3, 5)
    assert with_tabs(hole, 2, 3.0).strokes == (hole,)  # too tight for tabs that wide


def test_overcut_goes_over_the_beginning_once_more():
    for stroke in strokes_of(flange()):
        more = overcut_of(stroke, 1.0)
        assert more.layer == "OVERCUT"
        assert more.start == stroke.end == stroke.start
        assert more.length == pytest.approx(1.0)
        line = LineString(stroke.flattened(1e-4))
        assert max(line.distance(Point(place)) for place in more.flattened()) < 2e-4
    assert overcut_of(stroke, 0.0) is None
    assert overcut_of(stroke, 1e6).length == pytest.approx(stroke.length)
    assert overcut_of(mark(through([(0, 0), (5, 0)])), 1.0) is None


def test_all_together():
    strokes = sheet([(0.0, 0.0), (90.0, 0.0)])
    options = PathOptions(order=True, lead_in=1.0, clear=0.1, overcut=1.0, tab=0.5)
    path = tool_path(strokes, options, names={0: "one", 1: "two"})

    count = Counter(stroke.layer for stroke in path.strokes)
    assert count["LEAD"] == count["OVERCUT"] == 10
    assert count["TAB"] == 2 * (2 + 2 + 2)  # outside, bore, slot; none in the small holes
    for layer in CUTS:
        whole = sum(one.length for one in strokes if one.layer == layer)
        cut = sum(one.length for one in path.strokes if one.layer == layer)
        tabs = 0.5 * (4 if layer == "CUT-OUTSIDE" else 8)
        assert cut == pytest.approx(whole - tabs, abs=1e-6)
    for one, other in pairwise(path.strokes):
        if one.layer == "LEAD" or other.layer in ("TAB", "OVERCUT"):
            assert dist(one.end, other.start) < 1e-6  # no going up in between
    assert path.travel == pytest.approx(travel(path.strokes))


def test_what_is_not_asked_for_stays_off():
    strokes = sheet([(0.0, 0.0)])
    path = tool_path(strokes, PathOptions())
    assert path.strokes == strokes
    assert path.findings == ()
    assert all(isinstance(stroke, Stroke) for stroke in path.strokes)


def test_a_whole_circle_stays_one_until_something_needs_its_start():
    strokes = strokes_of(flange())
    assert [type(one.contour()) for one in ordered(strokes).strokes].count(Circle) == 3
    assert all(one.circle is None for one in with_leads(strokes, 1.0, 0.1).strokes)
    with pytest.raises(ValueError, match="open"):
        mark(through([(0, 0), (5, 0)])).contour()
