"""Pressures as gauges show them; everywhere inside a bare float is kPa."""

from __future__ import annotations

PSI = 6.894757
"""kPa; from the definitions of pound-force and inch."""

BAR = 100.0
"""kPa."""


def kpa_and_psi(*kpa: float) -> str:
    """The pressure in both systems, or a range from least to most, as it is printed everywhere.

    >>> kpa_and_psi(1290.0), kpa_and_psi(800.0, 900.0)
    ('1290 kPa (187 psi)', '800-900 kPa (116-131 psi)')
    """
    return f"{'-'.join(f'{one:.0f}' for one in kpa)} kPa ({'-'.join(f'{one / PSI:.0f}' for one in kpa)} psi)"
