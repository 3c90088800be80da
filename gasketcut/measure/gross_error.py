"""The one reading that is wrong, if the others show it; and pairs of readings that contradict each other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from gasketcut.finding import Finding
from gasketcut.job.model import Measure
from gasketcut.length import both
from gasketcut.measure.network import CRITICAL, Adjusted, Network
from gasketcut.measure.pattern_finding import pattern_finding
from gasketcut.measure.suspects import Suspect, spare, suspects_of, telling_reading

_DISAGREE = 0.3
"""mm between two readings of one thing that are worth a word. Our choice."""

_SHOWN = 6
"""Suspects that a sentence names; all of them stand in the list. Our choice."""

_FURTHER = "a further hole, well off their middle, from all the holes"
"""What lets readings that check each other alike be told apart; from the middle opposite ones still look alike."""


@dataclass(frozen=True, slots=True)
class GrossError:
    """What was made of readings that contradict each other.

    left_out  the one distance that is wrong, by its number, or None
    kept      the pattern that counts: without that reading, or of all of them
    suspects  the ends of each reading that may be the wrong one, likeliest first; a diameter by its hole alone
    """

    left_out: int | None
    kept: Adjusted
    suspects: tuple[tuple[str, ...], ...]
    findings: tuple[Finding, ...]


def gross_error(network: Network, solved: Adjusted) -> GrossError:
    """The one gross error where the others agree without it and without no other; else a stop with all suspects."""
    if float(np.max(solved.normalised, initial=0.0)) <= CRITICAL:
        return GrossError(None, solved, (), ())
    suspects = suspects_of(network, solved)
    names = tuple(_ends(network, one.number) for one in suspects)
    if len(suspects) == 1 and suspects[0].number < len(network.distances):
        one = suspects[0]
        return GrossError(one.number, one.kept, names, (_left_out(network, solved, one),))
    return GrossError(None, solved, names, (_stop(network, solved, suspects),))


def _ends(network: Network, number: int) -> tuple[str, ...]:
    if number < len(network.distances):
        one = network.distances[number]
        return one.first, one.second
    return (network.diameters[number - len(network.distances)][0],)


def _named(network: Network, number: int) -> str:
    ends = _ends(network, number)
    return f"{ends[0]} to {ends[1]}" if len(ends) == 2 else f"the diameter of {ends[0]}"


def _left_out(network: Network, solved: Adjusted, suspect: Suspect) -> Finding:
    one = network.distances[suspect.number]
    values, _ = replace(network, distances=(one,), diameters=()).predicted(suspect.kept.unknowns)
    off = one.reading.value - float(values[0])
    agree = float(np.sqrt(np.mean((suspect.kept.residuals * suspect.network.sigmas()) ** 2)))
    text = (
        f"reading {suspect.number + 1}, {one.first} to {one.second}, is {both(abs(off))} too "
        f"{'long' if off > 0 else 'short'}; without it the rest agree to {agree:.3f} mm"
    )
    large = solved.normalised[suspect.number] > 20 * CRITICAL
    slip = " (misread, miswritten, or in another unit?)" if large else ""
    return pattern_finding("warn", text + slip, f"measure {one.first} to {one.second} again", off)


def _stop(network: Network, solved: Adjusted, suspects: tuple[Suspect, ...]) -> Finding:
    if not suspects:
        worst = int(np.argmax(solved.normalised))
        text = f"more than one reading is wrong; the worst is {_named(network, worst)}"
        return pattern_finding("stop", text, "measure all of them again")
    if len(suspects) == 1:
        name = _ends(network, suspects[0].number)[0]
        text = f"the diameter of {name} does not agree with the readings over its edges; without it the rest agree"
        return pattern_finding("stop", text, f"measure the diameter of {name} again")
    listed = ", ".join(_named(network, one.number) for one in suspects[:_SHOWN])
    listed += f" and {len(suspects) - _SHOWN} more" if len(suspects) > _SHOWN else ""
    text = f"the readings contradict each other; without any one of these the rest agree: {listed}"
    if spare(network, solved) == 1:
        text = (
            f"{_counted(network)} have one reading to spare: it shows that one is wrong, never which; any of {listed}"
        )
    return pattern_finding("stop", text, _advice(network, suspects))


def _counted(network: Network) -> str:
    return f"{len(network.holes)} holes and {len(network.distances)} distances"


def _advice(network: Network, suspects: tuple[Suspect, ...]) -> str:
    """The one more reading that tells them apart, and what it would show."""
    found = telling_reading(network, suspects)
    if found is None:
        return f"read {_FURTHER}: then each reading is checked by others"
    one = found.reading
    pair = f"{one.first} to {one.second}"
    if one in network.distances:
        number = network.distances.index(one)
        true = next(shown for shown, each in zip(found.shows, suspects, strict=True) if each.number == number)
        same = f"; if it comes out the same, read the next of them again, or {_FURTHER}" if len(suspects) > 2 else ""
        return f"measure {pair} again, over the same edges: about {both(true)} says that it was wrong{same}"
    shown = [
        f"about {both(value)} if {_named(network, each.number)} is wrong"
        for value, each in list(zip(found.shows, suspects, strict=True))[:_SHOWN]
    ]
    return f"measure {pair} as well ({one.over}): {', '.join(shown)}"


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
