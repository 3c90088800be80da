"""Gauss-Newton: the numbers for which the sum of squares of nearly linear deviations is least.

Deviation   what is predicted less what was measured, over its standard deviation; a number that is known beforehand to
            about so much is one more deviation.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from gasketcut.arrays import Array

_DIFFERENCE = 1e-6
"""By which a number is moved to see how the deviations change, of the number itself where that is above 1."""

Deviations = Callable[[Array], Array]
"""From the numbers, shape (m,), to the deviations, shape (n,)."""


@dataclass(frozen=True, slots=True)
class Solved:
    """The numbers after the last step, that step, and the slopes, shape (n, m), by which it was made."""

    numbers: Array
    step: Array
    slopes: Array

    @property
    def covariance(self) -> Array:
        """Of the numbers, shape (m, m), if the deviations are in standard deviations."""
        return np.asarray(np.linalg.inv(self.slopes.T @ self.slopes), dtype=np.float64)


def solved(deviations: Deviations, start: Array, steps: int, slopes: Callable[[Array], Array] | None = None) -> Solved:
    """As many steps from the start, each of least length where the deviations leave a number open.

    slopes : how each deviation changes with each number, shape (n, m); else by differences
    """
    numbers: Array = start
    for _ in range(steps):
        matrix = slopes(numbers) if slopes else slopes_of(deviations, numbers)
        step: Array = np.asarray(np.linalg.lstsq(matrix, -deviations(numbers), rcond=None)[0], dtype=np.float64)
        numbers = numbers + step
    return Solved(numbers, step, matrix)


def slopes_of(deviations: Deviations, numbers: Array) -> Array:
    """How each deviation changes with each number, by differences; shape (n, m)."""
    here = deviations(numbers)
    columns = []
    for n, number in enumerate(numbers):
        little = _DIFFERENCE * max(1.0, abs(number))
        moved = numbers.copy()
        moved[n] += little
        columns.append((deviations(moved) - here) / little)
    return np.column_stack(columns)
