"""Lines that lie on each other: the same one twice, in part, forwards or backwards; and what they cover together."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gasketcut.arrays import Integers
from gasketcut.plane import Point
from gasketcut.received.reading.curves import arc_segments
from gasketcut.received.reading.elements import NEAR, Elements
from gasketcut.shape.loop import Segment

_LEAST = 2 * NEAR
_FULL = 2 * np.pi


@dataclass(frozen=True, slots=True)
class Overlaps:
    """Pairs of elements that lie on each other, and which of them are the same from end to end."""

    i: Integers
    j: Integers
    same: NDArray[np.bool_]


def overlaps_of(elements: Elements, i: Integers, j: Integers) -> Overlaps:
    """Among the pairs i, j those that share more than a point."""
    lines = ~elements.is_arc[i] & ~elements.is_arc[j]
    arcs = elements.is_arc[i] & elements.is_arc[j]
    shared, same = np.zeros(len(i), dtype=bool), np.zeros(len(i), dtype=bool)
    shared[lines], same[lines] = _lines(elements, i[lines], j[lines])
    shared[arcs], same[arcs] = _arcs(elements, i[arcs], j[arcs])
    return Overlaps(i[shared], j[shared], same[shared])


def _lines(elements: Elements, i: Integers, j: Integers) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    # Along the longer of the two: the shorter one says little about the direction.
    size = np.hypot(*(elements.end - elements.start).T)
    swap = size[j] > size[i]
    long, short = np.where(swap, j, i), np.where(swap, i, j)
    length = size[long]
    good = length > 0
    along = (elements.end[long] - elements.start[long]) / np.where(good, length, 1.0)[:, None]
    a, b = elements.start[short] - elements.start[long], elements.end[short] - elements.start[long]
    off = np.maximum(np.abs(_cross(along, a)), np.abs(_cross(along, b)))
    s, t = np.sum(a * along, axis=1), np.sum(b * along, axis=1)
    low, high = np.minimum(s, t), np.maximum(s, t)
    shared = good & (off <= NEAR) & (np.minimum(high, length) - np.maximum(low, 0.0) > _LEAST)
    return shared, shared & (np.abs(low) <= NEAR) & (np.abs(high - length) <= NEAR)


def _arcs(elements: Elements, i: Integers, j: Integers) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    apart = np.hypot(*(elements.center[i] - elements.center[j]).T)
    r, q = elements.radius[i], elements.radius[j]
    alike = (apart + np.abs(r - q)) <= NEAR
    offset = (elements.first[j] - elements.first[i]) % _FULL
    tolerance = _LEAST / np.maximum(r, 1e-9)
    si, sj = elements.sweep[i], elements.sweep[j]
    # j begins `offset` behind i: what they share behind j's start, and behind i's start.
    ahead = np.minimum(si - offset, sj)
    behind = np.minimum(offset + sj - _FULL, si)
    shared = alike & (np.maximum(ahead, behind) > tolerance)
    level = np.minimum(offset, _FULL - offset) <= tolerance
    return shared, shared & level & (np.abs(si - sj) <= tolerance)


def merged(elements: Elements, overlaps: Overlaps) -> tuple[set[int], list[tuple[int, Segment]]]:
    """The elements that take part in an overlap, and the segments that cover the same once, each with the first of the
    elements that it stands for."""
    gone: set[int] = set()
    made: list[tuple[int, Segment]] = []
    for group in _groups(overlaps):
        gone |= set(group)
        together = _arcs_together if elements.radius[group[0]] > 0 else _lines_together
        made += [(group[0], segment) for segment in together(elements, group)]
    return gone, made


def _groups(overlaps: Overlaps) -> list[list[int]]:
    parent: dict[int, int] = {}

    def root(one: int) -> int:
        while parent.setdefault(one, one) != one:
            parent[one] = parent[parent[one]]
            one = parent[one]
        return one

    for a, b in zip(overlaps.i.tolist(), overlaps.j.tolist(), strict=True):
        parent[root(a)] = root(b)
    found = defaultdict(list)
    for one in sorted(parent):
        found[root(one)].append(one)
    return list(found.values())


def _lines_together(elements: Elements, group: list[int]) -> list[Segment]:
    """From the first to the last end along the longest: ends that exist, not sums, so that neighbours still meet."""
    size = np.hypot(*(elements.end[group] - elements.start[group]).T)
    longest = group[int(np.argmax(size))]
    origin, along = elements.start[longest], elements.end[longest] - elements.start[longest]
    ends = np.vstack([elements.start[group], elements.end[group]])
    places = (ends - origin) @ along
    return [Segment(_point(ends[int(np.argmin(places))]), _point(ends[int(np.argmax(places))]), 0.0)]


def _arcs_together(elements: Elements, group: list[int]) -> list[Segment]:
    main = group[int(np.argmax(elements.sweep[group]))]
    base = float(elements.first[main])
    spans = sorted(
        (float((elements.first[one] - base + 1e-9) % _FULL) - 1e-9, float(elements.sweep[one])) for one in group
    )  # the main one is first, at zero
    reach, first = 0.0, 0.0
    for start, sweep in spans:
        if start <= reach + 1e-6:
            reach = max(reach, start + sweep)
        else:  # it can only hang on from behind, beyond a full turn
            first = min(first, start - _FULL)
    span = min(_FULL, reach - first)
    center = _point(elements.center[main])
    span = _FULL if _FULL - span < 1e-6 else span
    return arc_segments(center, float(elements.radius[main]), float(np.degrees(base + first)), float(np.degrees(span)))


def _cross(a: NDArray[np.float64], b: NDArray[np.float64]) -> NDArray[np.float64]:
    result: NDArray[np.float64] = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    return result


def _point(row: NDArray[np.float64]) -> Point:
    return float(row[0]), float(row[1])
