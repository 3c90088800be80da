"""A piece that is missing, filled in from where the part has the same: its image, mirrored or turned."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LinearRing, Polygon

from gasketcut.arrays import Array
from gasketcut.capture.scale.isometry import Isometry
from gasketcut.capture.torn.ring import cyclic, signed_area
from gasketcut.plane import Point

SAME = 0.15
"""mm within which an edge and its image agree. Our choice."""

_DEEP = 0.8
"""mm; what is less is wear, and the halves' mean is offered for that. Our choice."""

_LEAST = 1.0
"""mm2; a smaller piece is not asked about. Our choice."""

_CLOSE, _FARTHEST = 0.03, 3.0
"""mm: an edge's sound end is where it is so close to its image again, at most so far along from where they agree."""


@dataclass(frozen=True, slots=True)
class Piece:
    """What is missing in one place: the edge it would have, how large it is [mm2], and from which image it comes."""

    way: Array
    area: float
    image: Isometry

    @property
    def at(self) -> Point:
        """In the middle of its edge."""
        x, y = self.way[len(self.way) // 2]
        return float(x), float(y)


@dataclass(frozen=True, slots=True)
class Fill:
    """The pieces, and the ring with all of them filled in."""

    ring: Array
    pieces: tuple[Piece, ...]

    @property
    def area(self) -> float:
        return sum(one.area for one in self.pieces)


def filled(ring: Array, images: Sequence[Isometry]) -> Fill | None:
    """What the ring lacks and more than half of its images have; None if that is nothing.

    ring : shape (n, 2), the first point not repeated [mm]
    """
    ring = _counter_clockwise(ring)
    taken = [_counter_clockwise(one.of(ring)) for one in images]
    points = shapely.points(ring)
    off = np.array([shapely.distance(points, LinearRing(other)) for other in taken])
    inside = np.array([_contains(other, ring) for other in taken])
    lacks = (off > SAME) & inside
    is_lacking = 2 * lacks.sum(axis=0) > len(images)
    stretches = [one for one in _stretches(is_lacking) if off[:, one].max() > _DEEP]
    pieces, ends = [], []
    for one in stretches:
        image = int(np.argmax(lacks[:, one].sum(axis=1)))
        first, last = _sound_ends(ring, off[image], one)
        start, end = (int(np.argmin(np.hypot(*(taken[image] - ring[n]).T))) for n in (first, last))
        way = cyclic(taken[image], start, end)
        area = signed_area(np.vstack([way, cyclic(ring, first, last)[::-1]]))
        if area >= _LEAST:
            pieces.append(Piece(way, area, images[image]))
            ends.append((first, last))
    if not pieces:
        return None
    made = _with_pieces(ring, ends, [one.way for one in pieces])
    return Fill(made, tuple(pieces)) if Polygon(made).is_valid else None


def _contains(ring: Array, points: Array) -> NDArray[np.bool_]:
    polygon = shapely.make_valid(Polygon(ring))
    shapely.prepare(polygon)
    return np.asarray(shapely.contains_xy(polygon, points[:, 0], points[:, 1]), dtype=bool)


def _stretches(lacking: NDArray[np.bool_]) -> list[NDArray[np.int_]]:
    """Numbers of the points of each stretch that lacks something, over the end of the ring if need be."""
    if lacking.all() or not lacking.any():
        return []
    shift = int(np.argmin(lacking))
    numbers = np.nonzero(np.roll(lacking, -shift))[0]
    return [(one + shift) % len(lacking) for one in np.split(numbers, np.nonzero(np.diff(numbers) > 1)[0] + 1)]


def _sound_ends(ring: Array, off: Array, stretch: NDArray[np.int_]) -> tuple[int, int]:
    """Where the edge runs along its image again, before and after."""
    found = []
    for number, way in ((int(stretch[0]), -1), (int(stretch[-1]), 1)):
        n, gone = number, 0.0
        while off[n] > _CLOSE and gone < _FARTHEST:
            after = (n + way) % len(ring)
            gone += float(np.hypot(*(ring[after] - ring[n])))
            n = after
        found.append(n)
    return found[0], found[1]


def _with_pieces(ring: Array, ends: list[tuple[int, int]], pieces: list[Array]) -> Array:
    """Each piece in place of what lay between its ends."""
    order = sorted(range(len(ends)), key=lambda n: ends[n][0])
    made = []
    for place, n in enumerate(order):
        after = ends[order[(place + 1) % len(order)]][0]
        made += [pieces[n], cyclic(ring, ends[n][1], after)[1:-1]]
    return np.vstack(made)


def _counter_clockwise(ring: Array) -> Array:
    return ring if signed_area(ring) > 0 else ring[::-1]
