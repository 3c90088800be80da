"""The frame of the paper that a drawing was made on.

Frame    a rectangle round everything else: of a paper's size, or with a border just inside, or with a title block.
Border   the second rectangle, just inside the edge of the paper.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from gasketcut.arrays import Array
from gasketcut.received.groups.boxes import Boxes, bounds_of, box_of, boxes_of, is_rectangle
from gasketcut.received.groups.paper import paper_of
from gasketcut.received.groups.recognised import Recognised
from gasketcut.received.groups.strokes import TOUCH, Strokes
from gasketcut.received.groups.title_block import tables_of
from gasketcut.received.reading.drawn_lines import DrawnLine
from gasketcut.received.reading.not_cut import NotCut

_MOST_CLOSED = 1000
_BORDER = 0.12
"""Widest margin between the edge of a paper and its border [of the shorter side]; ours."""


def frame_of(lines: Sequence[DrawnLine], others: Sequence[NotCut], strokes: Strokes) -> Recognised | None:
    """The frame with its border and what stands between the two, or None.

    A plate with holes is a rectangle round everything too, and a gasket may have a window just inside its edge: there
    have to be words, or a part with something in it; and nothing that closes between edge and border.
    """
    things = boxes_of(lines, others)
    if len(things.numbers) < 3:
        return None
    edge = bounds_of(things.boxes)
    width, height = edge[2] - edge[0], edge[3] - edge[1]
    round_all = _rectangle(lines, strokes, edge)
    if not round_all:
        return None
    border = _border(lines, edge, _BORDER * min(width, height), round_all)
    between = _between(things, border)
    if any(line.closed and line.number in between for line in lines):
        border, between = set(), set()
    words = any(one.kind == "text" for one in others)
    paper = paper_of(width, height) if words or _is_nested(lines, round_all | border) else None
    ruled = len(tables_of(lines, others, strokes, round_all)) > 0
    if not (paper or ruled or (border and words)):
        return None
    says = [f"a rectangle of {width:.4g} x {height:.4g} mm round everything"]
    says += [f"which is {paper}"] if paper else []
    says += ["a second one just inside"] if border else []
    says += ["a title block in it"] if ruled else []
    numbers = frozenset(round_all | border | between)
    return Recognised("frame", numbers, 1, (float(edge[0]), float(edge[1])), ", ".join(says))


def _between(things: Boxes, border: set[int]) -> set[int]:
    """What lies outside the border."""
    if not border:
        return set()
    low_x, low_y, high_x, high_y = bounds_of(things.boxes[np.isin(things.numbers, list(border))])
    x0, y0, x1, y1 = things.boxes.T
    out = (x1 <= low_x + TOUCH) | (x0 >= high_x - TOUCH) | (y1 <= low_y + TOUCH) | (y0 >= high_y - TOUCH)
    return {number for number, there in zip(things.numbers, out, strict=True) if there} - border


def _is_nested(lines: Sequence[DrawnLine], but: set[int]) -> bool:
    """Whether one closed line lies within another one, apart from these."""
    boxes = boxes_of([line for line in lines if line.closed and line.number not in but], ()).boxes
    if not 2 <= len(boxes) <= _MOST_CLOSED:
        return False
    low, high = boxes[:, None, :2] < boxes[None, :, :2], boxes[:, None, 2:] > boxes[None, :, 2:]
    return bool((low & high).all(axis=2).any())


def _rectangle(lines: Sequence[DrawnLine], strokes: Strokes, edge: Array) -> set[int]:
    """Numbers of the one closed line, or of the lines of four sides, that run along these bounds all the way."""
    for line in lines:
        if is_rectangle(line) and np.abs(box_of(line) - edge).max() <= TOUCH:
            return {line.number}
    found: set[int] = set()
    for axis in (0, 1):
        for at in (edge[axis], edge[axis + 2]):
            on = np.flatnonzero(np.abs(strokes.ends[:, :, axis] - at).max(axis=1, initial=0.0) <= TOUCH)
            spans = np.sort(strokes.ends[on][:, :, 1 - axis], axis=1)
            if not _covers(spans, edge[1 - axis], edge[3 - axis]):
                return set()
            found.update(lines[strokes.owner[one]].number for one in on)
    return found


def _covers(spans: Array, low: float, high: float) -> bool:
    reach = low
    for start, end in spans[np.argsort(spans[:, 0])] if len(spans) else spans:
        if start > reach + TOUCH:
            return False
        reach = max(reach, end)
    return bool(len(spans)) and reach >= high - TOUCH


def _border(lines: Sequence[DrawnLine], edge: Array, margin: float, but: set[int]) -> set[int]:
    """The rectangle just inside the edge, drawn as one line or as four; its numbers."""
    for line in lines:
        if line.number not in but and is_rectangle(line):
            gaps = np.abs(box_of(line) - edge)
            if gaps.min() > 0 and gaps.max() <= margin:
                return {line.number}
    low, high = edge[:2], edge[2:]
    found: set[int] = set()
    sides = set()
    for line in lines:
        if line.number in but or line.closed or len(line.segments) != 1 or line.segments[0].bulge:
            continue
        ends = np.array([line.segments[0].start, line.segments[0].end])
        for axis in (0, 1):
            across = abs(ends[0, axis] - ends[1, axis]) <= TOUCH
            long = abs(ends[0, 1 - axis] - ends[1, 1 - axis]) >= (high - low)[1 - axis] - 2 * margin - TOUCH
            for side, gap in ((0, ends[0, axis] - low[axis]), (1, high[axis] - ends[0, axis])):
                if across and long and 0 < gap <= margin:
                    found.add(line.number)
                    sides.add((axis, side))
    return found if len(sides) == 4 else set()
