"""A measured figure and the range in which the true one lies 95 times in 100."""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.tolerances import TWO_SIDED_95


@dataclass(frozen=True, slots=True)
class Measured:
    """`value` and its standard deviation `sigma`, both in mm."""

    value: float
    sigma: float

    @property
    def half_range(self) -> float:
        """By which the true figure may lie to either side [mm]."""
        return TWO_SIDED_95 * self.sigma

    @property
    def range_95(self) -> tuple[float, float]:
        """
        >>> Measured(5.5, 0.01).range_95
        (5.48040036, 5.51959964)
        """
        return self.value - self.half_range, self.value + self.half_range
