"""Arrowheads: filled triangles, closed ones, two short lines that meet on a third, ticks, the format's own blocks.

Arrow   the tip, the unit vector from it backwards, the length, and the numbers of the things that draw it.
Shaft   the line that runs backwards from the tip, or from the foot of the arrow.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import radians

import numpy as np

from gasketcut.arrays import Array
from gasketcut.received.groups.strokes import TOUCH, Strokes
from gasketcut.received.reading.drawn_lines import BlockReference, DrawnLine
from gasketcut.received.reading.not_cut import NotCut

_NARROW = 0.9  # the short side of the triangle, in the long ones
_ALIKE = 0.1  # by how much the two long sides may differ
_ALONG = np.cos(np.radians(4.0))  # a shaft runs along its arrow
_LEAST, _MOST = np.cos(np.radians(80.0)), np.cos(np.radians(8.0))  # between the two lines of an open arrow
_ALONG_ARC = np.cos(np.radians(25.0))
_BLOCKS = {
    *("_CLOSEDFILLED", "_CLOSEDBLANK", "_CLOSED", "_DOT", "_DOTSMALL", "_DOTBLANK", "_ORIGIN", "_ORIGIN2", "_OPEN"),
    *("_OPEN90", "_OPEN30", "_SMALL", "_OBLIQUE", "_ARCHTICK", "_BOXFILLED", "_BOXBLANK", "_DATUMFILLED"),
    *("_DATUMBLANK", "_INTEGRAL"),
}
"""Blocks for arrowheads, source: DXF reference, DIMBLK."""

_SLANT = np.cos(np.radians(48.0)), np.cos(np.radians(42.0))  # of a tick across its shaft
_SHORT = 0.1  # of the drawing: a tick is no longer
_MOST_TICKS = 5000
_CROWD = 12  # ends in one place that are still looked at


@dataclass(frozen=True, slots=True)
class Arrow:
    """See above [mm]; `shafts` are strokes, by their places, `arcs` the numbers of bent ones."""

    tip: Array
    back: Array
    length: float
    numbers: frozenset[int]
    shafts: tuple[int, ...] = ()
    arcs: frozenset[int] = frozenset()


def arrows_of(
    lines: Sequence[DrawnLine], others: Sequence[NotCut], strokes: Strokes, references: Sequence[BlockReference]
) -> list[Arrow]:
    """Arrowheads that have a shaft; a triangle without one may be anything."""
    drawn = sorted([*(one.number for one in lines), *(one.number for one in others)])
    blocks = [arrow for one in references if (arrow := _of_block(one, drawn)) is not None]
    in_blocks = frozenset(number for arrow in blocks for number in arrow.numbers)
    found = []
    for one in others:
        if one.kind == "hatch" and (shape := _triangle(np.array(one.points).reshape(-1, 2))) is not None:
            found.append(Arrow(*shape, frozenset({one.number})))
    for line in lines:
        three = line.closed and len(line.segments) == 3 and not any(one.bulge for one in line.segments)
        if three and (shape := _triangle(np.array([one.start for one in line.segments]))) is not None:
            found.append(Arrow(*shape, frozenset({line.number})))
    arcs = _arc_ends(lines)
    # A tick or a dot is the same from either side, and is put down either way round.
    held = [_held(one, strokes, arcs) or _held(replace(one, back=-one.back), strokes, arcs) for one in blocks]
    bent = [replace(one, arcs=_arcs_of(one, arcs)) for one in _open_arrows(lines, strokes)]
    bare = [*(_held(one, strokes, arcs) for one in found), *bent, *_ticks(lines, strokes)]
    return [one for one in held if one] + [one for one in bare if one and not one.numbers & in_blocks]


def _held(arrow: Arrow, strokes: Strokes, ends: Sequence[tuple[int, Array, Array]]) -> Arrow | None:
    """With its shafts; None if it has none."""
    shafts, arcs = tuple(shafts_of(arrow, strokes)), _arcs_of(arrow, ends)
    return replace(arrow, shafts=shafts, arcs=arcs) if shafts or arcs else None


def _of_block(one: BlockReference, drawn: Sequence[int]) -> Arrow | None:
    """An arrowhead that is a block of the format's own name: its point at the origin, its shaft along -x."""
    length = float(np.hypot(*one.along))
    if one.name.upper() not in _BLOCKS or length == 0:
        return None
    inside = drawn[bisect_right(drawn, one.number) : bisect_right(drawn, one.last)]
    return Arrow(np.array(one.at), -np.array(one.along) / length, length, frozenset(inside))


def _arc_ends(lines: Sequence[DrawnLine]) -> list[tuple[int, Array, Array]]:
    """Of open arcs their number, each end, and the unit vector from there along the arc."""
    found = []
    for line in lines:
        if line.closed or line.curve or len(line.segments) > 2 or not all(one.bulge for one in line.segments):
            continue
        first, last = line.segments[0], line.segments[-1]
        for segment, end, turn in ((first, first.start, 1.0), (last, last.end, -1.0)):
            way = turn * (np.array(segment.end) - np.array(segment.start)) / segment.chord
            half = -turn * radians(segment.sweep) / 2
            c, s = np.cos(half), np.sin(half)
            found.append((line.number, np.array(end), np.array([c * way[0] - s * way[1], s * way[0] + c * way[1]])))
    return found


def _arcs_of(arrow: Arrow, ends: Sequence[tuple[int, Array, Array]]) -> frozenset[int]:
    """Arcs that begin between the tip and the foot of the arrow and run on backwards."""
    return frozenset(
        number
        for number, end, way in ends
        if np.hypot(*(end - arrow.tip)) <= 1.2 * arrow.length and float(way @ arrow.back) >= _ALONG_ARC
    )


def _triangle(points: Array) -> tuple[Array, Array, float] | None:
    """Tip, way back and length of a narrow triangle with two sides alike."""
    corners = [point for n, point in enumerate(points) if all(np.hypot(*(point - one)) > 1e-9 for one in points[:n])]
    if len(corners) != 3:
        return None
    sides = [float(np.hypot(*(corners[n - 1] - corners[n - 2]))) for n in range(3)]  # each across from its corner
    apex = int(np.argmin(sides))
    short, first, second = sides[apex], sides[apex - 1], sides[apex - 2]
    if abs(first - second) > _ALIKE * first or short > _NARROW * first:
        return None
    way = (corners[apex - 1] + corners[apex - 2]) / 2 - corners[apex]
    length = float(np.hypot(*way))
    return corners[apex], way / length, length


def shafts_of(arrow: Arrow, strokes: Strokes) -> Iterator[int]:
    """Strokes that begin between the tip and the foot of the arrow and run on backwards."""
    for one in strokes.near(arrow.tip, 1.2 * arrow.length).tolist():
        for side in (0, 1):
            off = strokes.ends[one, side] - arrow.tip
            along = float(off @ arrow.back)
            beside = abs(float(off[0] * arrow.back[1] - off[1] * arrow.back[0]))
            way = strokes.along[one] if side == 0 else -strokes.along[one]
            begins = -0.1 * arrow.length <= along <= 1.15 * arrow.length
            if begins and beside <= 0.05 * arrow.length + TOUCH and float(way @ arrow.back) >= _ALONG:
                yield one
                break


def _open_arrows(lines: Sequence[DrawnLine], strokes: Strokes) -> Iterator[Arrow]:
    """Two short lines alike and a shaft between them, all from one point."""
    length, along = strokes.length, strokes.along
    for place, ends in _crowded(strokes):
        ways = {one: along[one] if side == 0 else -along[one] for one, side in ends}
        for a, b in combinations(sorted(ways), 2):
            between = float(ways[a] @ ways[b])
            if not _LEAST <= between <= _MOST or abs(length[a] - length[b]) > _ALIKE * length[a]:
                continue
            back = (ways[a] + ways[b]) / np.hypot(*(ways[a] + ways[b]))
            shafts = tuple(
                c for c in ways if c not in (a, b) and length[c] > 0.6 * length[a] and float(ways[c] @ back) >= _ALONG
            )
            foot = _foot(strokes, a, b, place)
            if shafts and foot is not None:
                numbers = frozenset(lines[strokes.owner[one]].number for one in (a, b, *foot))
                yield Arrow(place, back, float(length[a] * np.sqrt((1 + between) / 2)), numbers, shafts)


def _ticks(lines: Sequence[DrawnLine], strokes: Strokes) -> Iterator[Arrow]:
    """Two short slanting lines alike, the middles of which lie on a third one near its ends."""
    if not len(strokes.ends):
        return
    length, along, middles = strokes.length, strokes.along, strokes.ends.mean(axis=1)
    extent = float(np.ptp(strokes.ends.reshape(-1, 2), axis=0).max())
    short = np.flatnonzero(strokes.free.all(axis=1) & (length <= _SHORT * extent))
    on: dict[int, list[int]] = {}
    for tick in short[:_MOST_TICKS].tolist():
        for one in strokes.near(middles[tick], TOUCH).tolist():
            slant = abs(float(along[tick] @ along[one]))
            at_end = np.hypot(*(strokes.ends[one] - middles[tick]).T).min() <= length[tick]
            if one != tick and _SLANT[0] <= slant <= _SLANT[1] and at_end and length[one] > 1.5 * length[tick]:
                on.setdefault(one, []).append(tick)
    for shaft, ticks in on.items():
        for a, b in combinations(ticks, 2):
            alike = abs(length[a] - length[b]) <= _ALIKE * length[a] and abs(float(along[a] @ along[b])) >= _ALONG
            apart = float(np.hypot(*(middles[b] - middles[a])))
            if alike and apart > length[a]:
                for here, there in ((a, b), (b, a)):
                    back = (middles[there] - middles[here]) / apart
                    number = lines[strokes.owner[here]].number
                    yield Arrow(middles[here], back, float(length[here]), frozenset({number}), (shaft,))


def _foot(strokes: Strokes, a: int, b: int, place: Array) -> tuple[int, ...] | None:
    """What joins the two lines of an arrow away from its tip: nothing, or one line; None if they go on otherwise."""
    far_a, far_b = (int(np.argmax(np.hypot(*(strokes.ends[one] - place).T))) for one in (a, b))
    if strokes.free[a, far_a] and strokes.free[b, far_b]:
        return ()
    at_a = {one for one, _ in strokes.ending_at(strokes.ends[a, far_a])} - {a}
    at_b = {one for one, _ in strokes.ending_at(strokes.ends[b, far_b])} - {b}
    return tuple(at_a) if at_a == at_b and len(at_a) == 1 else None


def _crowded(strokes: Strokes) -> Iterator[tuple[Array, list[tuple[int, int]]]]:
    """Places where three or more ends meet, once each."""
    done: set[tuple[int, int]] = set()
    for one, side in np.argwhere(strokes.meeting >= 3).tolist():
        if (one, side) in done:
            continue
        place = strokes.ends[one, side]
        ends = strokes.ending_at(place)
        done.update(ends)
        if 3 <= len(ends) <= _CROWD:
            yield place, ends
