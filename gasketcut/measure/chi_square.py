"""How large a sum of squared, weighted residuals may be by chance.

Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.4.4 and 26.4.5.
"""

from __future__ import annotations

from math import erfc, exp, pi, sqrt


def chi_square_above(x: float, freedom: int) -> float:
    """Share of the chi-square distribution above x >= 0, for one degree of freedom or more.

    >>> round(chi_square_above(3.841, 1), 3)
    0.05
    """
    odd = freedom % 2
    total = erfc(sqrt(x / 2)) if odd else 0.0
    term = sqrt(2 * x / pi) * exp(-x / 2) if odd else exp(-x / 2)
    for next_one in range(3 if odd else 2, freedom + 1, 2):
        total += term
        term *= x / next_one
    return total


def chi_square_quantile(share: float, freedom: int) -> float:
    """The sum that chance stays below with that share of cases, by halving; 0 without a degree of freedom.

    >>> round(chi_square_quantile(0.99, 3), 3)
    11.345
    """
    if freedom < 1:
        return 0.0
    low, high = 0.0, float(freedom)
    while chi_square_above(high, freedom) > 1 - share:
        low, high = high, 2 * high
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if chi_square_above(middle, freedom) > 1 - share else (low, middle)
    return (low + high) / 2
