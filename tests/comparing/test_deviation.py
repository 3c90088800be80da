"""The largest deviation of two closed lines, against closed forms and against points set everywhere."""

from math import cos, hypot, pi, sin

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from gasketcut.comparing.deviation import ACCURACY, between, between_circles
from gasketcut.comparing.edges import ring_of
from gasketcut.shape.loop import Circle, Loop
from tests.comparing.parts import in_facets, rounded_plate


def by_points(first, second, step=0.02):
    """Points every `step` mm along either line, each to the nearest of the other one: never more than the truth."""
    rings = [shapely.LinearRing(one) for one in (first, second)]
    found = []
    for ring, other in (rings, rings[::-1]):
        places = shapely.line_interpolate_point(ring, np.arange(0, ring.length, step))
        found.append(float(shapely.distance(places, other).max()))
    return max(found)


def test_a_line_is_not_off_itself():
    ring = ring_of(rounded_plate(80, 50, 5))
    assert between(ring, ring).size <= 1e-12
    assert between(ring, np.roll(ring, 7, axis=0)[::-1]).size <= 1e-12


def test_a_square_moved_along_its_side():
    square = np.array([(0, 0), (10, 0), (10, 10), (0, 10)], dtype=float)
    found = between(square, square + np.array([0.3, 0.0]))
    assert found.size == pytest.approx(0.3, abs=1e-9)


def test_a_square_moved_along_its_diagonal_is_off_by_its_corners():
    square = np.array([(0, 0), (10, 0), (10, 10), (0, 10)], dtype=float)
    found = between(square, square + np.array([0.3, 0.3]))
    assert found.size == pytest.approx(0.3 * 2**0.5, abs=1e-9)
    assert found.at in ((10.3, 10.3), (0.0, 0.0))


def test_a_notch_is_off_by_its_depth():
    square = np.array([(0, 0), (10, 0), (10, 10), (0, 10)], dtype=float)
    notch = np.array([(0, 0), (10, 0), (10, 10), (6, 10), (5, 8.75), (4, 10), (0, 10)], dtype=float)
    found = between(square, notch)
    assert found.size == pytest.approx(1.25, abs=1e-9)
    assert found.at == (5.0, 8.75)


def test_a_peak_far_from_any_vertex_of_the_other():
    """From the middle of a long side to two corners: the distance is largest where both are equally far."""
    bar = np.array([(-10, 0), (10, 0), (10, -1), (-10, -1)], dtype=float)
    gap = np.array([(-10, 0), (-6, 0), (-6, -9), (6, -9), (6, 0), (10, 0), (10, -11), (-10, -11)], dtype=float)
    assert between(bar, gap).size == pytest.approx(by_points(bar, gap), abs=0.011)


@given(
    st.floats(-3, 3), st.floats(-3, 3), st.floats(0.5, 6), st.floats(0.5, 6)
)  # fmt: skip
@settings(max_examples=25, deadline=None)
def test_circles_have_a_closed_form(x, y, r, s):
    first, second = Circle((0.0, 0.0), r), Circle((x, y), s)
    exact = between_circles(first, second)
    assert exact.size == pytest.approx(hypot(x, y) + abs(r - s))
    assert between(ring_of(first), ring_of(second)).size == pytest.approx(exact.size, abs=ACCURACY)
    # The place it names is that far off one of the two, and lies on the other.
    off = sorted(abs(hypot(exact.at[0] - u, exact.at[1] - v) - q) for u, v, q in ((0.0, 0.0, r), (x, y, s)))
    assert off == pytest.approx([0.0, exact.size], abs=1e-9)


def star(seed, count, arcs):
    random = np.random.default_rng(seed)
    turns = np.sort(random.uniform(0, 2 * pi, count))
    reach = random.uniform(8, 14, count)
    points = tuple((float(r * cos(t)), float(r * sin(t))) for r, t in zip(reach, turns, strict=True))
    bulges = tuple(random.uniform(-0.3, 0.3, count).tolist()) if arcs else (0.0,) * count
    return Loop(points, bulges)


@given(st.integers(0, 10**6), st.integers(0, 10**6), st.integers(3, 12), st.booleans())
@settings(max_examples=25, deadline=None)
def test_random_lines_and_arcs_against_points_everywhere(a, b, count, arcs):
    first, second = ring_of(star(a, count, arcs)), ring_of(star(b, count + 1, arcs))
    found = between(first, second)
    checked = by_points(first, second)
    assert checked - ACCURACY <= found.size <= checked + 0.01 + ACCURACY  # half a step, as the distance is 1-Lipschitz
    to_lines = [shapely.distance(shapely.Point(found.at), shapely.LinearRing(one)) for one in (first, second)]
    assert sorted(to_lines) == pytest.approx([0.0, found.size], abs=1e-9)


@given(st.floats(0.001, 0.05))
@settings(max_examples=8, deadline=None)
def test_facets_are_off_by_their_sagitta(chord):
    plate = rounded_plate(80, 50, 8)
    found = between(ring_of(plate), ring_of(in_facets(plate, chord)))
    count = len(in_facets(plate, chord).points)
    corner = (count - 4) // 4 if count > 8 else 1
    exact = 8 * (1 - cos(pi / 4 / corner))
    assert found.size == pytest.approx(exact, abs=ACCURACY)
