"""For one height of the cylinder, every setting worth trying: each edge and each cut is left alone, or meets a want.

How far the wants are missed is a sum of what each is off, so its least value lies where as many wants are met as there
are cuts to meet them with, or where a cut is nothing at all: those are the settings listed here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from gasketcut.engine.ways.goals import Goals
from gasketcut.engine.ways.point import Angles, Setting
from gasketcut.engine.ways.stand import Stand

LEAST = 1e-9
"""mm (mm3 of the bowl): less is no cut."""

Volumes = tuple[float, float, float]
"""Band cut, head cut [mm], bowl [mm3]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cuts:
    """Which cuts may be made."""

    band: bool = False
    head: bool = False
    bowl: bool = False
    exhaust: bool = False
    transfer: bool = False
    intake: bool = False


def settings_at(lowered: float, stand: Stand, goals: Goals, cuts: Cuts, angles: Angles | None) -> Iterator[Setting]:
    """Those settings, with the cylinder lowered by so much."""
    if angles is None:
        for band, head, _ in _clearances(lowered, stand, goals, cuts, []):
            yield Setting(lowered, band, head)
        return
    intakes = _lowered(stand.intake, lowered, goals.intake) if cuts.intake else [0.0]
    for exhaust, transfer in _roofs(lowered, stand, goals, cuts, angles):
        chambers = goals.chambers(stand, exhaust, angles.crank.full_travel) if stand.chamber is not None else []
        up = 0.0 if exhaust is None or stand.exhaust is None else stand.exhaust + lowered - exhaust
        over = 0.0 if transfer is None or stand.transfer is None else stand.transfer + lowered - transfer
        for band, head, bowl in _clearances(lowered, stand, goals, cuts, chambers):
            for down in intakes:
                yield Setting(lowered, band, head, bowl, _none_if_small(up), _none_if_small(over), down)


def _roofs(
    lowered: float, stand: Stand, goals: Goals, cuts: Cuts, angles: Angles
) -> Iterator[tuple[float | None, float | None]]:
    """Where the roofs of the exhaust and of the transfers that may be raised can lie [mm of travel]."""
    exhaust, transfer = stand.exhaust, stand.transfer
    first = stand.first_transfer
    now = None if exhaust is None else exhaust + lowered
    over = None if transfer is None else transfer + lowered
    opens = None if first is None else first + lowered
    exhausts, transfers = [now], [over]
    if now is not None and cuts.exhaust:
        exhausts += [one for one in (*goals.exhaust, *_by_ratio(lowered, stand, goals, cuts)) if 0 < one < now - LEAST]
    if opens is not None and over is not None and cuts.transfer:
        wanted = list(goals.transfer)
        wanted += [
            angles.transfer_for(one, roof)
            for one in goals.blowdown
            for roof in exhausts
            if roof is not None and _inside(roof, angles)
        ]
        transfers += [one for one in wanted if 0 < one < opens - LEAST]
    if now is not None and cuts.exhaust:
        for roof in [opens, *transfers[1:]]:
            if roof is not None and _inside(roof, angles):
                wanted = [angles.exhaust_for(one, roof) for one in goals.blowdown]
                exhausts += [one for one in wanted if 0 < one < now - LEAST]
    for one in dict.fromkeys(exhausts):
        for other in dict.fromkeys(transfers):
            yield one, other


def _inside(roof: float, angles: Angles) -> bool:
    return 0 < roof < angles.crank.full_travel


def _by_ratio(lowered: float, stand: Stand, goals: Goals, cuts: Cuts) -> Iterator[float]:
    """Roofs of the exhaust that give a wanted trapped ratio without a bowl opened."""
    if stand.chamber is None:
        return
    for band, head, _ in _clearances(lowered, stand, goals, Cuts(band=cuts.band, head=cuts.head), []):
        chamber = stand.chamber - stand.area * (lowered + head) + (stand.band or 0.0) * band
        yield from (more * chamber / stand.area for more in goals.trapped)


def _clearances(lowered: float, stand: Stand, goals: Goals, cuts: Cuts, chambers: list[float]) -> Iterator[Volumes]:
    """Cuts of band, head and bowl that meet the squish, a chamber, or both."""
    pairs = [(0.0, 0.0)]
    short = None if goals.squish is None else goals.squish - (stand.squish - lowered)
    left = None if stand.chamber is None else stand.chamber - stand.area * lowered
    band = stand.band if stand.band is not None else 0.0
    if cuts.band:
        pairs += [(short, 0.0)] if short is not None else []
        pairs += [((one - left) / band, 0.0) for one in chambers if left is not None and band]
    if cuts.head:
        pairs += [(0.0, -short)] if short is not None else []
        pairs += [(0.0, (left - one) / stand.area) for one in chambers if left is not None]
    if cuts.band and cuts.head and short is not None and left is not None and stand.area > band:
        # The head comes down by what the band is cut more than the squish lacks: together they take from the bowl.
        for one in chambers:
            more = (left + stand.area * short - one) / (stand.area - band)
            pairs.append((more, more - short))
    for off_band, off_head in dict.fromkeys(pairs):
        if off_band < -LEAST or off_head < -LEAST:
            continue
        one, other = _none_if_small(off_band), _none_if_small(off_head)
        yield one, other, 0.0
        if cuts.bowl and left is not None:
            chamber = left + band * one - stand.area * other
            yield from ((one, other, more) for full in chambers if (more := full - chamber) > LEAST)


def _lowered(edge: float | None, lowered: float, wanted: tuple[float, ...]) -> list[float]:
    """What can be taken off an intake's floor: nothing, or as much as is wanted."""
    return [0.0, *(one - edge - lowered for one in wanted if edge is not None and one - edge - lowered > LEAST)]


def _none_if_small(mm: float) -> float:
    return mm if mm > LEAST else 0.0
