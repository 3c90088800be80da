"""Heights of the cylinder at which something just fits: the squish, an edge left untouched, a blowdown, a ratio.

The wants are missed by a function of how far the cylinder is lowered that bends at these heights and is smooth between
them; so the nearest way mostly has one of these heights. Linear ones are solved, the others found by halving.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import pairwise

from gasketcut.engine.ways.goals import Goals
from gasketcut.engine.ways.point import Angles
from gasketcut.engine.ways.settings import Cuts
from gasketcut.engine.ways.stand import Stand

_PARTS = 60
"""Of the range in which a change of sign is looked for."""

_FAR = 25.0
"""mm by which a cylinder is moved at most: no gasket and no cut is thicker."""

Line = tuple[float, float]
"""Value without the cylinder lowered, and its change with each mm."""


def range_of(stand: Stand, angles: Angles | None) -> tuple[float, float]:
    """How far it may be lowered, least (a raise) and most, for every edge to stay within the stroke."""
    if angles is None:
        return -_FAR, _FAR
    edges = [one for one in (stand.exhaust, stand.first_transfer, stand.intake) if one is not None]
    full = angles.crank.full_travel
    near = 1e-6
    low = max([-_FAR, *(near - one for one in edges)])
    return low, min([_FAR, *(full - near - one for one in edges)])


def kinks(stand: Stand, goals: Goals, cuts: Cuts, angles: Angles | None) -> list[float]:
    """Those heights, in order; not moved at all is one."""
    low, high = range_of(stand, angles)
    found = [0.0, stand.present]
    if goals.squish is not None:
        found.append(stand.squish - goals.squish)
    if angles is not None:
        found += _edges(stand, goals, angles)
        found += _ratios(stand, goals, cuts, angles)
        found += _curved(stand, goals, cuts, angles, (low, high))
    return sorted({one for one in found if low <= one <= high})


def _edges(stand: Stand, goals: Goals, angles: Angles) -> Iterator[float]:
    """Where an edge lies as wanted without being filed."""
    first = stand.first_transfer
    if stand.exhaust is not None:
        yield from (one - stand.exhaust for one in _exhausts(goals, angles))
    if first is not None:
        yield from (one - first for one in goals.transfer)
        wanted = (angles.transfer_for(one, roof) for one in goals.blowdown for roof in goals.exhaust)
        yield from (one - first for one in wanted)
    if stand.intake is not None:
        yield from (one - stand.intake for one in goals.intake)


def _exhausts(goals: Goals, angles: Angles) -> list[float]:
    """Roofs of the exhaust that are wanted, or follow from a wanted transfer and blowdown."""
    return [*goals.exhaust, *(angles.exhaust_for(one, roof) for one in goals.blowdown for roof in goals.transfer)]


def _chambers(stand: Stand, goals: Goals, cuts: Cuts) -> Iterator[Line]:
    """The chamber as the cylinder is lowered: with neither band nor head cut, or cut as the squish asks for it."""
    if stand.chamber is None:
        return
    yield stand.chamber, -stand.area
    if goals.squish is not None:
        short = goals.squish - stand.squish
        if cuts.band and stand.band is not None:
            yield stand.chamber + stand.band * short, stand.band - stand.area
        if cuts.head:
            yield stand.chamber + stand.area * short, 0.0


def _ratios(stand: Stand, goals: Goals, cuts: Cuts, angles: Angles) -> Iterator[float]:
    """Where a ratio is as wanted, with the exhaust untouched or raised to where it is wanted."""
    roofs: list[Line] = [] if stand.exhaust is None else [(stand.exhaust, 1.0)]
    roofs += [(one, 0.0) for one in _exhausts(goals, angles)] if cuts.exhaust else []
    for first, each in _chambers(stand, goals, cuts):
        for more in goals.trapped:
            for roof, rise in roofs:
                if slope := stand.area * rise - more * each:
                    yield (more * first - stand.area * roof) / slope
        for more in goals.full:
            if each:
                yield (stand.area * angles.crank.full_travel / more - first) / each


def _curved(stand: Stand, goals: Goals, cuts: Cuts, angles: Angles, within: tuple[float, float]) -> Iterator[float]:
    """Where a blowdown is as wanted with no edge touched, and where a ratio is, with the exhaust raised for it."""
    exhaust, first = stand.exhaust, stand.first_transfer
    if exhaust is None or first is None:
        return
    for wanted in goals.blowdown:
        yield from _zeros(lambda low, b=wanted: angles.blowdown(exhaust + low, first + low) - b, within)  # type: ignore[misc]
        if not cuts.exhaust:
            continue
        for more in goals.trapped:
            for line in _chambers(stand, goals, cuts):

                def off(low: float, b: float = wanted, q: float = more, at: Line = line) -> float:
                    return stand.area * angles.exhaust_for(b, first + low) - q * (at[0] + at[1] * low)

                yield from _zeros(off, within)


def _zeros(of: Callable[[float], float], within: tuple[float, float]) -> Iterator[float]:
    """Every place where it changes its sign between two of the looks taken."""
    low, high = within
    looks = [low + (high - low) * number / _PARTS for number in range(_PARTS + 1)]
    values = [of(one) for one in looks]
    for (first, last), (one, other) in zip(pairwise(looks), pairwise(values), strict=True):
        if one == 0 or one * other < 0:
            yield _halved(of, first, last, one)


def _halved(of: Callable[[float], float], low: float, high: float, at_low: float) -> float:
    for _ in range(70):
        middle = (low + high) / 2
        value = of(middle)
        if value == 0:
            return middle
        if (value < 0) == (at_low < 0):
            low = middle
        else:
            high = middle
    return (low + high) / 2
