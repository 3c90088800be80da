"""Every straight line and arc of the drawing as rows of numbers, and which of them come near each other.

Element   a straight line or an arc. Chords of curves are elements too.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from gasketcut.arrays import Array, Integers
from gasketcut.received.reading.drawn_lines import DrawnLine
from gasketcut.shape.loop import Segment

NEAR = 0.001
"""Lines nearer than this are on each other [mm]: a hundredth of the finest kerf."""

MOST_PAIRS = 2_000_000
_CHUNK = 256
_STRIP = 100_000  # elements


@dataclass(frozen=True, slots=True)
class Elements:
    """Shapes (n, 2) and (n,); angles in radians, counter-clockwise from `first` over `sweep`; radius 0 for lines."""

    start: Array
    end: Array
    center: Array
    radius: Array
    first: Array
    sweep: Array
    owner: Integers

    @property
    def is_arc(self) -> NDArray[np.bool_]:
        return self.radius > 0

    def lengths(self) -> Array:
        """Along each, [mm]."""
        result: Array = np.where(self.is_arc, self.radius * self.sweep, np.hypot(*(self.end - self.start).T))
        return result

    def spans(self) -> tuple[Array, Array]:
        """Lower left and upper right of each."""
        low, high = np.minimum(self.start, self.end), np.maximum(self.start, self.end)
        for quarter in range(4):
            turn = quarter * np.pi / 2
            inside = self.is_arc & (((turn - self.first) % (2 * np.pi)) <= self.sweep)
            place = self.center + self.radius[:, None] * np.array([np.cos(turn), np.sin(turn)])
            low = np.where(inside[:, None], np.minimum(low, place), low)
            high = np.where(inside[:, None], np.maximum(high, place), high)
        return low, high

    def bounds(self) -> tuple[Array, Array]:
        """Lower left and upper right of all."""
        low, high = self.spans()
        return low.min(axis=0), high.max(axis=0)


def elements_of(lines: Sequence[DrawnLine]) -> Elements:
    """The elements of all drawn lines in their order; `owner` is the line's number."""
    segments: list[Segment] = []
    owner: list[int] = []
    for number, line in enumerate(lines):
        segments += line.segments
        owner += [number] * len(line.segments)
    start = np.array([one.start for one in segments], dtype=float).reshape(-1, 2)
    end = np.array([one.end for one in segments], dtype=float).reshape(-1, 2)
    bulge = np.array([one.bulge for one in segments], dtype=float)
    return elements_between(start, end, bulge, np.array(owner, dtype=np.int64))


def elements_between(start: Array, end: Array, bulge: Array, owner: Integers) -> Elements:
    """The elements from each `start` to its `end` with its bulge, shapes (n, 2), (n, 2), (n,) and (n,)."""
    chord = end - start
    length = np.hypot(chord[:, 0], chord[:, 1])
    arc = (np.abs(bulge) > 1e-9) & (length > 0)
    safe = np.where(arc, bulge, 1.0)
    offset = (1 - safe**2) / (4 * safe)
    normal = np.column_stack([-chord[:, 1], chord[:, 0]])
    center = np.where(arc[:, None], (start + end) / 2 + normal * offset[:, None], 0.0)
    radius = np.where(arc, length * (1 + safe**2) / (4 * np.abs(safe)), 0.0)
    left = np.where((bulge > 0)[:, None], start, end)
    first = np.where(arc, np.arctan2(left[:, 1] - center[:, 1], left[:, 0] - center[:, 0]), 0.0)
    sweep = np.where(arc, 4 * np.arctan(np.abs(bulge)), 0.0)
    return Elements(start, end, center, radius, first, sweep, owner)


def near_pairs(elements: Elements) -> tuple[Integers, Integers, bool]:
    """Pairs i < j whose boxes meet, and whether all were looked at (else more than MOST_PAIRS).

    Looked for in strips from left to right, as a tree of everything at once weighs more than the drawing. A pair
    belongs to the strip in which the later of the two begins.
    """
    low, high = elements.spans()
    ends = np.stack([low - NEAR, high + NEAR], axis=1)
    found: list[tuple[Integers, Integers]] = []
    total = 0
    for left, right in _strips(ends[:, 0, 0]):
        numbers = np.flatnonzero((ends[:, 0, 0] < right) & (ends[:, 1, 0] >= left))
        # Each box as its diagonal: a tree of them knows no more, at half the memory.
        boxes = np.asarray(shapely.linestrings(ends[numbers]), dtype=object)
        tree = shapely.STRtree(boxes)
        for part in _chunks(len(boxes)):
            one, other = tree.query(boxes[part])
            i, j = numbers[one + part.start], numbers[other]
            begins = np.maximum(ends[i, 0, 0], ends[j, 0, 0])
            keep = (i < j) & (begins >= left) & (begins < right)
            found.append((i[keep], j[keep]))
            total += int(keep.sum())
            if total > MOST_PAIRS:
                return *_joined(found), False
    return *_joined(found), True


def _strips(begins: Array) -> list[tuple[float, float]]:
    """From one x to the next, with some _STRIP elements beginning in each."""
    count = len(begins) // _STRIP + 1
    cuts = np.unique(np.quantile(begins, np.arange(1, count) / count)).tolist() if count > 1 else []
    return list(pairwise([-np.inf, *cuts, np.inf]))


def _joined(found: list[tuple[Integers, Integers]]) -> tuple[Integers, Integers]:
    if not found:
        return np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64)
    return np.concatenate([i for i, _ in found]), np.concatenate([j for _, j in found])


def _chunks(count: int) -> Iterator[slice]:
    for start in range(0, count, _CHUNK):
        yield slice(start, min(start + _CHUNK, count))
