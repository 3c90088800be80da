"""Where one contour comes near itself: necks, thin fingers, cracks.

Near a corner two sides are near each other too; there the way round along the contour is short. A place counts where
that way is TIMES as long as the way across.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from gasketcut.arrays import Array, Integers
from gasketcut.received.stock.nest import Nest
from gasketcut.shape.loop import Circle
from gasketcut.shape.narrow import Narrow
from gasketcut.tolerances import SAME_PLACE

TIMES = 10.0
"""A corner sharper than 11 degrees is a narrow place itself. Ours."""

_FINE = 0.01
"""mm by which lines may be off here; what is drawn finer is not looked at more finely."""

_LEAST_WAY = 0.02  # mm along the contour: less is one corner in short lines
MOST_LINES, _MOST_PAIRS = 300_000, 3_000_000


@dataclass(frozen=True, slots=True)
class NearItself:
    """Places, and whether sheet lies between; how many lines were too many to look at, else 0."""

    places: tuple[tuple[Narrow, bool], ...] = ()
    skipped: int = 0


@dataclass(frozen=True, slots=True)
class _Edges:
    """Straight lines of contours: shapes (n, 2) and (n,); `run` is the way along the contour up to the start [mm]."""

    start: Array
    end: Array
    owner: Integers
    run: Array
    whole: Array


def near_itself(nest: Nest, limit: float) -> NearItself:
    """The narrowest place of each stretch along which a contour is nearer to itself than the limit [mm]."""
    loops = [number for number, one in enumerate(nest.contours) if not isinstance(one, Circle)]
    rings: Any = nest.rings[loops]
    edges = _edges_of(shapely.simplify(rings, _FINE, preserve_topology=False), np.array(loops, dtype=np.int64))
    if len(edges.owner) > MOST_LINES:
        return NearItself(skipped=len(edges.owner))
    if not len(edges.owner):
        return NearItself()
    lines: Any = shapely.linestrings(np.stack([edges.start, edges.end], axis=1))
    # Boxes first: of a smooth line the neighbours are near, and most pairs are neighbours.
    i, j = shapely.STRtree(lines).query(lines, predicate="dwithin", distance=limit)
    if len(i) > _MOST_PAIRS:
        return NearItself(skipped=len(edges.owner))
    keep = (i < j) & (edges.owner[i] == edges.owner[j])
    i, j = i[keep], j[keep]
    width, one, other, way = _across(edges, i, j)
    good = (width < limit) & (width > SAME_PLACE) & (way > TIMES * width) & (way > _LEAST_WAY)
    i, j, width, middle = i[good], j[good], width[good], (one[good] + other[good]) / 2
    if not len(i):
        return NearItself()
    owner = edges.owner[i]
    inside = np.zeros(len(owner), dtype=np.int64)
    for number in np.unique(owner).tolist():
        polygon = shapely.polygons(nest.rings[number])
        shapely.prepare(polygon)
        inside[owner == number] = shapely.contains_xy(polygon, middle[owner == number])
    sheet = (nest.depth[owner] + inside) % 2 == 1
    found = []
    stretch = _stretches(i, j)
    for key in np.unique(np.stack([stretch, sheet]), axis=1).T:
        these = np.flatnonzero((stretch == key[0]) & (sheet == bool(key[1])))
        least = int(these[np.argmin(width[these])])
        x, y = middle[least].tolist()
        found.append((Narrow(float(width[least]), (x, y)), bool(key[1])))
    return NearItself(tuple(found))


def _edges_of(rings: Any, owners: Integers) -> _Edges:
    points, number = shapely.get_coordinates(rings, return_index=True)
    same = number[:-1] == number[1:]
    start, end, ring = points[:-1][same], points[1:][same], number[:-1][same]
    size = np.hypot(*(end - start).T)
    run = np.concatenate([[0.0], np.cumsum(size)[:-1]]) if len(size) else size
    whole = np.bincount(ring, size, len(owners)) if len(size) else np.zeros(len(owners))
    first = np.concatenate([[0.0], np.cumsum(whole)[:-1]]) if len(owners) else whole
    return _Edges(start, end, owners[ring], run - first[ring], whole[ring])


def _across(e: _Edges, i: Integers, j: Integers) -> tuple[Array, Array, Array, Array]:
    """Of each pair its distance, the two nearest places, and the shorter way between them along the contour."""
    best = np.full(len(i), np.inf)
    one, other, way = np.zeros((len(i), 2)), np.zeros((len(i), 2)), np.zeros(len(i))
    for a, b in ((i, j), (j, i)):
        for at_end in (False, True):
            tip = e.end[a] if at_end else e.start[a]
            tip_run = e.run[a] + (np.hypot(*(e.end[a] - e.start[a]).T) if at_end else 0.0)
            along = e.end[b] - e.start[b]
            size = np.hypot(*along.T)
            share = np.clip(np.sum((tip - e.start[b]) * along, axis=1) / np.maximum(size, 1e-12) ** 2, 0.0, 1.0)
            foot = e.start[b] + share[:, None] * along
            apart = np.hypot(*(tip - foot).T)
            direct = np.abs(tip_run - e.run[b] - share * size)
            round_ = np.minimum(direct, e.whole[b] - direct)
            # Of two tips that are as near the one with the longer way: parallel sides begin at a corner.
            nearer = (apart < best - 1e-9) | ((apart <= best + 1e-9) & (round_ > way))
            best = np.where(nearer, apart, best)
            one, other = np.where(nearer[:, None], tip, one), np.where(nearer[:, None], foot, other)
            way = np.where(nearer, round_, way)
    return best, one, other, way


def _stretches(i: Integers, j: Integers) -> Integers:
    """A number for each pair; pairs that share a line or lie on the next one have the same."""
    near = np.unique(np.concatenate([i, j]))
    follow = near[:-1][np.diff(near) == 1]
    parent = {int(one): int(one) for one in near}

    def root(one: int) -> int:
        while parent[one] != one:
            parent[one] = parent[parent[one]]
            one = parent[one]
        return one

    for a, b in [*zip(i.tolist(), j.tolist(), strict=True), *((one, one + 1) for one in follow.tolist())]:
        parent[root(a)] = root(b)
    return np.array([root(int(one)) for one in i], dtype=np.int64)
