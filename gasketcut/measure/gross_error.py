"""The one reading that is wrong, if the others show it; and pairs of readings that contradict each other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from gasketcut.finding import Finding
from gasketcut.job.model import Measure
from gasketcut.length import both
from gasketcut.measure.network import CRITICAL, Adjusted, Network, adjust
from gasketcut.measure.pattern_finding import pattern_finding

_CLEARLY = 0.05
"""Share by which the worst residual must exceed the next to be named: among equal ones none stands out. Our choice."""

_DISAGREE = 0.3
"""mm between two readings of one thing that are worth a word. Our choice."""


def gross_error(network: Network, solved: Adjusted) -> tuple[int | None, Adjusted, list[Finding]]:
    """The one gross error, if there is one and no other reading looks as bad."""
    tests = solved.normalised
    worst = int(np.argmax(tests))
    if tests[worst] <= CRITICAL:
        return None, solved, []
    rivals = [at for at in range(len(tests)) if at != worst and tests[at] > tests[worst] * (1 - _CLEARLY)]
    if rivals:
        text = "the readings contradict each other, but not enough of them check each other to say which is wrong"
        return None, solved, [pattern_finding("stop", text, "measure more pairs, or the same pairs inside and outside")]
    if worst >= len(network.distances):
        name = network.diameters[worst - len(network.distances)][0]
        text = f"the diameter of {name} does not agree with the readings over its edges"
        return None, solved, [pattern_finding("stop", text, f"measure the diameter of {name} again")]
    one = network.distances[worst]
    without = replace(network, distances=network.distances[:worst] + network.distances[worst + 1 :])
    kept = adjust(without, solved.unknowns)
    if kept.rank < solved.rank:
        text = f"reading {worst + 1}, {one.first} to {one.second}, contradicts the others, and nothing else checks it"
        return None, solved, [pattern_finding("stop", text, "measure it again, and one more pair")]
    values, _ = replace(network, distances=(one,), diameters=()).predicted(kept.unknowns)
    off = one.reading.value - float(values[0])
    if np.max(kept.normalised, initial=0.0) > CRITICAL:
        text = f"more than one reading is wrong; the worst is reading {worst + 1}, {one.first} to {one.second}"
        return None, solved, [pattern_finding("stop", text, "measure all of them again")]
    agree = float(np.sqrt(np.mean((kept.residuals * without.sigmas()) ** 2)))
    text = (
        f"reading {worst + 1}, {one.first} to {one.second}, is {both(abs(off))} too "
        f"{'long' if off > 0 else 'short'}; without it the rest agree to {agree:.3f} mm"
    )
    slip = " (misread, miswritten, or in another unit?)" if tests[worst] > 20 * CRITICAL else ""
    return worst, kept, [pattern_finding("warn", text + slip, f"measure {one.first} to {one.second} again", off)]


def contradicting_pairs(measure: Measure) -> Iterator[Finding]:
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
            if abs(difference - wanted) > _DISAGREE:
                yield pattern_finding(
                    "warn",
                    f"{one.first} to {one.second}: outside less inside is {difference:.2f} mm, the two diameters are "
                    f"{wanted:.2f} mm",
                    "measure the pair and both holes again",
                    difference,
                )
