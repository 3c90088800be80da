"""Do the readings agree with one plane as far as they are said to be sure? And if not, which may be the wrong one?

Chi-square   sum of the squared residuals from the plane, each by its reading's own standard deviation. Repeats at one
             place count like any others. Without a spare reading nothing is checked.
Suspect      a reading without which the rest agree.
"""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.engine.assumptions import REFUSED, SCATTERED
from gasketcut.engine.solder.readings import plane_of
from gasketcut.job.model import Reading
from gasketcut.measure.chi_square import chi_square_above


@dataclass(frozen=True, slots=True)
class Agreement:
    """Share of good sets of readings that chance makes look as bad or worse, 0 to 1; the suspects where they are out
    of what is accepted."""

    share: float = 1.0
    suspects: tuple[Reading, ...] = ()

    @property
    def is_refused(self) -> bool:
        """Do they contradict each other, so that nothing may follow from them?"""
        return self.share < REFUSED

    @property
    def is_scattered(self) -> bool:
        """Do they scatter more than is usual?"""
        return self.share < SCATTERED


def agreement_of(readings: tuple[Reading, ...]) -> Agreement:
    """How well the readings go together, and which may be wrong."""
    share = _share(readings)
    if share >= SCATTERED:
        return Agreement(share)
    rank = plane_of(readings).rank
    suspects = []
    for number, reading in enumerate(readings):
        rest = readings[:number] + readings[number + 1 :]
        if plane_of(rest).rank == rank and _share(rest) >= SCATTERED:
            suspects.append(reading)
    return Agreement(share, tuple(suspects))


def _share(readings: tuple[Reading, ...]) -> float:
    if not readings:
        return 1.0
    plane = plane_of(readings)
    return chi_square_above(plane.chi2, plane.spare) if plane.spare else 1.0
