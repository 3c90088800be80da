"""Numbers as they stand in plain data: rounded far below what anybody can measure, never -0, None if not finite."""

from __future__ import annotations

from collections.abc import Iterable
from math import isfinite
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from gasketcut.capture.measured import Measured


def rounded(value: float | None, places: int = 4) -> float | None:
    """The number, or None where there is none to give.

    >>> rounded(1.00000049), rounded(-0.00001), rounded(float("inf")), rounded(None)
    (1.0, 0.0, None, None)
    """
    return None if value is None or not isfinite(value) else round(value, places) + 0.0


def rounded_all(values: Iterable[float | None], places: int = 4) -> list[float | None]:
    """Each of them."""
    return [rounded(value, places) for value in values]


def figure_data(one: Measured, places: int = 4) -> dict[str, Any]:
    """A figure that was measured, with the range in which the true one lies 95 times in 100."""
    low, high = one.range_95
    return {"value": rounded(one.value, places), "range_95": rounded_all((low, high), places)}
