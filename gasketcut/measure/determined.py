"""Whether the readings settle where the holes lie; if not, what to measure as well."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations

import numpy as np

from gasketcut.errors import GasketError
from gasketcut.measure.network import CRITICAL, SIGNS, Adjusted, Network


def check_connected(network: Network) -> None:
    """Raise `GasketError` unless readings lead from the first hole to every other hole and edge."""
    if len(network.holes) < 2 or not network.distances:
        raise GasketError("[measure]: two holes and a distance between them are the least; add [[measure.distance]]")
    reached, grew = {network.holes[0]}, True
    while grew:
        ends = {
            end
            for one in network.distances
            for end in (one.first, one.second)
            if {one.first, one.second} & reached and end not in reached
        }
        reached, grew = reached | ends, bool(ends)
    lost = [name for name in (*network.holes, *network.edges) if name not in reached]
    if lost:
        raise GasketError(
            f"[measure]: nothing ties {', '.join(lost)} to {network.holes[0]}; measure from one to the other"
        )


def check_determined(network: Network, solved: Adjusted) -> None:
    """Raise `GasketError` with a reading that would help, unless every unknown but the three free ones is settled."""
    missing = network.size - 3 - solved.rank
    if missing <= 0:
        return
    advice = next(_helpful(network, solved), None)
    add = f"; measure {advice[0]} to {advice[1]} as well" if advice else "; measure inside and outside of the same pair"
    plural = "reading is" if missing == 1 else "readings are"
    raise GasketError(f"[measure]: {missing} more {plural} needed to settle the pattern{add}")


def check_in_line(network: Network, solved: Adjusted) -> None:
    """Raise `GasketError` if the holes lie in line: distances along it do not settle where they lie across it."""
    if len(network.holes) < 3 or network.edges:
        return
    if _chi2_in_line(network, solved) < solved.chi2 + CRITICAL**2:
        across = float(np.sqrt(np.max(np.diag(solved.covariance)[: 3 * len(network.holes)])))
        raise GasketError(
            f"[measure]: the holes lie in line; read along it, {', '.join(network.holes)} may lie {across:.2f} mm off "
            "across it; measure to a hole or an edge off the line"
        )


def _chi2_in_line(network: Network, solved: Adjusted) -> float:
    """How well the readings fit holes that all lie on one line, in the order in which they now lie along it."""
    places = solved.unknowns[: 3 * len(network.holes)].reshape(-1, 3)[:, :2]
    along = (places - places.mean(axis=0)) @ np.linalg.svd(places - places.mean(axis=0))[2][0]
    values, weights = np.zeros(len(network.distances)), 1 / network.sigmas()[: len(network.distances)]
    rows = np.zeros((len(network.distances), len(network.holes)))
    diameters = solved.unknowns[2 : 3 * len(network.holes) : 3]
    for number, one in enumerate(network.distances):
        first, second = network.holes.index(one.first), network.holes.index(one.second)
        radii = SIGNS[one.over]
        values[number] = one.reading.value - radii[0] * diameters[first] / 2 - radii[1] * diameters[second] / 2
        sign = 1.0 if along[second] > along[first] else -1.0
        rows[number, second], rows[number, first] = sign, -sign
    best = np.linalg.lstsq(rows * weights[:, None], values * weights, rcond=None)[0]
    return float(np.sum(((values - rows @ best) * weights) ** 2))


def _helpful(network: Network, solved: Adjusted) -> Iterator[tuple[str, str]]:
    """Pairs whose distance, were it read too, would settle more."""
    read = {frozenset((one.first, one.second)) for one in network.distances}
    like = network.distances[0]
    # Holes in line are settled along it only: look from a little off the line, as the real ones will be.
    nudged = solved.unknowns + np.random.default_rng(1).normal(0, 0.5, network.size)
    for first, second in combinations(network.holes, 2):
        if frozenset((first, second)) in read:
            continue
        extra = replace(like, first=first, second=second, over="centres")
        more = replace(network, distances=(*network.distances, extra))
        _, jacobian = more.predicted(nudged)
        if np.linalg.matrix_rank(jacobian, tol=1e-6) > solved.rank:
            yield first, second
