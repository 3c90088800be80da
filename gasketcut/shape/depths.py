"""What lies between two closed lines, looked at in equal steps of angle round the middle of the first.

Depth   how much is to be taken off there, square to the old edge, up to the new one.
Step    how far the second window's metal stands into the first, square to the first's edge; negative: it stands back.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, hypot, radians, sin

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon

from gasketcut.plane import Point

EVERY = 30
"""Degrees from one look to the next."""

_NEAR = 0.005
"""mm; what is less deep counts as nothing: five times what a polygon may be off its curve."""


@dataclass(frozen=True, slots=True)
class Depth:
    """At `turn` [deg, counter-clockwise from +x] round the middle: from `start` on the old edge `mm` to `end`, square
    to the edge."""

    turn: int
    start: Point
    end: Point
    mm: float


@dataclass(frozen=True, slots=True)
class Step:
    """At `turn` [deg], `at` on the first window's edge: `mm` of the second's metal in the way, negative: a pocket."""

    turn: int
    at: Point
    mm: float


def depths(old: Polygon, new: Polygon) -> tuple[Depth, ...]:
    """What is to be taken off from `old` to `new`, which holds it [mm]."""
    found = []
    for turn, (x, y), (nx, ny) in _looks(old):
        out = (x + nx * _NEAR, y + ny * _NEAR)
        mm = _NEAR + _until(new, out, (nx, ny)) if shapely.contains_xy(new, *out) else 0.0
        found.append(Depth(turn, (x, y), (x + nx * mm, y + ny * mm), mm))
    return tuple(found)


def steps(first: Polygon, second: Polygon) -> tuple[Step, ...]:
    """The step all round from the first window to the second, which meets it [mm]."""
    found = []
    for turn, (x, y), (nx, ny) in _looks(first):
        is_open = shapely.contains_xy(second, x, y)
        side = 1.0 if is_open else -1.0
        mm = _until(second, (x, y), (side * nx, side * ny))
        found.append(Step(turn, (x, y), -side * mm if mm > _NEAR else 0.0))
    return tuple(found)


def _looks(edge: Polygon) -> Iterator[tuple[int, Point, Point]]:
    """The turn, the outermost place of the edge there, and which way is square to it and outward."""
    ring = shapely.get_coordinates(shapely.geometry.polygon.orient(edge).exterior)
    middle = edge.centroid if edge.contains(edge.centroid) else edge.representative_point()
    left, low, right, high = edge.bounds
    far = 2 * hypot(right - left, high - low)
    for turn in range(0, 360, EVERY):
        c, s = cos(radians(turn)), sin(radians(turn))
        ray = LineString([(middle.x, middle.y), (middle.x + far * c, middle.y + far * s)])
        met = shapely.get_coordinates(ray.intersection(edge.exterior))
        x, y = max(met.tolist(), key=lambda one: hypot(one[0] - middle.x, one[1] - middle.y))
        dx, dy = _edge_at(ring, (x, y))
        yield turn, (x, y), (dy, -dx)


def _edge_at(ring: np.typing.NDArray[np.float64], at: Point) -> Point:
    """Which way the edge runs there; the ring goes round counter-clockwise."""
    edges = shapely.linestrings(np.stack([ring[:-1], ring[1:]], axis=1))
    number = int(np.argmin(shapely.distance(edges, shapely.points(at))))
    dx, dy = (ring[number + 1] - ring[number]).tolist()
    length = hypot(dx, dy)
    return dx / length, dy / length


def _until(window: Polygon, start: Point, along: Point) -> float:
    """How far it is from there to the window's edge [mm]; 0 where it is not met."""
    left, low, right, high = window.bounds
    far = 2 * hypot(right - left, high - low) + hypot(start[0] - (left + right) / 2, start[1] - (low + high) / 2)
    ray = LineString([start, (start[0] + far * along[0], start[1] + far * along[1])])
    met = ray.intersection(window.exterior)
    return 0.0 if met.is_empty else float(shapely.Point(start).distance(met))
