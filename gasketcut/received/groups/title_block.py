"""The title block: lines along x and y that end on each other, with words between them."""

from __future__ import annotations

from collections.abc import Collection, Sequence

import numpy as np
import shapely

from gasketcut.arrays import Array, Integers
from gasketcut.received.groups.boxes import bounds_of, box_of, boxes_of, holds, is_rectangle
from gasketcut.received.groups.recognised import Recognised, counted
from gasketcut.received.groups.strokes import TOUCH, Strokes
from gasketcut.received.reading.drawn_lines import DrawnLine
from gasketcut.received.reading.not_cut import NotCut

_LEAST_WORDS, _LEAST_INNER = 2, 2
"""Words in a title block, and lines that end in the middle of another one; ours."""

_MOST_SHARE = 0.5
"""Of the drawing: what is more of it is no table beside it; ours."""


def title_block_of(lines: Sequence[DrawnLine], others: Sequence[NotCut], strokes: Strokes) -> Recognised | None:
    """The tables of words, or None."""
    tables = tables_of(lines, others, strokes, ())
    if not tables:
        return None
    numbers = frozenset(number for table, _ in tables for number in table)
    at = tables[0][1]
    words = sum(one.number in numbers and one.kind == "text" for one in others)
    says = counted((len(numbers) - words, "line"), (words, "text")) + " in a table"
    return Recognised("title-block", numbers, len(tables), (float(at[0]), float(at[1])), says)


def tables_of(
    lines: Sequence[DrawnLine], others: Sequence[NotCut], strokes: Strokes, but: Collection[int]
) -> list[tuple[set[int], Array]]:
    """Of each table its things, without those numbered in `but`, and its corner."""
    words = np.array([one.points[0] for one in others if one.kind == "text" and one.points]).reshape(-1, 2)
    if len(words) < _LEAST_WORDS:
        return []
    numbers = np.array([lines[one].number for one in strokes.owner], dtype=np.int64)
    level = (np.abs(strokes.along).min(axis=1, initial=1.0) < 1e-6) & ~np.isin(numbers, list(but))
    rows = np.flatnonzero(level)
    boxes = [line for line in lines if is_rectangle(line) and line.number not in but]
    owners = [*numbers[rows].tolist(), *(line.number for line in boxes)]
    if not owners:
        return []
    edges = np.array([_edges(box_of(line)) for line in boxes], dtype=float).reshape(-1, 5, 2)
    shapes = np.concatenate([shapely.linestrings(strokes.ends[rows]), shapely.linestrings(edges)])
    i, j = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=TOUCH)
    group = np.array(_joined(len(shapes), i, j))
    divides = np.isin(np.arange(len(rows)), _ending_in(strokes.ends[rows], shapes, i, j))
    things = boxes_of(lines, others)
    most = _MOST_SHARE * _area(bounds_of(things.boxes))
    found = []
    for one in np.unique(group[: len(rows)][divides]):
        members = np.flatnonzero(group == one)
        box = bounds_of(shapely.bounds(shapes[members]))
        if _area(box) > most:
            continue
        if holds(box, words).sum() < _LEAST_WORDS or divides[members[members < len(rows)]].sum() < _LEAST_INNER:
            continue
        inside = holds(box, things.boxes[:, :2]) & holds(box, things.boxes[:, 2:])
        within = {number for number, there in zip(things.numbers, inside, strict=True) if there} - set(but)
        found.append((within | {owners[n] for n in members}, box[:2]))
    return found


def _area(box: Array) -> float:
    return float((box[2] - box[0]) * (box[3] - box[1]))


def _edges(box: Array) -> list[tuple[float, float]]:
    x0, y0, x1, y1 = box.tolist()
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)]


def _ending_in(ends: Array, shapes: Array, i: Integers, j: Integers) -> Integers:
    """Straight lines, by their places, of which an end lies on another line and on no end of that."""
    straight = i < len(ends)
    pairs = straight & (i != j)
    i, j = i[pairs], j[pairs]
    found = []
    for side in (0, 1):
        place = ends[i, side]
        on = shapely.distance(shapely.points(place), shapes[j]) <= TOUCH
        coordinates = np.where((j < len(ends))[:, None, None], ends[np.minimum(j, len(ends) - 1)], np.inf)
        off = np.hypot(*np.moveaxis(coordinates - place[:, None, :], 2, 0)).min(axis=1)
        found.append(i[on & (off > TOUCH)])
    return np.unique(np.concatenate(found))


def _joined(count: int, first: Integers, second: Integers) -> list[int]:
    """The least number of each connected group."""
    parent = list(range(count))

    def root(one: int) -> int:
        while parent[one] != one:
            parent[one] = parent[parent[one]]
            one = parent[one]
        return one

    for a, b in zip(first.tolist(), second.tolist(), strict=True):
        low, high = sorted((root(a), root(b)))
        parent[high] = low
    return [root(one) for one in range(count)]
