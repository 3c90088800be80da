"""Parts to compare, and how they come back: turned, turned over, moved, with noise, in facets."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, hypot, pi, sin, tan

import numpy as np

from gasketcut.comparing.placing import Placing
from gasketcut.shape.loop import Circle, Contour, Loop, Outline

CORNER = tan(pi / 8)


def rounded_plate(width: float, height: float, radius: float) -> Loop:
    r, w, h = radius, width, height
    points = ((r, 0), (w - r, 0), (w, r), (w, h - r), (w - r, h), (r, h), (0, h - r), (0, r))
    return Loop(tuple((float(x), float(y)) for x, y in points), (0.0, CORNER) * 4)


def lobed(*more: tuple[float, float]) -> Loop:
    """Without any symmetry; `more` vertices on its right side, at x = 80, from the bottom up."""
    points = [(0, 0), (80, 0), *more, (80, 50), (55, 50), (40, 30), (25, 44), (0, 50)]
    return Loop(tuple((float(x), float(y)) for x, y in points), (0.0,) * len(points))


def outline(outer: Contour, *holes: Contour) -> Outline:
    return Outline(outer, tuple(holes), 0.0)


def bolts(count: int, circle: float, radius: float) -> list[Circle]:
    return [Circle((circle * cos(2 * pi * n / count), circle * sin(2 * pi * n / count)), radius) for n in range(count)]


def placed(one: Outline, placing: Placing) -> Outline:
    def each(contour: Contour) -> Contour:
        if isinstance(contour, Circle):
            ((x, y),) = placing(np.array([contour.center])).tolist()
            return Circle((x, y), contour.radius)
        points = tuple((x, y) for x, y in placing(np.array(contour.points)).tolist())
        return Loop(points, tuple(-bulge if placing.mirrored else bulge for bulge in contour.bulges))

    return Outline(each(one.outer), tuple(each(hole) for hole in one.inner), 0.0)


def with_holes(one: Outline, holes: Sequence[Contour]) -> Outline:
    return Outline(one.outer, tuple(holes), 0.0)


def noisy(one: Outline, sigma: float, seed: int) -> Outline:
    """Holes moved and corners shifted by normal noise."""
    random = np.random.default_rng(seed)

    def each(contour: Contour) -> Contour:
        if isinstance(contour, Circle):
            x, y = np.array(contour.center) + random.normal(0, sigma, 2)
            return Circle((float(x), float(y)), contour.radius)
        points = np.array(contour.points) + random.normal(0, sigma, (len(contour.points), 2))
        return Loop(tuple((x, y) for x, y in points.tolist()), contour.bulges)

    return Outline(each(one.outer), tuple(each(hole) for hole in one.inner), 0.0)


def in_facets(contour: Contour, chord: float) -> Loop:
    points = contour.flattened(chord)
    return Loop(tuple(points), (0.0,) * len(points))


def scattered(count: int, seed: int) -> list[Circle]:
    """Holes of 4 mm on a plate of 300 x 180, none nearer than 6 mm to another."""
    random = np.random.default_rng(seed)
    places: list[tuple[float, float]] = []
    while len(places) < count:
        x, y = (random.uniform(8, (292, 172))).tolist()
        if all(hypot(x - u, y - v) > 6 for u, v in places):
            places.append((x, y))
    return [Circle(place, 2.0) for place in places]
