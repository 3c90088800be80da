"""Arrowheads: small filled triangles, small closed ones, and two short lines that meet in a point on a third.

Arrow   the tip, the unit vector from it backwards, the length, and the numbers of the things that draw it.
Shaft   the line that runs backwards from the tip, or from the foot of the arrow.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from gasketcut.arrays import Array
from gasketcut.received.groups.strokes import TOUCH, Strokes
from gasketcut.received.reading.drawn_lines import DrawnLine
from gasketcut.received.reading.not_cut import NotCut

_NARROW = 0.9  # the short side of the triangle, in the long ones
_ALIKE = 0.1  # by how much the two long sides may differ
_ALONG = np.cos(np.radians(4.0))  # a shaft runs along its arrow
_LEAST, _MOST = np.cos(np.radians(80.0)), np.cos(np.radians(8.0))  # between the two lines of an open arrow
_CROWD = 12  # ends in one place that are still looked at


@dataclass(frozen=True, slots=True)
class Arrow:
    """See above [mm]; `shafts` are strokes, by their places."""

    tip: Array
    back: Array
    length: float
    numbers: frozenset[int]
    shafts: tuple[int, ...]


def arrows_of(lines: Sequence[DrawnLine], others: Sequence[NotCut], strokes: Strokes) -> list[Arrow]:
    """Arrowheads that have a shaft; a triangle without one may be anything."""
    found = []
    for one in others:
        if one.kind == "hatch" and (shape := _triangle(np.array(one.points).reshape(-1, 2))) is not None:
            found.append(Arrow(*shape, frozenset({one.number}), ()))
    for line in lines:
        three = line.closed and len(line.segments) == 3 and not any(one.bulge for one in line.segments)
        if three and (shape := _triangle(np.array([one.start for one in line.segments]))) is not None:
            found.append(Arrow(*shape, frozenset({line.number}), ()))
    filled = [(arrow, tuple(shafts_of(arrow, strokes))) for arrow in found]
    whole = [Arrow(one.tip, one.back, one.length, one.numbers, shafts) for one, shafts in filled]
    return [arrow for arrow in (*whole, *_open_arrows(lines, strokes)) if arrow.shafts]


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
                c for c in ways if c not in (a, b) and length[c] > length[a] and float(ways[c] @ back) >= _ALONG
            )
            foot = _foot(strokes, a, b, place)
            if shafts and foot is not None:
                numbers = frozenset(lines[strokes.owner[one]].number for one in (a, b, *foot))
                yield Arrow(place, back, float(length[a] * np.sqrt((1 + between) / 2)), numbers, shafts)


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
    for one, side in np.argwhere(~strokes.free).tolist():
        if (one, side) in done:
            continue
        place = strokes.ends[one, side]
        ends = strokes.ending_at(place)
        done.update(ends)
        if 3 <= len(ends) <= _CROWD:
            yield place, ends
