"""Loose lines and arcs joined end to end.

Chain  segments end to end; closed if the last ends where the first starts.
Node   a place where ends meet.

Ends that meet in one number, or within EXACT, are simply one. What is left dangling is paired with the nearest other
dangling end, shortest gaps first, up to the tolerance.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain
from math import inf

import numpy as np
import shapely

from gasketcut.arrays import Array, Integers
from gasketcut.plane import Point
from gasketcut.shape.loop import Segment
from gasketcut.tolerances import SAME_PLACE

EXACT = 2e-9
"""mm; ends of arcs come back from centre and angle with rounding of this size."""

_GRID = 1e-9
_LOOK = 10.0
"""How far to look for the nearest other end, to be able to say how far it is [mm]."""

_ALONE = 3.0  # times the gap there is no third end; ours


@dataclass(frozen=True, slots=True)
class Chain:
    """Segments end to end."""

    segments: tuple[Segment, ...]
    closed: bool


@dataclass(frozen=True, slots=True)
class Gap:
    """Two ends that were joined though they are `width` apart [mm]."""

    at: Point
    width: float


@dataclass(frozen=True, slots=True)
class LooseEnd:
    """An end that meets nothing, and how far the nearest other loose end is (None: none near) [mm].

    pairs : the two are each other's nearest and nothing else is near, so a greater tolerance would join just them
    """

    at: Point
    nearest: float | None
    pairs: bool = False


@dataclass(frozen=True, slots=True)
class Branch:
    """More than two ends in a place."""

    at: Point
    count: int


@dataclass(frozen=True, slots=True)
class Chained:
    """The chains, and what was found at their ends."""

    chains: tuple[Chain, ...]
    gaps: tuple[Gap, ...]
    loose: tuple[LooseEnd, ...]
    branches: tuple[Branch, ...]
    slivers: tuple[Point, ...] = ()
    """Where open lines lie that are shorter than a gap: nothing that could be cut."""


def chained(given: Sequence[tuple[Segment, ...]], tolerance: float) -> Chained:
    """Join the given open lines; each is used once.

    tolerance : greatest gap that is closed [mm]
    """
    places = _ends(given)
    partner = np.full(len(places), -1, dtype=np.int64)
    dangling, branches = _met(places, partner)
    short = {n for n in set((dangling // 2).tolist()) if _is_short(given[n], 2 * tolerance)}
    gaps, loose = _paired(dangling, places, partner, tolerance, short)
    chains: list[Chain] = []
    slivers: list[Chain] = []
    for one in _walked(given, partner):
        (slivers if _is_sliver(one, tolerance) else chains).append(one)
    tips = {end for one in slivers for end in (one.segments[0].start, one.segments[-1].end)}
    return Chained(
        tuple(chains),
        tuple(gaps),
        tuple(one for one in loose if one.at not in tips),
        tuple(branches),
        tuple(one.segments[0].start for one in slivers),
    )


def _ends(given: Sequence[tuple[Segment, ...]]) -> Array:
    """Shape (2 n, 2): of line n the start at 2 n, the end at 2 n + 1. These numbers name the ends from here on."""
    places = np.empty((2 * len(given), 2))
    for number, line in enumerate(given):
        places[2 * number] = line[0].start
        places[2 * number + 1] = line[-1].end
    return places


def _met(places: Array, partner: Integers) -> tuple[Integers, list[Branch]]:
    """Fill `partner` where two ends meet; return the ends that meet none, and where more than two do."""
    cells = np.round(places / _GRID)
    order = np.lexsort((cells[:, 1], cells[:, 0]))
    apart = (np.diff(cells[order], axis=0) != 0).any(axis=1)
    firsts = np.concatenate([[0], np.flatnonzero(apart) + 1]) if len(order) else np.zeros(0, dtype=np.int64)
    counts = np.diff(np.append(firsts, len(order)))
    pairs = firsts[counts == 2]
    a, b = order[pairs], order[pairs + 1]
    partner[a], partner[b] = b, a
    many = sorted((int(order[first : first + count].min()), int(count))
                  for first, count in zip(firsts[counts > 2], counts[counts > 2], strict=True))  # fmt: skip
    return np.sort(order[firsts[counts == 1]]), [Branch(_point(places[end]), count) for end, count in many]


def _is_short(segments: tuple[Segment, ...], most: float) -> bool:
    return sum(one.length for one in segments[:9]) <= most


def _is_sliver(one: Chain, tolerance: float) -> bool:
    """An open line shorter than a gap, or one that goes there and back again."""
    if one.closed:
        return len(one.segments) < 3 and not any(each.bulge for each in one.segments)
    return len(one.segments) < 9 and _is_short(one.segments, tolerance)


def _paired(
    dangling: Integers, places: Array, partner: Integers, tolerance: float, short: set[int]
) -> tuple[list[Gap], list[LooseEnd]]:
    """Fill `partner`; return the gaps closed and the ends still loose. A line shorter than a gap is not bent shut."""
    gaps, left = [], dict.fromkeys(dangling.tolist())
    for width, a, b in _near(dangling, places, tolerance):
        if a in left and b in left and not (a // 2 == b // 2 and a // 2 in short):
            del left[a], left[b]
            partner[a], partner[b] = b, a
            if width > EXACT:
                gaps.append(Gap(_point((places[a] + places[b]) / 2), width))
    return gaps, _loose(np.array(list(left), dtype=np.int64), places, short)


def _loose(ends: Integers, places: Array, short: set[int]) -> list[LooseEnd]:
    """With what is near each: the nearest, and how far the next nearest is."""
    first: dict[int, tuple[float, int]] = {}
    second: dict[int, float] = {}
    for width, a, b in _near(ends, places, _LOOK):
        for one, other in ((a, b), (b, a)):
            if one not in first:
                first[one] = width, other
            else:
                second.setdefault(one, width)

    def pairs(one: int) -> bool:
        if one not in first:
            return False
        width, other = first[one]
        next_one = min(second.get(one, inf), second.get(other, inf))
        bent = one // 2 == other // 2 and one // 2 in short
        return first[other][1] == one and next_one >= _ALONE * width and not bent

    return [LooseEnd(_point(places[end]), first[end][0] if end in first else None, pairs(end)) for end in ends.tolist()]


def _near(ends: Integers, places: Array, distance: float) -> list[tuple[float, int, int]]:
    """Pairs nearer than that, nearest first; in a crowd only the first thousand of each."""
    if len(ends) < 2:
        return []
    xy = places[ends]
    points = np.asarray(shapely.points(xy), dtype=object)
    tree = shapely.STRtree(points)
    found: list[tuple[float, int, int]] = []
    for start in range(0, len(ends), 5000):
        i, j = tree.query(points[start : start + 5000], predicate="dwithin", distance=distance)
        i = i + start
        keep = i < j
        i, j = i[keep], j[keep]
        widths = np.hypot(*(xy[i] - xy[j]).T)
        if len(widths) > 200_000:
            order = np.argsort(widths, kind="stable")[:200_000]
            i, j, widths = i[order], j[order], widths[order]
        found += zip(widths.tolist(), ends[i].tolist(), ends[j].tolist(), strict=True)
    return sorted(found)


def _walked(given: Sequence[tuple[Segment, ...]], partner: Integers) -> Iterator[Chain]:
    """Follow the partners: first from ends that have none, then round and round."""
    used, others = bytearray(len(given)), array("q", partner.tobytes())
    for first in chain((end for end, other in enumerate(others) if other < 0), range(0, len(others), 2)):
        if used[first // 2]:
            continue
        segments: list[Segment] = []
        at = first
        while at >= 0 and not used[at // 2]:
            used[at // 2] = True
            own = given[at // 2]
            _join(segments, own if at % 2 == 0 else tuple(turned(one) for one in reversed(own)))
            at = others[at ^ 1]
        closed = at == first
        if closed and segments[-1].end != segments[0].start:
            segments[-1] = Segment(segments[-1].start, segments[0].start, segments[-1].bulge)
        yield Chain(tuple(segments), closed)


def _join(segments: list[Segment], own: tuple[Segment, ...]) -> None:
    """The neighbour's end moves onto the next one's start: at most the tolerance."""
    if segments and segments[-1].end != own[0].start:
        segments[-1] = Segment(segments[-1].start, own[0].start, segments[-1].bulge)
    segments.extend(own)


def _point(row: Array) -> Point:
    return float(row[0]), float(row[1])


def turned(segment: Segment) -> Segment:
    """The same from its end to its start."""
    return Segment(segment.end, segment.start, -segment.bulge)


def is_rounding(gap: Gap) -> bool:
    """Whether the ends only miss each other by the last digits of their numbers."""
    return gap.width <= SAME_PLACE
