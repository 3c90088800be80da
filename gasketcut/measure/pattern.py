"""Hole positions from measured distances: all readings weighed together, and the one bad reading found.

Suspect     where a residual is too large to be chance (Baarda's test at 0.1 %): a reading without which the rest agree.
            The only one is left out; of several none is (`suspects.py`).
Ambiguous   another arrangement of the holes fits as well; distances alone cannot decide a mirror image either, so one
            hole is said to lie left of the line from the first to the second.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from gasketcut.arrays import Array
from gasketcut.finding import Finding
from gasketcut.job.model import CaliperReading, Measure
from gasketcut.measure.arrangement import ambiguous, best_arrangement
from gasketcut.measure.determined import check_connected, check_determined, check_in_line
from gasketcut.measure.frame import framed
from gasketcut.measure.gross_error import contradicting_pairs, gross_error
from gasketcut.measure.network import SIGNS, Network
from gasketcut.measure.pattern_finding import pattern_finding


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """The holes' places [mm], standard errors and diameters by name, residuals in the order of the readings [mm].

    suspect   the one reading that is left out as wrong, by its number
    suspects  the ends of each reading that may be wrong, likeliest first; a diameter by its hole alone
    """

    holes: dict[str, tuple[float, float]]
    sigma: dict[str, float]
    diameters: dict[str, float]
    residuals: tuple[float, ...]
    normalised: tuple[float, ...]
    suspect: int | None
    suspects: tuple[tuple[str, ...], ...]
    agree: float
    findings: tuple[Finding, ...]


def solve(measure: Measure) -> Pattern:
    """The pattern that fits all readings best; raise `GasketError` if they do not settle it.

    Standard errors are those of a free network: every hole against the rest, none of them taken as true.
    """
    network = _network(measure)
    check_connected(network)
    solved, starts = best_arrangement(network, measure)
    check_determined(network, solved)
    check_in_line(network, solved)
    wrong = gross_error(network, solved)
    suspect, kept = wrong.left_out, wrong.kept
    more = (*contradicting_pairs(measure), *_mirror(measure), *ambiguous(network, kept, starts))
    placed = framed(network, kept.unknowns, measure)
    left = kept.residuals * _sigmas_without(network, suspect)
    values, _ = network.predicted(kept.unknowns)
    residuals = network.observed() - values
    return Pattern(
        holes={name: (float(placed[number][0]), float(placed[number][1])) for number, name in enumerate(network.holes)},
        sigma={
            name: float(np.sqrt(np.trace(kept.covariance[3 * n : 3 * n + 2, 3 * n : 3 * n + 2]) / 2))
            for n, name in enumerate(network.holes)
        },
        diameters={name: float(kept.unknowns[3 * number + 2]) for number, name in enumerate(network.holes)},
        residuals=tuple(float(value) for value in residuals[: len(network.distances)]),
        normalised=tuple(float(value) for value in solved.normalised[: len(network.distances)]),
        suspect=suspect,
        suspects=wrong.suspects,
        agree=float(np.sqrt(np.mean(left**2))) if len(left) else 0.0,
        findings=(*wrong.findings, *more),
    )


def _network(measure: Measure) -> Network:
    """The unknowns and readings; a diameter that is not known and that no reading depends on is held at zero."""
    known = [name for name, _ in measure.diameters]
    names = list(dict.fromkeys([*known, *(end for one in measure.distances for end in (one.first, one.second))]))
    holes = tuple(name for name in names if name not in measure.edges)
    given = [(name, value.value, value.sigma) for name, value in measure.diameters]
    for name in holes:
        if name not in known and not any(_radius(one, name) for one in measure.distances):
            given.append((name, 0.0, 1.0))  # only centres were read: its size does not matter
    return Network(holes, measure.edges, measure.distances, tuple(given))


def _radius(one: CaliperReading, name: str) -> int:
    first, second = SIGNS[one.over]
    return (first if one.first == name else 0) + (second if one.second == name else 0)


def _mirror(measure: Measure) -> Iterator[Finding]:
    if measure.left is None and not measure.rough:
        yield pattern_finding(
            "warn",
            "distances alone do not decide between the pattern and its mirror image",
            'say which hole lies left of the line from the first to the second: left = "C" in [measure]',
        )


def _sigmas_without(network: Network, suspect: int | None) -> Array:
    sigmas = network.sigmas()
    return sigmas if suspect is None else np.delete(sigmas, suspect)
