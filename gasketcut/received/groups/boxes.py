"""Where things lie: the box round each line and each other thing, and lines that are boxes themselves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gasketcut.arrays import Array
from gasketcut.received.groups.strokes import TOUCH
from gasketcut.received.reading.drawn_lines import DrawnLine
from gasketcut.received.reading.not_cut import NotCut


@dataclass(frozen=True, slots=True)
class Boxes:
    """Of every line and other thing: lower left and upper right (n, 4) [mm], and its number."""

    boxes: Array
    numbers: list[int]


def boxes_of(lines: Sequence[DrawnLine], others: Sequence[NotCut]) -> Boxes:
    """Of all that has a place; dimensions as such have theirs anywhere."""
    rows, numbers = [], []
    for line in lines:
        if line.circle is not None:
            (x, y), r = line.circle.center, line.circle.radius
            rows.append((x - r, y - r, x + r, y + r))
        else:
            xs, ys = zip(*(end for one in line.segments for end in (one.start, one.end)), strict=True)
            rows.append((min(xs), min(ys), max(xs), max(ys)))
        numbers.append(line.number)
    for other in others:
        if other.points and other.kind != "dimensions":
            points = np.array(other.points)
            rows.append((*points.min(axis=0), *points.max(axis=0)))
            numbers.append(other.number)
    return Boxes(np.array(rows, dtype=float).reshape(-1, 4), numbers)


def bounds_of(boxes: Array) -> Array:
    """The box round all boxes."""
    result: Array = np.concatenate([boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)])
    return result


def is_rectangle(line: DrawnLine) -> bool:
    """Whether it is one closed line of four sides along x and y."""
    if not line.closed or len(line.segments) != 4 or any(one.bulge for one in line.segments):
        return False
    return all(min(abs(one.start[0] - one.end[0]), abs(one.start[1] - one.end[1])) <= TOUCH for one in line.segments)


def box_of(line: DrawnLine) -> Array:
    """Of a line without arcs."""
    points = np.array([one.start for one in line.segments])
    result: Array = np.concatenate([points.min(axis=0), points.max(axis=0)])
    return result


def holds(box: Array, places: Array) -> NDArray[np.bool_]:
    """Which of the places, (n, 2), lie in the box or on its edge."""
    inside = (places >= box[:2] - TOUCH) & (places <= box[2:] + TOUCH)
    return np.asarray(inside.all(axis=1), dtype=np.bool_)
