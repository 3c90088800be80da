"""Rings of points with noise to lines and arcs: short straight sides, and no contour that crosses itself."""

import tomllib

import numpy as np
import pytest
from shapely.geometry import LinearRing

from gasketcut.capture.edges.fitted_edge import fit_edge
from gasketcut.capture.proposals.shape_words import placed_rows
from gasketcut.capture.traced import trace
from gasketcut.shape.loop import Loop, Outline
from tests.capture.rendered import png_of
from tests.scans import rounded, scan

QUARTER = 2**0.5 - 1


def ring_of(width, height, corner, noise, seed, step=0.13):
    """Points at even steps along a rounded rectangle, turned by 2 degrees, each off by normal noise [mm]."""
    x, y, r = width / 2, height / 2, corner
    points = ((-x + r, -y), (x - r, -y), (x, -y + r), (x, y - r), (x - r, y), (-x + r, y), (-x, y - r), (-x, -y + r))
    line = LinearRing(Loop(points, (0.0, QUARTER) * 4).flattened(0.0005))
    at = np.array([line.interpolate(along).coords[0] for along in np.arange(0.0, line.length, step)])
    turn = np.radians(2.0)
    at = at @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return at + np.random.default_rng(seed).normal(0, noise, at.shape)


def windowed(u, v):
    """21 x 14 with corners of 5 in a plate."""
    return np.maximum(rounded(u, v, 60.0, 30.0, 8.0), -rounded(u, v, 21.0, 14.0, 5.0))


@pytest.mark.parametrize("turn", [1.0, 2.0, 3.0])
def test_a_short_side_between_two_corners_is_straight(turn):
    """Sides of 4 mm came out as arcs of 20 mm, and the window 0.07 mm too long."""
    picture = scan(shapes=((windowed, 0.0, 0.0),), dpi=200, turn=turn, page=(80.0, 50.0), at=(40.0, 25.0))
    contour = trace(png_of(picture, 200)).parts[0].windows[0].edge.contour
    straight = [one.chord for one in contour.segments() if not one.bulge]
    assert sorted(straight) == pytest.approx([4.0, 4.0, 11.0, 11.0], abs=0.4)
    assert all(one.radius == pytest.approx(5.0, abs=0.1) for one in contour.segments() if one.bulge)
    left, low, right, high = Outline(contour, (), 0.0).bounds
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    assert (right - left, high - low) == pytest.approx((10 + 11 * c + 4 * s, 10 + 4 * c + 11 * s), abs=0.03)


@pytest.mark.parametrize("seed", range(3))
def test_no_contour_crosses_itself(seed):
    chance = np.random.default_rng(seed)
    for _ in range(6):
        ring = ring_of(*chance.uniform(8, 40, 2), 2.0, 0.02, int(chance.integers(1000)))
        bite = np.hypot(*(ring - ring[int(chance.integers(len(ring)))]).T) < chance.uniform(1, 5)
        ring[bite] += chance.normal(0, 0.5, (int(bite.sum()), 2)).cumsum(axis=0) * 0.2
        contour = fit_edge(ring).contour
        arcs = any(one.bulge for one in contour.segments())
        assert not arcs or LinearRing(contour.flattened(0.001)).is_simple


def test_a_window_of_any_form_has_a_place_of_its_own():
    """Its metal, measured as 7 x 18, lay at (0, 0), as its own points were about that."""
    window = Loop(((20.0, 5.0), (27.0, 5.0), (27.0, 23.0), (21.0, 20.0)), (0.0, 0.1, 0.0, 0.0))
    rows = "\n".join(placed_rows(window, "cut"))
    table = tomllib.loads(rows)
    left, low, right, high = Outline(window, (), 0.0).bounds
    assert table["at"] == pytest.approx([(left + right) / 2, (low + high) / 2], abs=1e-3)
    placed = [(x + table["at"][0], y + table["at"][1]) for x, y in table["cut"]["points"]]
    assert np.array(placed) == pytest.approx(np.array(window.points), abs=1e-3)
