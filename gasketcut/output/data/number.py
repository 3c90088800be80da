"""Numbers as they stand in plain data: rounded far below what anybody can measure, never -0, None if not finite."""

from __future__ import annotations

from collections.abc import Iterable
from math import isfinite


def rounded(value: float | None, places: int = 4) -> float | None:
    """The number, or None where there is none to give.

    >>> rounded(1.00000049), rounded(-0.00001), rounded(float("inf")), rounded(None)
    (1.0, 0.0, None, None)
    """
    return None if value is None or not isfinite(value) else round(value, places) + 0.0


def rounded_all(values: Iterable[float | None], places: int = 4) -> list[float | None]:
    """Each of them."""
    return [rounded(value, places) for value in values]
