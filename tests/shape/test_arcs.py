"""The polygon's ring back to lines, arcs and circles: how many, which radii, how near."""

import sys
from math import acos, ceil, cos, pi, radians, sin

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import Polygon

from gasketcut.shape import outlines
from gasketcut.shape.arcs import KnownArcs, trace
from gasketcut.shape.loop import Circle, Loop
from gasketcut.tolerances import ARC_FIT, CHORD, GRID

NANOMETRE = 1e-6  # mm
HAIR = 1e-4  # mm: what our own dense sampling and the sag between a chord's end and middle leave open


def ring_of(polygon):
    return np.asarray(polygon.exterior.coords)[:-1]


def polygon_with_corners(count, radius=20.0):
    return Polygon([(radius * cos(2 * pi * n / count), radius * sin(2 * pi * n / count)) for n in range(count)])


def lobed():
    ears = [(30 * cos(radians(turn)), 30 * sin(radians(turn))) for turn in (45, 135, 225, 315)]
    union = outlines.union([outlines.disc((0, 0), 64), *(outlines.disc(ear, 14) for ear in ears)])
    known = KnownArcs((Circle((0, 0), 32), *(Circle(ear, 7) for ear in ears)), (4.0,))
    return outlines.one_piece(outlines.filled_corners(union, 4), "union"), known


def three_discs():
    places = (Circle((-10, 0), 15), Circle((10, 0), 15), Circle((0, 15), 12))
    union = outlines.union(outlines.disc(place.center, 2 * place.radius) for place in places)
    return outlines.one_piece(union, "union"), KnownArcs(places)


def hull():
    discs = [outlines.disc((-20, 0), 10), outlines.disc((20, 3), 20), outlines.disc((5, 30), 6)]
    return outlines.hull(discs, 3), KnownArcs((Circle((-20, 0), 8), Circle((20, 3), 13), Circle((5, 30), 6)))


def slot(length, width):
    half = (length - width) / 2
    return outlines.slot(length, width), KnownArcs((Circle((-half, 0), width / 2), Circle((half, 0), width / 2)))


def rectangle(width, height, corner):
    return outlines.rectangle(width, height, corner), KnownArcs((), (corner,))


def notched():
    notch = outlines.placed(outlines.rectangle(10, 4), (20, 0), 0)
    return outlines.disc((0, 0), 40).difference(notch), KnownArcs((Circle((0, 0), 20),))


def band_with_bar():  # the chords of a grown disc may be of two lengths
    band = outlines.grown(outlines.disc((0, 0), 4), 4.48)
    return band.union(outlines.rectangle(40, 3.2)), KnownArcs((Circle((0, 0), 6.48),))


def stepped():
    points = [(0, 0), (40, 0), (40, 15), (15, 15), (15, 30), (0, 30)]
    return outlines.rounded(points, 3.0), KnownArcs((), (3.0,))


SHAPES = {  # name: polygon with what is known, lines, arcs, radii
    "rounded rectangle": (rectangle(40, 30, 5), 4, 4, {5}),
    "slot": (slot(40, 8), 2, 2, {4}),
    "hull of three discs": (hull(), 3, 3, {6, 8, 13}),
    "lobes with fillets": (lobed(), 0, 16, {4, 7, 32}),  # four ears, two fillets at each, four stretches between
    "three discs": (three_discs(), 0, 6, {12, 15}),  # each turns by more than half a circle, so each is two
    "disc with a notch": (notched(), 3, 2, {20}),  # the long arc is two
    "L with rounded corners": (stepped(), 6, 6, {3}),
    "almost a slot": (rectangle(10, 4, 1.9), 4, 4, {1.9}),  # flats of 0.2 mm between its arcs
    "band of two chord lengths": (band_with_bar(), 6, 2, {6.48}),
    "tiny rounded rectangle": (rectangle(0.3, 0.3, 0.05), 4, 4, {0.05}),
    "tiny slot": (slot(0.3, 0.1), 2, 2, {0.05}),
    "huge rounded rectangle": (rectangle(1900, 1500, 300), 4, 4, {300}),
    "huge plate": (rectangle(1900, 1500, 2), 4, 4, {2}),
    "huge slot": (slot(1900, 600), 2, 2, {300}),
    "hexagon": ((polygon_with_corners(6), KnownArcs()), 6, 0, set()),
    "24-gon": ((polygon_with_corners(24), KnownArcs()), 24, 0, set()),
}
OVALS = [(32, 20), (28, 19), (44, 43), (5, 4), (60, 6), (320, 200)]


def counted(contour):
    if isinstance(contour, Circle):
        return "circle"
    bulges = [segment.bulge for segment in contour.segments()]
    return bulges.count(0.0), len(bulges) - bulges.count(0.0)


def dense(contour):
    """The contour finely divided, without the package's own arithmetic: no chord is more than 0.02 um off."""
    if isinstance(contour, Circle):
        (x, y), radius = contour.center, contour.radius
        contour = Loop(((x - radius, y), (x + radius, y)), (1.0, 1.0))
    points = []
    ends = contour.points[1:] + contour.points[:1]
    for (x0, y0), (x1, y1), bulge in zip(contour.points, ends, contour.bulges, strict=True):
        start, end = complex(x0, y0), complex(x1, y1)
        points.append(start)
        if bulge:
            sweep = 4 * np.arctan(bulge)  # turned by it about the centre, the start comes to lie on the end
            spoke = (start - end) / (1 - np.exp(1j * sweep))
            count = ceil(abs(sweep) / (2 * acos(1 - 2e-5 / max(abs(spoke), 1e-3))))
            turns = np.exp(1j * sweep * np.arange(1, count) / count)
            points += list(start - spoke + spoke * turns)
    return np.column_stack([np.real(points), np.imag(points)])


def two_sided(contour, ring):
    """The greatest distance between contour and ring, both ways [mm]."""
    steps = np.linspace(0, 1, 12, endpoint=False)[:, None, None]
    fine = (ring * (1 - steps) + np.roll(ring, -1, axis=0) * steps).reshape(-1, 2)
    drawn = dense(contour)
    return max(_farthest(fine, drawn), _farthest(drawn, ring))


def _farthest(points, ring):
    tree = shapely.STRtree(shapely.linestrings(np.stack([ring, np.roll(ring, -1, axis=0)], axis=1)))
    _, away = tree.query_nearest(shapely.points(points), return_distance=True, all_matches=False)
    return float(away.max())


@pytest.mark.parametrize("name", SHAPES)
def test_segment_counts_and_exact_radii(name):
    (polygon, known), lines, arcs, radii = SHAPES[name]
    loop, deviation = trace(ring_of(polygon), known)
    assert counted(loop) == (lines, arcs)
    found = [segment.radius for segment in loop.segments() if segment.bulge]
    assert all(min(abs(radius - wanted) for wanted in radii) < NANOMETRE for radius in found)
    assert {round(radius, 5) for radius in found} == radii
    assert deviation <= ARC_FIT


@pytest.mark.parametrize("corner", [0.99, 0.999])
def test_flats_too_short_to_see_do_not_shatter_their_arcs(corner):
    thin = outlines.rounded([(0, 0), (40, 0), (40, 2), (2, 2), (2, 40), (0, 40)], corner)
    loop, _ = trace(ring_of(thin), KnownArcs((), (corner,)))
    assert len(loop.points) <= 12
    assert all(segment.bulge == 0 or abs(segment.radius - corner) < CHORD for segment in loop.segments())


@pytest.mark.parametrize("name", ["rounded rectangle", "slot", "hull of three discs", "lobes with fillets", "24-gon"])
def test_the_same_far_from_the_origin(name):
    (polygon, known), lines, arcs, radii = SHAPES[name]
    there = KnownArcs(tuple(one.moved(1500, -1500) for one in known.circles), known.radii)
    far, _ = trace(np.add(ring_of(polygon), (1500, -1500)), there)
    assert counted(far) == (lines, arcs)
    assert far.area == pytest.approx(trace(ring_of(polygon), known)[0].area, abs=NANOMETRE * far.length)
    assert {round(segment.radius, 5) for segment in far.segments() if segment.bulge} == radii


@pytest.mark.parametrize("diameter", [0.3, 2.5, 5.5, 44.6, 1900])
@pytest.mark.parametrize("at", [(0, 0), (1500, -3)])
def test_a_disc_is_a_circle_even_if_nobody_said_so(diameter, at):
    ring = ring_of(outlines.disc(at, diameter))
    found, deviation = trace(ring)
    assert isinstance(found, Circle)
    assert (*found.center, found.radius) == pytest.approx((*at, diameter / 2), abs=NANOMETRE)
    assert trace(ring, KnownArcs((Circle(at, diameter / 2),)))[0] == Circle(at, diameter / 2)
    assert deviation <= CHORD


@pytest.mark.parametrize("name", ["hull of three discs", "lobes with fillets", "rounded rectangle"])
def test_unknown_radii_are_found_to_a_micrometre(name):
    (polygon, _), lines, arcs, radii = SHAPES[name]
    loop, _ = trace(ring_of(polygon))
    found = [segment.radius for segment in loop.segments() if segment.bulge]
    assert counted(loop) == (lines, arcs)
    assert all(min(abs(radius - wanted) for wanted in radii) < CHORD for radius in found)


@pytest.mark.parametrize("axes", OVALS)
def test_an_ellipse_is_all_arcs(axes):
    ring = ring_of(outlines.oval(*axes))
    loop, deviation = trace(ring)
    assert counted(loop)[0] == 0
    assert len(loop.points) < len(ring) / 4
    assert two_sided(loop, ring) <= deviation + HAIR <= ARC_FIT + HAIR


@pytest.mark.parametrize("name", SHAPES)
def test_the_deviation_is_reported_honestly(name):
    ring = ring_of(SHAPES[name][0][0])
    for known in (SHAPES[name][0][1], KnownArcs()):
        contour, reported = trace(ring, known)
        measured = two_sided(contour, ring)
        assert measured <= reported + HAIR
        assert reported <= measured + CHORD  # a bound, but no idle one


@pytest.mark.parametrize("shift", [0.05, 0.2, 4, 37, 39, 39.9])
@pytest.mark.parametrize("how", ["union", "intersection", "difference"])
def test_sharp_crossings_stay_within_the_fit(shift, how):
    one, other = outlines.disc((0, 0), 40), outlines.disc((shift, 0), 40)
    ring = ring_of(getattr(one, how)(other))
    loop, reported = trace(ring, KnownArcs((Circle((0, 0), 20), Circle((shift, 0), 20))))
    assert two_sided(loop, ring) <= min(ARC_FIT, reported) + HAIR


@pytest.mark.parametrize("seed", [*range(12), 17, 96, 117, 125, 146, 147])  # the last six have been far off once
def test_any_union_of_discs_with_filled_corners_comes_back_as_it_was(seed):
    rng = np.random.default_rng(seed)
    discs = [outlines.disc(tuple(rng.uniform(-15, 15, 2)), rng.uniform(4, 30)) for _ in range(rng.integers(2, 6))]
    filled = outlines.filled_corners(outlines.union(discs), float(rng.choice([0, 0.2, 1, 3, 6])))
    ring = ring_of(outlines.pieces(filled)[0])
    loop, reported = trace(ring)
    assert two_sided(loop, ring) <= min(ARC_FIT, reported) + HAIR


@given(
    name=st.sampled_from([*(name for name in SHAPES if "huge" not in name), *OVALS[:3]]),
    turn=st.floats(0, 360),
    is_mirrored=st.booleans(),
    is_backwards=st.booleans(),
    start=st.integers(0, 2000),
)
@settings(max_examples=150, deadline=None, derandomize=True, database=None)
def test_turning_mirroring_reversing_and_another_start_change_nothing(name, turn, is_mirrored, is_backwards, start):
    polygon = SHAPES[name][0][0] if name in SHAPES else outlines.oval(*name)
    radii = tuple(SHAPES[name][3]) if name in SHAPES else ()
    plain, _ = trace(ring_of(polygon), KnownArcs((), radii))
    ring = ring_of(affinity.rotate(polygon, turn, origin=(0, 0)))
    ring = ring * (-1, 1) if is_mirrored else ring
    ring = np.roll(ring[::-1] if is_backwards else ring, start, axis=0)
    loop, _ = trace(ring, KnownArcs((), radii))
    assert counted(loop) == counted(plain)
    assert loop.length == pytest.approx(plain.length, abs=CHORD / 10)
    assert loop.area == pytest.approx(plain.area, abs=CHORD / 10 * plain.length)
    assert np.sign(loop.signed_area) == (1 if Polygon(ring).exterior.is_ccw else -1)
    assert all(-1 <= bulge <= 1 for bulge in loop.bulges)
    assert all(segment.chord > GRID for segment in loop.segments())


@pytest.mark.parametrize("name", ["rounded rectangle", "slot", "L with rounded corners", "tiny slot", "almost a slot"])
def test_every_start_vertex_gives_the_same(name):
    (polygon, known), lines, arcs, _ = SHAPES[name]
    ring = ring_of(polygon)
    assert {counted(trace(np.roll(ring, start, axis=0), known)[0]) for start in range(len(ring))} == {(lines, arcs)}


@pytest.mark.parametrize("seed", range(4))
def test_noise_on_an_outline_gives_lines_and_no_absurd_radii(seed):
    loop, deviation = trace(scanned("noisy", 400, seed))
    assert counted(loop)[0] > 20 * counted(loop)[1]
    assert all(segment.bulge == 0 or segment.radius < 400 for segment in loop.segments())
    assert deviation <= ARC_FIT


@pytest.mark.parametrize(("radius", "sweep", "vertices"), [(62_500, 0.09, 60), (200, 1.8, 6)])
def test_a_nearly_straight_bow_is_no_arc(radius, sweep, vertices):
    turns = np.radians(np.linspace(-sweep / 2, sweep / 2, vertices))
    bow = np.column_stack([radius * np.sin(turns), radius - radius * np.cos(turns)])
    assert counted(trace([*bow, (bow[-1][0], 30), (bow[0][0], 30)])[0])[1] == 0


def scanned(kind, count, seed=1):
    """Outlines as they come from a scan, with that many vertices."""
    turns = np.arange(count) * 2 * pi / count
    if kind == "square":
        return ring_of(shapely.segmentize(shapely.box(0, 0, 100, 100), 400 / count))
    noise = np.random.default_rng(seed).normal(0, 0.05, count)
    reach = 40 + noise if kind == "noisy" else 40 + 2 * np.cos(3 * turns)
    return np.column_stack([reach * np.cos(turns), reach * np.sin(turns)])


def work_of(ring):
    """Lines of the package's code that tracing the ring takes, and numbers handed to the sums over vertices."""
    work = np.zeros(2, dtype=int)

    def step(frame, event, _):
        if event == "call" and frame.f_code.co_filename.endswith("circlefit.py"):
            work[1] += sum(value.size for value in frame.f_locals.values() if isinstance(value, np.ndarray))
        work[0] += event == "line"
        return step if "gasketcut" in frame.f_code.co_filename else None

    before = sys.gettrace()
    sys.settrace(step)
    try:
        trace(ring)
    finally:
        sys.settrace(before)
    return work


@pytest.mark.parametrize("kind", ["cam", "noisy", "square"])
def test_work_grows_with_the_vertices_and_not_with_their_square(kind):
    few, many = work_of(scanned(kind, 500)), work_of(scanned(kind, 5000))
    assert all(few > 100)
    assert all(many < 20 * few)  # n log n is about 14; a square would be 100
