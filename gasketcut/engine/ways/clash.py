"""Wants that cannot be had together, or not at all, and the nearest that can be had of each with the others kept.

Clash     the fewest wants that go wrong together; one alone is out of reach of what may be done.
By sums   the wants contradict each other whatever is done: exhaust less transfer is twice the blowdown.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from gasketcut.engine.ways.candidate import ALIKE, Candidate
from gasketcut.engine.ways.stand import Stand, as_trapped
from gasketcut.engine.ways.wants import Want, Wants, named

_MOST = 3
"""Wants that are looked at together; of more the picture is the ways themselves."""


@dataclass(frozen=True, slots=True)
class Nearest:
    """With the other wants of the clash kept: how near this figure comes."""

    figure: str
    value: float


@dataclass(frozen=True, slots=True)
class Clash:
    """The wants, and of each the nearest; `by_sums` where no deed could help."""

    wants: tuple[Want, ...]
    nearest: tuple[Nearest, ...]
    by_sums: bool = False


def clashes(found: Sequence[Candidate], wants: Wants, stand: Stand, near: float) -> Iterator[Clash]:
    """What contradicts itself whatever is done, then the smallest sets of wants of which no candidate meets all.

    near : how far a want may be off and still count as met [what a builder notices]; sheets come in steps
    """
    by_sums = list(_by_sums(wants, stand))
    yield from by_sums
    if not found:
        return
    met = np.array([one.off for one in found]) <= near
    bad = [{wants.index(want) for want in clash.wants} for clash in by_sums]
    for size in range(1, min(_MOST, len(wants)) + 1):
        for chosen in combinations(range(len(wants)), size):
            if not any(one <= set(chosen) for one in bad) and not met[:, chosen].all(axis=1).any():
                bad.append(set(chosen))
                # A part of what contradicts itself by sums says nothing more.
                if not any(set(chosen) <= one for one in bad[: len(by_sums)]):
                    yield _clash(chosen, found, met, wants)


def _clash(chosen: tuple[int, ...], found: Sequence[Candidate], met: np.ndarray, wants: Wants) -> Clash:
    nearest = []
    for number in chosen:
        others = [one for one in chosen if one != number]
        # The nearest of this one; of those alike what misses least of all the rest.
        kept = [found[int(row)] for row in np.flatnonzero(met[:, others].all(axis=1))]
        left = [one for one in kept if not any(one.off[other] for other in others)] or kept
        least = min(one.off[number] for one in left)
        best = min((one for one in left if one.off[number] <= least + ALIKE), key=lambda one: one.missed)
        figure = wants[number].figure
        nearest.append(Nearest(figure, best.point.reached[figure]))
    return Clash(tuple(wants[one] for one in chosen), tuple(nearest))


def _by_sums(wants: Wants, stand: Stand) -> Iterator[Clash]:
    """Source: a blowdown is half of what exhaust and transfer differ by (without a pin offset); the pressure follows
    from the ratio."""
    exhaust, transfer, blowdown = (named(wants, f"{one}_deg") for one in ("exhaust", "transfer", "blowdown"))
    if exhaust and transfer and blowdown and not (stand.crank and stand.crank.offset):
        yield from _outside(
            (exhaust, _between(exhaust, transfer.low + 2 * blowdown.low, transfer.high + 2 * blowdown.high)),
            (transfer, _between(transfer, exhaust.low - 2 * blowdown.high, exhaust.high - 2 * blowdown.low)),
            (blowdown, _between(blowdown, (exhaust.low - transfer.high) / 2, (exhaust.high - transfer.low) / 2)),
        )
    trapped, pressed = named(wants, "trapped"), named(wants, "cranking_psi")
    if trapped and pressed:
        ratio = as_trapped(pressed, stand)
        yield from _outside(
            (trapped, _between(trapped, ratio.low, ratio.high)),
            (pressed, _between(pressed, stand.psi(trapped.low), stand.psi(trapped.high))),
        )


def _between(want: Want, low: float, high: float) -> float:
    """Of what the other wants allow, the value nearest to this one."""
    return min(max(want.low, low), high) if want.low < low else max(min(want.high, high), low)


def _outside(*said: tuple[Want, float]) -> Iterator[Clash]:
    """A clash where what the others allow lies outside."""
    if any(want.off(value) for want, value in said):
        yield Clash(
            tuple(want for want, _ in said), tuple(Nearest(want.figure, value) for want, value in said), by_sums=True
        )
