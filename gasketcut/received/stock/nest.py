"""Which closed contour lies in which: measures of all of them at once, for drawings with very many.

Depth   in how many others a contour lies: an even one is an outer line, an odd one a hole.
Parent  the smallest of those around it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from gasketcut.arrays import Array, Integers
from gasketcut.plane import Point
from gasketcut.received.reading.elements import Elements, elements_between
from gasketcut.shape.loop import Circle, Contour, Loop, chords_needed
from gasketcut.tolerances import CHORD

ROUND = 20 * CHORD
"""How far the chords of whole circles may lie off them [mm]: they are as good as their numbers wherever it counts."""


@dataclass(frozen=True, slots=True)
class Nest:
    """n contours. `boxes` (n, 4): left, low, right, high; `turn`: 1 counter-clockwise, -1 clockwise; `parent` -1: none.

    area, length  exact, arcs included
    rings         closed lines of chords, as shapely geometry
    elements      of the loops, without whole circles; `owner` is the contour's number, `following` the next one round
    """

    contours: tuple[Contour, ...]
    elements: Elements
    bulge: Array
    following: Integers
    area: Array
    length: Array
    turn: Integers
    boxes: Array
    rings: NDArray[np.object_]
    parent: Integers
    depth: Integers

    def depth_at(self, points: Sequence[Point] | Array) -> Integers:
        """In how many contours each of the points lies, shape (m, 2)."""
        places = np.asarray(points, dtype=float).reshape(-1, 2)
        inner, _ = _around(self.contours, self.boxes, self.rings, places, np.zeros(len(places)), self.area)
        return np.bincount(inner, minlength=len(places)).astype(np.int64)

    @property
    def children(self) -> dict[int, list[int]]:
        """The contours just inside each that has any; -1 for those in none."""
        found: dict[int, list[int]] = {}
        for number, parent in enumerate(self.parent.tolist()):
            found.setdefault(parent, []).append(number)
        return found


def nest_of(contours: Sequence[Contour]) -> Nest:
    """Measure closed contours, none of which cross, and sort them into each other."""
    count = len(contours)
    elements, bulge, following = _elements(contours)
    owner = elements.owner
    length = np.bincount(owner, elements.lengths(), count).astype(np.float64)
    area = _signed_areas(elements, bulge, count)
    low, high = np.full((count, 2), np.inf), np.full((count, 2), -np.inf)
    lows, highs = elements.spans()
    np.minimum.at(low, owner, lows)
    np.maximum.at(high, owner, highs)
    for number, one in enumerate(contours):
        if isinstance(one, Circle):
            area[number], length[number] = one.area, one.length
            low[number] = one.center[0] - one.radius, one.center[1] - one.radius
            high[number] = one.center[0] + one.radius, one.center[1] + one.radius
    turn = np.where(area < 0, -1, 1).astype(np.int64)
    boxes, rings = np.hstack([low, high]), _rings(contours)
    parent, depth = _nested(contours, np.abs(area), boxes, rings)
    return Nest(tuple(contours), elements, bulge, following, np.abs(area), length, turn, boxes, rings, parent, depth)


def _elements(contours: Sequence[Contour]) -> tuple[Elements, Array, Integers]:
    loops = [(number, one) for number, one in enumerate(contours) if isinstance(one, Loop)]
    sizes = [len(one.points) for _, one in loops]
    start = np.array([point for _, one in loops for point in one.points], dtype=float).reshape(-1, 2)
    bulge = np.array([each for _, one in loops for each in one.bulges], dtype=float)
    following: Integers = np.arange(1, len(start) + 1)
    lasts = np.cumsum(sizes, dtype=np.int64)
    if len(lasts):
        following[lasts - 1] = lasts - sizes
    owner = np.repeat(np.array([number for number, _ in loops], dtype=np.int64), sizes)
    return elements_between(start, start[following], bulge, owner), bulge, following


def _signed_areas(elements: Elements, bulge: Array, count: int) -> Array:
    """Shoelace and the segments of circles between chord and arc; positive counter-clockwise."""
    owner = elements.owner
    base = np.zeros((count, 2))
    base[owner[::-1]] = elements.start[::-1]  # the first vertex of each: no digits lost far from (0, 0)
    a, b = elements.start - base[owner], elements.end - base[owner]
    bow = np.sign(bulge) * elements.radius**2 * (elements.sweep - np.sin(elements.sweep)) / 2
    return np.bincount(owner, (a[:, 0] * b[:, 1] - b[:, 0] * a[:, 1]) / 2 + bow, count).astype(np.float64)


def _rings(contours: Sequence[Contour]) -> NDArray[np.object_]:
    rings = np.empty(len(contours), dtype=object)
    rounds: dict[int, list[int]] = {}
    for number, one in enumerate(contours):
        if isinstance(one, Circle):
            rounds.setdefault(max(8, chords_needed(one.radius, 2 * np.pi, ROUND)), []).append(number)
            continue
        points = one.flattened(CHORD) if any(one.bulges) else list(one.points)
        rings[number] = shapely.linearrings(points if len(points) > 2 else [*points, points[0], points[0]])
    for chords, numbers in rounds.items():
        turns = 2 * np.pi * np.arange(chords) / chords
        spokes = np.column_stack([np.cos(turns), np.sin(turns)])
        circles = [one for one in (contours[number] for number in numbers) if isinstance(one, Circle)]
        centers = np.array([one.center for one in circles])
        radii = np.array([one.radius for one in circles])
        rings[numbers] = shapely.linearrings(centers[:, None, :] + radii[:, None, None] * spokes)
    return rings


def _nested(
    contours: Sequence[Contour], area: Array, boxes: Array, rings: NDArray[np.object_]
) -> tuple[Integers, Integers]:
    count = len(contours)
    parent, depth = np.full(count, -1, dtype=np.int64), np.zeros(count, dtype=np.int64)
    if count < 2:
        return parent, depth
    on = np.array([_on(one) for one in contours])
    inner, outer = _around(contours, boxes, rings, on, area, area)
    depth = np.bincount(inner, minlength=count).astype(np.int64)
    largest_first = np.argsort(-area[outer], kind="stable")
    parent[inner[largest_first]] = outer[largest_first]  # the smallest comes last and stays
    return parent, depth


def _around(
    contours: Sequence[Contour], boxes: Array, rings: NDArray[np.object_], on: Array, least: Array, area: Array
) -> tuple[Integers, Integers]:
    """Pairs of the number of a point and of a contour around it that is larger than the least for it [mm2]."""
    around: Any = shapely.box(*boxes.T)
    inner, outer = shapely.STRtree(around).query(shapely.points(on))
    keep = area[outer] > least[inner]
    inner, outer = inner[keep], outer[keep]
    order = np.argsort(outer, kind="stable")
    inner, outer = inner[order], outer[order]
    found = np.zeros(len(inner), dtype=bool)
    starts = np.flatnonzero(np.diff(outer, prepend=-1))
    for first, last in pairwise([*starts.tolist(), len(outer)]):
        large, places = contours[int(outer[first])], on[inner[first:last]]
        if isinstance(large, Circle):
            found[first:last] = np.hypot(*(places - large.center).T) < large.radius
        else:
            polygon = shapely.polygons(rings[int(outer[first])])
            shapely.prepare(polygon)
            found[first:last] = shapely.contains_xy(polygon, places)
    return inner[found], outer[found]


def _on(contour: Contour) -> tuple[float, float]:
    """A point on it."""
    if isinstance(contour, Circle):
        return contour.center[0] + contour.radius, contour.center[1]
    return contour.points[0]
