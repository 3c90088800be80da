"""Contours with nothing but sheet, or nothing but scrap, between them, and how near they come.

Web    sheet between two of them. Slit: scrap between two of them.
"""

from __future__ import annotations

from math import hypot
from typing import Any

import numpy as np
import shapely
from shapely.geometry import LinearRing
from shapely.ops import nearest_points

from gasketcut.arrays import Array, Integers
from gasketcut.received.stock.nest import ROUND, Nest
from gasketcut.shape.loop import Circle, Loop
from gasketcut.shape.narrow import Narrow
from gasketcut.tolerances import CHORD

_LONG = 1000
"""Vertices of two rings from which on their edges are put in a tree."""

_INDEXED = 200
"""Vertices from which on an index of its own is worth its memory."""

_STEPS = (0.1, 0.4, 1.6, 6.4, 25.6, 102.4, 2000.0)
"""mm: how far to look for the narrowest web, until there is one."""


def near_pairs(nest: Nest, distance: float) -> tuple[Integers, Integers]:
    """Pairs of neighbours that come nearer than that [mm], or hardly farther: chords are not exact."""
    rings: Any = nest.rings
    reach = distance + 2 * ROUND
    inner = np.flatnonzero(nest.parent >= 0)
    found = [np.stack([inner, nest.parent[inner]])]
    for depth in np.unique(nest.depth):  # only what lies as deep can lie beside it
        level = np.flatnonzero(nest.depth == depth)
        if len(level) > 1:
            low, high = nest.boxes[level, :2] - reach, nest.boxes[level, 2:]
            grown: Any = shapely.box(*np.hstack([low, high]).T)
            i, j = level[shapely.STRtree(grown).query(shapely.box(*np.hstack([low, high]).T))]
            beside = (i < j) & (nest.parent[i] == nest.parent[j])
            found.append(np.stack([i[beside], j[beside]]))
    i, j = np.concatenate(found, axis=1)
    vertices = shapely.get_num_coordinates(rings)
    i, j = np.where(vertices[i] < vertices[j], j, i), np.where(vertices[i] < vertices[j], i, j)
    long: Any = rings[np.unique(i[vertices[i] > _INDEXED])]
    shapely.prepare(long)  # the library indexes the first of two
    near = shapely.dwithin(rings[i], rings[j], reach)
    shapely.destroy_prepared(long)
    return i[near], j[near]


def is_web(nest: Nest, i: Integers, j: Integers) -> Any:
    """Whether sheet, and not scrap, lies between neighbours, shape (n,)."""
    outer = np.where(
        nest.parent[i] == j, nest.depth[j], np.where(nest.parent[j] == i, nest.depth[i], nest.depth[i] - 1)
    )
    return outer % 2 == 0


def gap(nest: Nest, i: int, j: int) -> Narrow:
    """How far apart two neighbours are and where, exact for circles and as good as chords for the rest."""
    one, other = nest.contours[i], nest.contours[j]
    if isinstance(one, Circle) and isinstance(other, Circle):
        return _between_circles(one, other)
    if isinstance(one, Circle) or isinstance(other, Circle):
        circle, loop = (i, j) if isinstance(one, Circle) else (j, i)
        if nest.parent[loop] != circle:
            return _from_circle(nest.contours[circle], nest.rings[loop])
    (x0, y0), (x1, y1) = ((point.x, point.y) for point in nearest_points(_fine(nest, i), _fine(nest, j)))
    return Narrow(hypot(x1 - x0, y1 - y0), ((x0 + x1) / 2, (y0 + y1) / 2))


def narrowest_web(nest: Nest) -> Narrow | None:
    """The narrowest sheet between two contours, or None if nothing is cut out of anything."""
    if not (nest.depth % 2 == 1).any():
        return None
    for step in _STEPS:
        i, j = near_pairs(nest, step)
        web = is_web(nest, i, j)
        i, j = i[web], j[web]
        if not len(i):
            continue
        rings: Any = nest.rings
        about = _about(rings, i, j)
        close = np.flatnonzero(about <= about.min() + 4 * ROUND)
        return min((gap(nest, int(i[n]), int(j[n])) for n in close[:_LONG]), key=lambda one: one.width)
    return None


def _about(rings: Any, i: Integers, j: Integers) -> Array:
    """Distances by chords, long rings by their own index."""
    long = shapely.get_num_coordinates(rings[i]) + shapely.get_num_coordinates(rings[j]) > _LONG
    found = np.zeros(len(i))
    found[~long] = shapely.distance(rings[i[~long]], rings[j[~long]])
    edges: dict[int, shapely.STRtree] = {}
    for n in np.flatnonzero(long).tolist():
        large, small = sorted((int(i[n]), int(j[n])), key=lambda one: -shapely.get_num_coordinates(rings[one]))
        if large not in edges:
            points = shapely.get_coordinates(rings[large])
            lines: Any = shapely.linestrings(np.stack([points[:-1], points[1:]], axis=1))
            edges[large] = shapely.STRtree(lines)
        points = shapely.get_coordinates(rings[small])
        sides: Any = shapely.linestrings(np.stack([points[:-1], points[1:]], axis=1))
        found[n] = edges[large].query_nearest(sides, return_distance=True, all_matches=False)[1].min()
    return found


def _between_circles(one: Circle, other: Circle) -> Narrow:
    big, small = (one, other) if one.radius >= other.radius else (other, one)
    (x, y), (u, v) = big.center, small.center
    apart = hypot(u - x, v - y)
    dx, dy = ((u - x) / apart, (v - y) / apart) if apart > 0 else (1.0, 0.0)
    if apart < big.radius:
        width = big.radius - apart - small.radius
        along = big.radius - width / 2
    else:
        width = apart - big.radius - small.radius
        along = big.radius + width / 2
    return Narrow(width, (x + along * dx, y + along * dy))


def _from_circle(circle: Any, ring: LinearRing) -> Narrow:
    """To a ring that does not lie in the circle."""
    x, y = circle.center
    near = nearest_points(ring, shapely.Point(x, y))[0]
    apart = hypot(near.x - x, near.y - y)
    width = apart - circle.radius
    share = (circle.radius + width / 2) / apart if apart > 0 else 0.0
    return Narrow(width, (x + share * (near.x - x), y + share * (near.y - y)))


def _fine(nest: Nest, number: int) -> LinearRing:
    contour = nest.contours[number]
    if isinstance(contour, Loop) and (len(contour.points) > _LONG or not any(contour.bulges)):
        ring: LinearRing = nest.rings[number]
        return ring
    return LinearRing(contour.flattened(CHORD / 20))
