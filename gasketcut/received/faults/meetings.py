"""Where lines and arcs cross or touch that do not belong together there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gasketcut.arrays import Array, Integers
from gasketcut.received.reading.elements import NEAR, Elements

_FULL = 2 * np.pi


@dataclass(frozen=True, slots=True)
class Meetings:
    """Elements i and j meet at `place` (n, 2), inside of both (they cross) or at an end of one (they touch)."""

    i: Integers
    j: Integers
    place: Array
    cross: NDArray[np.bool_]


def meetings_of(elements: Elements, i: Integers, j: Integers) -> Meetings:
    """Among the pairs those that meet elsewhere than end to end; lines that lie on each other are not for here."""
    arc_i, arc_j = elements.is_arc[i], elements.is_arc[j]
    found = [
        _line_line(elements, i[~arc_i & ~arc_j], j[~arc_i & ~arc_j]),
        _line_arc(elements, i[~arc_i & arc_j], j[~arc_i & arc_j]),
        _line_arc(elements, j[arc_i & ~arc_j], i[arc_i & ~arc_j]),
        _arc_arc(elements, i[arc_i & arc_j], j[arc_i & arc_j]),
    ]
    a, b = np.concatenate([one[0] for one in found]), np.concatenate([one[1] for one in found])
    place, tangent = np.vstack([one[2] for one in found]), np.concatenate([one[3] for one in found])
    on = _lies_on(elements, a, place) & _lies_on(elements, b, place)
    a, b, place, tangent = a[on], b[on], place[on], tangent[on]
    reach = NEAR + 3 * np.sqrt(2 * NEAR * np.maximum(elements.radius[a], elements.radius[b]))
    joint = _joint_distance(elements, a, b, place)
    # Near a shared end two curves are within NEAR of each other for a stretch: that is their joint.
    stays = joint > np.where(_share_an_end(elements, a, b), np.maximum(reach, 2 * NEAR), 2 * NEAR)
    a, b, place, tangent = a[stays], b[stays], place[stays], tangent[stays]
    inner = np.minimum(_to_ends(elements, a, place), _to_ends(elements, b, place)) > 2 * NEAR
    return Meetings(a, b, place, inner & ~tangent)


def _line_line(e: Elements, i: Integers, j: Integers) -> tuple[Integers, Integers, Array, NDArray[np.bool_]]:
    p, q, r, s = e.start[i], e.start[j], e.end[i] - e.start[i], e.end[j] - e.start[j]
    across = r[:, 0] * s[:, 1] - r[:, 1] * s[:, 0]
    size = np.hypot(*r.T) * np.hypot(*s.T)
    ok = np.abs(across) > 1e-9 * np.maximum(size, 1e-30)
    gap = q - p
    share = (gap[:, 0] * s[:, 1] - gap[:, 1] * s[:, 0]) / np.where(ok, across, 1.0)
    place = p + r * share[:, None]
    return i[ok], j[ok], place[ok], np.zeros(int(ok.sum()), dtype=bool)


def _line_arc(e: Elements, i: Integers, j: Integers) -> tuple[Integers, Integers, Array, NDArray[np.bool_]]:
    along = e.end[i] - e.start[i]
    along = along / np.maximum(np.hypot(*along.T), 1e-30)[:, None]
    foot = e.start[i] + along * np.sum((e.center[j] - e.start[i]) * along, axis=1)[:, None]
    off = np.hypot(*(e.center[j] - foot).T)
    return _two(i, j, foot, along, off - e.radius[j], np.sqrt(np.maximum(e.radius[j] ** 2 - off**2, 0.0)))


def _arc_arc(e: Elements, i: Integers, j: Integers) -> tuple[Integers, Integers, Array, NDArray[np.bool_]]:
    line = e.center[j] - e.center[i]
    apart = np.hypot(*line.T)
    ok = apart > NEAR
    i, j, line, apart = i[ok], j[ok], line[ok] / apart[ok][:, None], apart[ok]
    r, q = e.radius[i], e.radius[j]
    along = (apart**2 + r**2 - q**2) / (2 * apart)
    # How far from meeting: outside each other, or one inside the other.
    miss = np.maximum(apart - r - q, np.abs(r - q) - apart)
    foot = e.center[i] + line * np.where(np.abs(miss) <= NEAR, np.sign(along) * r, along)[:, None]
    normal = np.column_stack([-line[:, 1], line[:, 0]])
    return _two(i, j, foot, normal, miss, np.sqrt(np.maximum(r**2 - along**2, 0.0)))


def _two(
    i: Integers, j: Integers, foot: Array, along: Array, miss: Array, half: Array
) -> tuple[Integers, Integers, Array, NDArray[np.bool_]]:
    """One place where they only just touch, two where they go through each other, none beyond."""
    touch, through = np.abs(miss) <= NEAR, miss < -NEAR
    step = along * half[:, None]
    place = np.vstack([foot[touch], (foot + step)[through], (foot - step)[through]])
    tangent = np.zeros(len(place), dtype=bool)
    tangent[: int(touch.sum())] = True
    return (
        np.concatenate([i[touch], i[through], i[through]]),
        np.concatenate([j[touch], j[through], j[through]]),
        place,
        tangent,
    )


def _lies_on(e: Elements, n: Integers, place: Array) -> NDArray[np.bool_]:
    """Of places on the carrier, those on the element itself."""
    along = e.end[n] - e.start[n]
    length = np.hypot(*along.T)
    share = np.sum((place - e.start[n]) * along, axis=1) / np.maximum(length, 1e-30)
    on_line = (share >= -NEAR) & (share <= length + NEAR)
    spoke = place - e.center[n]
    turn = (np.arctan2(spoke[:, 1], spoke[:, 0]) - e.first[n]) % _FULL
    slack = NEAR / np.maximum(e.radius[n], NEAR)
    on_arc = (turn <= e.sweep[n] + slack) | (turn >= _FULL - slack)
    result: NDArray[np.bool_] = np.where(e.is_arc[n], on_arc, on_line)
    return result


def _to_ends(e: Elements, n: Integers, place: Array) -> Array:
    result: Array = np.minimum(np.hypot(*(place - e.start[n]).T), np.hypot(*(place - e.end[n]).T))
    return result


def _joint_distance(e: Elements, a: Integers, b: Integers, place: Array) -> Array:
    """How far the place is from an end of a that is also an end of b; far where they share none."""
    best = np.full(len(a), np.inf)
    for mine in (e.start, e.end):
        for other in (e.start, e.end):
            shared = np.hypot(*(mine[a] - other[b]).T) <= 2 * NEAR
            best = np.where(shared, np.minimum(best, np.hypot(*(place - mine[a]).T)), best)
    return best


def _share_an_end(e: Elements, a: Integers, b: Integers) -> NDArray[np.bool_]:
    result: NDArray[np.bool_] = np.isfinite(_joint_distance(e, a, b, np.zeros((len(a), 2))))
    return result
