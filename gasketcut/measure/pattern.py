"""Hole positions from measured distances: all readings weighed together, and the one bad reading found.

Suspect     a reading whose residual is too large to be chance (Baarda's test at 0.1 %) and larger than any other's.
Ambiguous   another arrangement of the holes fits as well; distances alone cannot decide a mirror image either, so one
            hole is said to lie left of the line from the first to the second.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations
from math import hypot

import numpy as np

from gasketcut.arrays import Array
from gasketcut.errors import GasketError
from gasketcut.finding import Finding
from gasketcut.job.model import CaliperReading, Measure
from gasketcut.length import both
from gasketcut.measure.network import SIGNS, Adjusted, Network, adjust

CRITICAL = 3.29
"""Normalised residual that chance exceeds once in a thousand readings (Baarda 1968)."""

TELLING = 0.05
"""Share by which the worst residual must exceed the next to be named: equal ones cannot be told apart. Our choice."""

FLIPS = 40
"""Other arrangements that are tried."""

OTHER_SHAPE = 0.5
"""mm by which another arrangement differs to be another one. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """The holes' places [mm], standard errors and diameters by name, residuals in the order of the readings [mm]."""

    holes: dict[str, tuple[float, float]]
    sigma: dict[str, float]
    diameters: dict[str, float]
    residuals: tuple[float, ...]
    normalised: tuple[float, ...]
    suspect: int | None
    agree: float
    findings: tuple[Finding, ...]


def solve(measure: Measure) -> Pattern:
    """The pattern that fits all readings best; raise `GasketError` if they do not settle it.

    Standard errors are those of a free network: every hole against the rest, none of them taken as true.
    """
    network = _network(measure)
    _check_connected(network)
    solved, starts = _best(network, measure)
    _check_determined(network, solved)
    _check_in_line(network, solved)
    suspect, cleaned, findings = _blunder(network, solved)
    findings += list(_pairs(measure))
    findings += list(_mirror(measure)) + list(_ambiguous(network, cleaned, starts))
    framed = _framed(network, cleaned.unknowns, measure)
    left = cleaned.residuals * _sigmas_without(network, suspect)
    values, _ = network.predicted(cleaned.unknowns)
    residuals = network.observed() - values
    return Pattern(
        holes={name: (float(framed[number][0]), float(framed[number][1])) for number, name in enumerate(network.holes)},
        sigma={
            name: float(np.sqrt(np.trace(cleaned.covariance[3 * n : 3 * n + 2, 3 * n : 3 * n + 2]) / 2))
            for n, name in enumerate(network.holes)
        },
        diameters={name: float(cleaned.unknowns[3 * number + 2]) for number, name in enumerate(network.holes)},
        residuals=tuple(float(value) for value in residuals[: len(network.distances)]),
        normalised=tuple(float(value) for value in solved.normalised[: len(network.distances)]),
        suspect=suspect,
        agree=float(np.sqrt(np.mean(left**2))) if len(left) else 0.0,
        findings=tuple(findings),
    )


def _network(measure: Measure) -> Network:
    """The unknowns and readings; a diameter nobody knows and no reading depends on is held at nothing."""
    known = [name for name, _ in measure.diameters]
    names = list(dict.fromkeys([*known, *(end for one in measure.distances for end in (one.first, one.second))]))
    holes = tuple(name for name in names if name not in measure.edges)
    given = [(name, value.value, value.sigma) for name, value in measure.diameters]
    for name in holes:
        if name not in known and not any(_radius(one, name) for one in measure.distances):
            given.append((name, 0.0, 1.0))  # only centres were read: its size is nobody's business
    return Network(holes, measure.edges, measure.distances, tuple(given))


def _radius(one: CaliperReading, name: str) -> int:
    first, second = SIGNS[one.over]
    return (first if one.first == name else 0) + (second if one.second == name else 0)


Flip = tuple[int, int, int]
"""A hole to be put on the other side of the line through two others."""


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


def _best(network: Network, measure: Measure) -> tuple[Adjusted, list[Adjusted]]:
    rough = dict(measure.rough)
    solved = [adjust(network, _start(network, rough, flip)) for flip in (None, *_flips(network))]
    if rough:  # the user's sketch decides between arrangements
        return solved[0], solved
    return min(solved, key=lambda one: one.chi2), solved


def _flips(network: Network) -> list[Flip]:
    """Every hole over the line through two that it was read to; the first few, as each costs an adjustment."""
    found: list[Flip] = []
    for number, name in enumerate(network.holes):
        ends = [{one.first, one.second} for one in network.distances if name in (one.first, one.second)]
        others = sorted({network.holes.index(end) for pair in ends for end in pair - {name} if end in network.holes})
        found += [(number, a, b) for a, b in combinations(others, 2)]
    return found[:FLIPS]


def _check_connected(network: Network) -> None:
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


def _check_determined(network: Network, solved: Adjusted) -> None:
    """Every unknown but the three free ones must follow from the readings; else name a reading that would help."""
    missing = network.size - 3 - solved.rank
    if missing <= 0:
        return
    advice = next(_helpful(network, solved), None)
    add = f"; measure {advice[0]} to {advice[1]} as well" if advice else "; measure inside and outside of the same pair"
    plural = "reading is" if missing == 1 else "readings are"
    raise GasketError(f"[measure]: {missing} more {plural} needed to settle the pattern{add}")


def _check_in_line(network: Network, solved: Adjusted) -> None:
    """Distances along a line do not settle where its holes lie across it."""
    if len(network.holes) < 3 or network.edges:
        return
    if _chi2_in_line(network, solved) < solved.chi2 + CRITICAL**2:
        doubt = float(np.sqrt(np.max(np.diag(solved.covariance)[: 3 * len(network.holes)])))
        raise GasketError(
            f"[measure]: the holes lie in line; read along it, {', '.join(network.holes)} may stand {doubt:.2f} mm off "
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


def _blunder(network: Network, solved: Adjusted) -> tuple[int | None, Adjusted, list[Finding]]:
    """The one gross error, if there is one and it can be told from the others."""
    tests = solved.normalised
    worst = int(np.argmax(tests))
    if tests[worst] <= CRITICAL:
        return None, solved, []
    rivals = [at for at in range(len(tests)) if at != worst and tests[at] > tests[worst] * (1 - TELLING)]
    if rivals:
        text = "the readings contradict each other, but not enough of them check each other to say which is wrong"
        return None, solved, [_finding("stop", text, "measure more pairs, or the same pairs inside and outside")]
    if worst >= len(network.distances):
        name = network.diameters[worst - len(network.distances)][0]
        text = f"the diameter of {name} does not agree with the readings over its edges"
        return None, solved, [_finding("stop", text, f"measure the diameter of {name} again")]
    one = network.distances[worst]
    without = replace(network, distances=network.distances[:worst] + network.distances[worst + 1 :])
    cleaned = adjust(without, solved.unknowns)
    if cleaned.rank < solved.rank:
        text = f"reading {worst + 1}, {one.first} to {one.second}, contradicts the others, and nothing else checks it"
        return None, solved, [_finding("stop", text, "measure it again, and one more pair")]
    values, _ = replace(network, distances=(one,), diameters=()).predicted(cleaned.unknowns)
    off = one.reading.value - float(values[0])
    if np.max(cleaned.normalised, initial=0.0) > CRITICAL:
        text = f"more than one reading is wrong; the worst is reading {worst + 1}, {one.first} to {one.second}"
        return None, solved, [_finding("stop", text, "measure all of them again")]
    agree = float(np.sqrt(np.mean((cleaned.residuals * without.sigmas()) ** 2)))
    text = (
        f"reading {worst + 1}, {one.first} to {one.second}, is {both(abs(off))} too "
        f"{'long' if off > 0 else 'short'}; without it the rest agree to {agree:.3f} mm"
    )
    slip = " (a slip of the pen or of the unit?)" if tests[worst] > 20 * CRITICAL else ""
    return worst, cleaned, [_finding("warn", text + slip, f"measure {one.first} to {one.second} again", off)]


def _pairs(measure: Measure) -> Iterator[Finding]:
    """Inside and outside of one pair are twice the centre distance together, and differ by both diameters."""
    known = dict(measure.diameters)
    for one in measure.distances:
        for other in measure.distances:
            if (
                one.over != "inside"
                or other.over != "outside"
                or {one.first, one.second} != {other.first, other.second}
            ):
                continue
            if one.first not in known or one.second not in known:
                continue
            difference = other.reading.value - one.reading.value
            wanted = known[one.first].value + known[one.second].value
            if abs(difference - wanted) > 0.3:
                yield _finding(
                    "warn",
                    f"{one.first} to {one.second}: outside less inside is {difference:.2f} mm, the two diameters are "
                    f"{wanted:.2f} mm",
                    "measure the pair and both holes again",
                    difference,
                )


def _mirror(measure: Measure) -> Iterator[Finding]:
    if measure.left is None and not measure.rough:
        yield _finding(
            "warn",
            "distances cannot tell the pattern from its mirror image",
            'say which hole lies left of the line from the first to the second: left = "C" in [measure]',
        )


def _ambiguous(network: Network, solved: Adjusted, starts: list[Adjusted]) -> Iterator[Finding]:
    limit = max(solved.chi2, 1.0) + 9.0
    table = _table(network, solved.unknowns)
    for other in starts:
        if other.chi2 <= limit and float(np.max(np.abs(_table(network, other.unknowns) - table))) > OTHER_SHAPE:
            yield _finding(
                "warn",
                "another arrangement of the holes fits the readings as well",
                "measure one more diagonal, or give rough places in [measure.rough]",
            )
            return


def _table(network: Network, unknowns: Array) -> Array:
    places = unknowns[: 3 * len(network.holes)].reshape(-1, 3)[:, :2]
    table: Array = np.hypot(*(places[:, None] - places[None, :]).transpose(2, 0, 1))
    return table


def _framed(network: Network, unknowns: Array, measure: Measure) -> Array:
    """First hole at the origin, second on +x, the hole named `left` above the line; or nearest to the rough places."""
    places = unknowns[: 3 * len(network.holes)].reshape(-1, 3)[:, :2]
    rough = dict(measure.rough)
    if rough and all(name in rough for name in network.holes):
        return _onto(places, np.array([rough[name] for name in network.holes]))
    first, second = (network.holes.index(name) for name in measure.frame) if measure.frame else (0, 1)
    moved = places - places[first]
    x, y = moved[second] / hypot(*moved[second])
    turned = moved @ np.array([[x, -y], [y, x]])
    if measure.left is not None and turned[network.holes.index(measure.left)][1] < 0:
        turned = turned * (1, -1)
    turned += 0.0  # no minus zero
    result: Array = turned
    return result


def _onto(places: Array, rough: Array) -> Array:
    """Moved and turned (mirrored if that fits better) so as to lie nearest to the rough places."""
    middle, target = places.mean(axis=0), rough.mean(axis=0)
    left, _, right = np.linalg.svd((places - middle).T @ (rough - target))
    return np.asarray((places - middle) @ (left @ right) + target)


def _sigmas_without(network: Network, suspect: int | None) -> Array:
    sigmas = network.sigmas()
    return sigmas if suspect is None else np.delete(sigmas, suspect)


def _finding(weight: str, text: str, do: str, found: float | None = None) -> Finding:
    return Finding(rule="pattern", weight=weight, part=None, text=text, do=do, found=found)  # type: ignore[arg-type]
