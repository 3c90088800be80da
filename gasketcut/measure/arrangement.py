"""Arrangements of the holes that fit the readings: where to start from, the best, and whether another does as well."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import numpy as np

from gasketcut.arrays import Array
from gasketcut.finding import Finding
from gasketcut.job.model import Measure
from gasketcut.measure.network import SIGNS, Adjusted, Network, adjust
from gasketcut.measure.pattern_finding import pattern_finding

_FLIPS = 40
"""Other arrangements that are tried."""

_OTHER_SHAPE = 0.5
"""mm by which another arrangement differs to be another one. Our choice."""

Flip = tuple[int, int, int]
"""A hole to be put on the other side of the line through two others."""


def best_arrangement(network: Network, measure: Measure) -> tuple[Adjusted, list[Adjusted]]:
    """The arrangement that fits the readings best, and all that were tried."""
    rough = dict(measure.rough)
    solved = [adjust(network, _start(network, rough, flip)) for flip in (None, *_flips(network))]
    if rough:  # the user's sketch decides between arrangements
        return solved[0], solved
    return min(solved, key=lambda one: one.chi2), solved


def _start(network: Network, rough: dict[str, tuple[float, float]], flip: Flip | None = None) -> Array:
    """Rough places where the user gave them; else by scaling the table of shortest ways to two dimensions."""
    count = len(network.holes)
    diameters = {name: value for name, value, _ in network.diameters}
    away = np.full((count, count), np.inf)
    np.fill_diagonal(away, 0.0)
    for one in network.distances:
        if one.first in network.holes and one.second in network.holes:
            i, j = network.holes.index(one.first), network.holes.index(one.second)
            first, second = SIGNS[one.over]
            reach = first * diameters.get(one.first, 0.0) / 2 + second * diameters.get(one.second, 0.0) / 2
            away[i, j] = away[j, i] = max(one.reading.value - reach, 0.1)
    for via in range(count):
        away = np.minimum(away, away[:, via : via + 1] + away[via : via + 1, :])
    away = np.where(np.isinf(away), np.max(away[np.isfinite(away)], initial=10.0), away)
    centring = np.eye(count) - 1 / count
    values, vectors = np.linalg.eigh(-centring @ away**2 @ centring / 2)
    places = vectors[:, -2:] * np.sqrt(np.maximum(values[-2:], 1e-3))
    if all(name in rough for name in network.holes):
        places = np.array([rough[name] for name in network.holes])
    if flip is not None:
        hole, a, b = flip
        line = places[b] - places[a]
        line = line / max(float(np.hypot(*line)), 1e-9)
        off = places[hole] - places[a]
        places[hole] = places[a] + 2 * (off @ line) * line - off
    unknowns = np.zeros(network.size)
    for number, name in enumerate(network.holes):
        unknowns[3 * number : 3 * number + 3] = *places[number], diameters.get(name, 0.0)
    middle = places.mean(axis=0)
    for number in range(len(network.edges)):
        turn = np.pi / 2 * number
        offset = float(middle @ (np.cos(turn), np.sin(turn))) - float(np.max(away)) / 2
        unknowns[3 * count + 2 * number : 3 * count + 2 * number + 2] = turn, offset
    return unknowns


def _flips(network: Network) -> list[Flip]:
    """Every hole over the line through two that it was read to; the first few, as each costs an adjustment."""
    found: list[Flip] = []
    for number, name in enumerate(network.holes):
        ends = [{one.first, one.second} for one in network.distances if name in (one.first, one.second)]
        others = sorted({network.holes.index(end) for pair in ends for end in pair - {name} if end in network.holes})
        found += [(number, a, b) for a, b in combinations(others, 2)]
    return found[:_FLIPS]


def ambiguous(network: Network, solved: Adjusted, tried: list[Adjusted]) -> Iterator[Finding]:
    """A warning if another of those tried fits as well."""
    limit = max(solved.chi2, 1.0) + 9.0
    table = _table(network, solved.unknowns)
    for other in tried:
        if other.chi2 <= limit and float(np.max(np.abs(_table(network, other.unknowns) - table))) > _OTHER_SHAPE:
            yield pattern_finding(
                "warn",
                "another arrangement of the holes fits the readings as well",
                "measure one more diagonal, or give rough places in [measure.rough]",
            )
            return


def _table(network: Network, unknowns: Array) -> Array:
    """All distances between centres, shape (holes, holes) [mm]."""
    places = unknowns[: 3 * len(network.holes)].reshape(-1, 3)[:, :2]
    table: Array = np.hypot(*(places[:, None] - places[None, :]).transpose(2, 0, 1))
    return table
