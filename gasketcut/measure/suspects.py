"""Which reading may be the wrong one: each is left out in turn, and what remains has to agree.

Suspect   a reading (or diameter) without which the rest agree: their chi-square stays below what chance exceeds once in
          a hundred times, and no normalised residual is beyond its limit.
Spare     readings beyond those that settle the pattern. With one spare every checked reading is a suspect.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from gasketcut.job.model import CaliperReading, Over
from gasketcut.length import Measured
from gasketcut.measure.chi_square import chi_square_quantile
from gasketcut.measure.network import CRITICAL, Adjusted, Network, adjust

LEVEL = 0.01
"""Share of good sets of readings that chance makes look worse than is accepted. Our choice, a usual one."""

_CHECKED = 1e-6
"""Redundancy from which another reading checks one."""


@dataclass(frozen=True, slots=True)
class Suspect:
    """A reading by its place among all of the network, distances first; the network without it, and that adjusted."""

    number: int
    network: Network
    kept: Adjusted


@dataclass(frozen=True, slots=True)
class TellingReading:
    """One more reading, what it would show [mm] if each of the suspects were the wrong one, and how many pairs of
    suspects it tells apart."""

    reading: CaliperReading
    shows: tuple[float, ...]
    apart: int


def spare(network: Network, solved: Adjusted) -> int:
    """Readings beyond those that settle the pattern."""
    return len(network.distances) + len(network.diameters) - solved.rank


def suspects_of(network: Network, solved: Adjusted) -> tuple[Suspect, ...]:
    """The likeliest first: without it the rest agree best."""
    found = []
    for number in np.flatnonzero(solved.redundancy > _CHECKED).tolist():
        rest = without(network, number)
        kept = adjust(rest, solved.unknowns)
        if kept.rank == solved.rank and _agrees(rest, kept):
            found.append(Suspect(number, rest, kept))
    return tuple(sorted(found, key=lambda one: round(one.kept.chi2, 6)))


def without(network: Network, number: int) -> Network:
    """The network less one reading or diameter."""
    if number < len(network.distances):
        return replace(network, distances=network.distances[:number] + network.distances[number + 1 :])
    at = number - len(network.distances)
    return replace(network, diameters=network.diameters[:at] + network.diameters[at + 1 :])


def _agrees(network: Network, kept: Adjusted) -> bool:
    likely = chi_square_quantile(1 - LEVEL, spare(network, kept))
    return kept.chi2 <= likely + 1e-6 and float(np.max(kept.normalised, initial=0.0)) <= CRITICAL


def telling_reading(network: Network, suspects: tuple[Suspect, ...]) -> TellingReading | None:
    """The one more reading that tells most of the suspects apart; None where none tells any.

    A pair that was not read comes before one that was, and of equals the one whose values lie farthest apart.
    """
    best, best_by = None, (0, 0.0, 0.0)
    for fresh, one in _candidates(network, suspects):
        more = replace(network, distances=(one,), diameters=())
        shows, spreads = [], []
        for suspect in suspects:
            values, jacobian = more.predicted(suspect.kept.unknowns)
            shows.append(float(values[0]))
            spreads.append(float(jacobian[0] @ suspect.kept.covariance @ jacobian[0]) + one.reading.sigma**2)
        gaps = [
            abs(shows[a] - shows[b]) - CRITICAL * float(np.sqrt(spreads[a] + spreads[b]))
            for a, b in combinations(range(len(suspects)), 2)
        ]
        apart = sum(gap > 0 for gap in gaps)
        by = (apart, float(fresh), max(gaps, default=0.0))
        if apart and by > best_by:
            best, best_by = TellingReading(one, tuple(shows), apart), by
    return best


def _candidates(network: Network, suspects: tuple[Suspect, ...]) -> Iterator[tuple[bool, CaliperReading]]:
    """Pairs that nobody read yet, and the suspects once more."""
    sigma = float(np.median([one.reading.sigma for one in network.distances]))
    read = {frozenset((one.first, one.second)) for one in network.distances}
    over: Over = network.distances[0].over if not network.edges else "centres"
    for first, second in combinations(network.holes, 2):
        if frozenset((first, second)) not in read:
            yield True, CaliperReading(first, second, Measured(0.0, sigma), over)
    for suspect in suspects:
        if suspect.number < len(network.distances):
            yield False, network.distances[suspect.number]
