"""Loose lines and arcs joined end to end.

Chain  segments end to end; closed if the last ends where the first starts.
Node   a place where ends meet.

Ends that meet in one number, or within EXACT, are simply one. What is left dangling is paired with the nearest other
dangling end, shortest gaps first, up to the tolerance.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

import numpy as np
import shapely

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


End = tuple[int, int]
"""Number of an open line, 0 its start, 1 its end."""


def chained(given: Sequence[tuple[Segment, ...]], tolerance: float) -> Chained:
    """Join the given open lines; each is used once.

    tolerance : greatest gap that is closed [mm]
    """
    places = {(n, 0): chain[0].start for n, chain in enumerate(given)}
    places |= {(n, 1): chain[-1].end for n, chain in enumerate(given)}
    nodes: dict[tuple[int, int], list[End]] = defaultdict(list)
    for end, (x, y) in places.items():
        nodes[round(x / _GRID), round(y / _GRID)].append(end)
    partner: dict[End, End] = {}
    dangling: list[End] = []
    branches = []
    for ends in nodes.values():
        if len(ends) == 2:
            partner[ends[0]], partner[ends[1]] = ends[1], ends[0]
        elif len(ends) == 1:
            dangling.append(ends[0])
        else:
            branches.append(Branch(places[ends[0]], len(ends)))
    short = {n for n, chain in enumerate(given) if sum(one.length for one in chain[:9]) <= 2 * tolerance}
    gaps, loose = _paired(dangling, places, partner, tolerance, short)
    chains: list[Chain] = []
    slivers: list[Chain] = []
    for chain in _walked(given, partner):
        tiny = (
            not chain.closed and sum(one.length for one in chain.segments[:9]) <= tolerance and len(chain.segments) < 9
        )
        tiny = tiny or (chain.closed and len(chain.segments) < 3 and not any(one.bulge for one in chain.segments))
        (slivers if tiny else chains).append(chain)
    tips = {end for chain in slivers for end in (chain.segments[0].start, chain.segments[-1].end)}
    return Chained(
        tuple(chains),
        tuple(gaps),
        tuple(one for one in loose if one.at not in tips),
        tuple(branches),
        tuple(chain.segments[0].start for chain in slivers),
    )


def _paired(
    dangling: list[End], places: dict[End, Point], partner: dict[End, End], tolerance: float, short: set[int]
) -> tuple[list[Gap], list[LooseEnd]]:
    """Fill `partner`; return the gaps closed and the ends still loose. A line shorter than a gap is not bent shut."""
    gaps, left = [], dict.fromkeys(dangling)
    for width, a, b in _near(dangling, places, tolerance):
        if a in left and b in left and not (a[0] == b[0] and a[0] in short):
            del left[a], left[b]
            partner[a], partner[b] = b, a
            if width > EXACT:
                (x, y), (u, v) = places[a], places[b]
                gaps.append(Gap(((x + u) / 2, (y + v) / 2), width))
    return gaps, _loose(list(left), places, short)


def _loose(ends: list[End], places: dict[End, Point], short: set[int]) -> list[LooseEnd]:
    """With what is near each: the nearest, and how far the next nearest is."""
    first: dict[End, tuple[float, End]] = {}
    second: dict[End, float] = {}
    for width, a, b in _near(ends, places, _LOOK):
        for one, other in ((a, b), (b, a)):
            if one not in first:
                first[one] = width, other
            else:
                second.setdefault(one, width)

    def pairs(one: End) -> bool:
        if one not in first:
            return False
        width, other = first[one]
        next_one = min(second.get(one, inf), second.get(other, inf))
        bent = one[0] == other[0] and one[0] in short
        return first[other][1] == one and next_one >= _ALONE * width and not bent

    return [LooseEnd(places[end], first[end][0] if end in first else None, pairs(end)) for end in ends]


def _near(ends: list[End], places: dict[End, Point], distance: float) -> list[tuple[float, End, End]]:
    """Pairs nearer than that, nearest first; in a crowd only the first thousand of each."""
    if len(ends) < 2:
        return []
    xy = np.array([places[end] for end in ends])
    points = [shapely.Point(x, y) for x, y in xy]
    tree = shapely.STRtree(points)
    found = []
    for start in range(0, len(ends), 5000):
        i, j = tree.query(points[start : start + 5000], predicate="dwithin", distance=distance)
        i = i + start
        keep = i < j
        i, j = i[keep], j[keep]
        widths = np.hypot(*(xy[i] - xy[j]).T)
        if len(widths) > 200_000:
            order = np.argsort(widths, kind="stable")[:200_000]
            i, j, widths = i[order], j[order], widths[order]
        found += [(w, ends[a], ends[b]) for w, a, b in zip(widths.tolist(), i.tolist(), j.tolist(), strict=True)]
    return sorted(found)


def _walked(given: Sequence[tuple[Segment, ...]], partner: dict[End, End]) -> list[Chain]:
    """Follow the partners: first from ends that have none, then round and round."""
    left = dict.fromkeys(range(len(given)))
    starts = [(n, side) for n in range(len(given)) for side in (0, 1) if (n, side) not in partner]
    chains = []
    for number, side in [*starts, *((n, 0) for n in range(len(given)))]:
        if number not in left:
            continue
        segments: list[Segment] = []
        at: End | None = (number, side)
        while at is not None and at[0] in left:
            del left[at[0]]
            own = given[at[0]]
            own = own if at[1] == 0 else tuple(turned(one) for one in reversed(own))
            _join(segments, own)
            at = partner.get((at[0], 1 - at[1]))
        closed = at == (number, side)
        if closed:
            segments[-1] = Segment(segments[-1].start, segments[0].start, segments[-1].bulge)
        chains.append(Chain(tuple(segments), closed))
    return chains


def _join(segments: list[Segment], own: tuple[Segment, ...]) -> None:
    """The neighbour's end moves onto the next one's start: at most the tolerance."""
    if segments:
        segments[-1] = Segment(segments[-1].start, own[0].start, segments[-1].bulge)
    segments.extend(own)


def turned(segment: Segment) -> Segment:
    """The same from its end to its start."""
    return Segment(segment.end, segment.start, -segment.bulge)


def is_rounding(gap: Gap) -> bool:
    """Whether the ends only miss each other by the last digits of their numbers."""
    return gap.width <= SAME_PLACE
