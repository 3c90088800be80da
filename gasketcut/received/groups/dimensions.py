"""Dimensions: as such, or drawn with single lines: a shaft with arrowheads, lines out from the part, a text beside.

Out line   from the part to just beyond the tip of an arrow; its end there is free.
Landing    the short lines that lead on from an arrow's shaft to a text.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from gasketcut.received.groups.arrows import Arrow, arrows_of
from gasketcut.received.groups.recognised import Recognised, counted
from gasketcut.received.groups.strokes import TOUCH, Strokes
from gasketcut.received.reading.drawn_lines import BlockReference, DrawnLine
from gasketcut.received.reading.not_cut import NotCut

_BEYOND = 2.0
"""How far an out line may run beyond the tip, and a text lie off the shaft [lengths of the arrow]; ours."""

_BESIDE = 4.0
_ASKEW = np.cos(np.radians(25.0))  # an out line runs across the shaft
_FACING = np.cos(np.radians(3.0))
_LANDINGS = 3


def dimensions_of(
    lines: Sequence[DrawnLine], others: Sequence[NotCut], strokes: Strokes, references: Sequence[BlockReference]
) -> Recognised | None:
    """Everything that belongs to a dimension or a leader, or None."""
    arrows = arrows_of(lines, others, strokes, references)
    shafts = _continued(strokes, {one for arrow in arrows for one in arrow.shafts})
    landings = {one for shaft in shafts for one in _landings(strokes, shaft, shafts)}
    out = {one for arrow in arrows for one in _out_lines(arrow, strokes)} - shafts
    heads = frozenset(number for arrow in arrows for number in arrow.numbers)
    bent = frozenset(number for arrow in arrows for number in arrow.arcs)
    thin = (frozenset(lines[strokes.owner[one]].number for one in shafts | landings | out) | bent) - heads
    reach = max((arrow.length for arrow in arrows), default=0.0) * _BESIDE
    beside = [shapely.LineString(strokes.ends[one]) for one in sorted(shafts | landings)]
    beside += [shapely.LineString(_points(line)) for line in lines if line.number in bent]
    shaft_lines = shapely.MultiLineString(beside)
    words = [one for one in others if one.kind == "text" and one.points]
    near = [shapely.distance(shapely.Point(one.points[0]), shaft_lines) <= reach for one in words]
    texts = {one.number for one, there in zip(words, near, strict=True) if there}
    whole = [one for one in others if one.kind == "dimensions"]
    numbers = heads | thin | texts | {one.number for one in whole}
    if not numbers:
        return None
    places = [tuple(arrow.tip.tolist()) for arrow in arrows] or [place for one in whole for place in one.points]
    says = counted(
        (len(whole), "dimension or leader as such"), (len(arrows), "arrowhead"), (len(texts), "text"),
        (len(thin), "thin line"),
    )  # fmt: skip
    return Recognised("dimensions", numbers, len(whole) + _count(arrows), _first(places), says)


def _points(line: DrawnLine) -> list[tuple[float, float]]:
    return [*(point for one in line.segments for point in one.points(0.05)), line.segments[-1].end]


def _continued(strokes: Strokes, shafts: set[int]) -> set[int]:
    """With what goes straight on at their ends: where the arrow has a piece of the shaft of its own."""
    known, last = set(shafts), set(shafts)
    for _ in range(_LANDINGS):
        found = {
            one
            for shaft in last
            for side in (0, 1)
            for one, end in strokes.ending_at(strokes.ends[shaft, side])
            if one not in known
            and (1 if side != end else -1) * float(strokes.along[one] @ strokes.along[shaft]) >= _FACING
        }
        known |= found
        last = found
    return known


def _first(places: Sequence[tuple[float, ...]]) -> tuple[float, float]:
    return (float(places[0][0]), float(places[0][1])) if places else (0.0, 0.0)


def _out_lines(arrow: Arrow, strokes: Strokes) -> list[int]:
    found = []
    for one in strokes.near(arrow.tip, TOUCH + 0.02 * arrow.length).tolist():
        beyond = np.hypot(*(strokes.ends[one] - arrow.tip).T)
        near = int(np.argmin(beyond))
        across = abs(float(strokes.along[one] @ arrow.back)) <= _ASKEW
        if across and strokes.free[one, near] and beyond[near] <= _BEYOND * arrow.length:
            found.append(one)
    return found


def _landings(strokes: Strokes, shaft: int, shafts: set[int]) -> list[int]:
    """Lines that go on from a free-hanging end of the shaft, one after the other, and end free."""
    for side in (0, 1):
        found: list[int] = []
        at, last = strokes.ends[shaft, side], shaft
        while len(found) < _LANDINGS:
            after = [(one, end) for one, end in strokes.ending_at(at) if one != last]
            if len(after) != 1 or after[0][0] in shafts:
                break
            last, end = after[0]
            found.append(last)
            if strokes.free[last, 1 - end]:
                return found
            at = strokes.ends[last, 1 - end]
    return []


def _count(arrows: list[Arrow]) -> int:
    """Two arrows on one shaft, or on two in one line that face or turn their backs on each other, are one dimension."""
    left = list(range(len(arrows)))
    count = 0
    while left:
        arrow = arrows[left.pop(0)]
        count += 1
        mates = [n for n in left if _is_mate(arrow, arrows[n])]
        if mates:
            left.remove(min(mates, key=lambda n: (not _share(arrow, arrows[n]), _apart(arrow, arrows[n]))))
    return count


def _share(one: Arrow, other: Arrow) -> bool:
    return bool(set(one.shafts) & set(other.shafts) or one.arcs & other.arcs)


def _apart(one: Arrow, other: Arrow) -> float:
    return float(np.hypot(*(other.tip - one.tip)))


def _is_mate(one: Arrow, other: Arrow) -> bool:
    if one.arcs & other.arcs:
        return True
    way = other.tip - one.tip
    apart = _apart(one, other)
    opposite = float(one.back @ other.back) <= -_FACING
    beside = abs(float(way[0] * one.back[1] - way[1] * one.back[0]))
    return opposite and apart > one.length and beside <= 0.05 * one.length + TOUCH
