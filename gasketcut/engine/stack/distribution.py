"""Distributions of lengths as tables, and their sums by convolution.

Distribution  how likely a length is to lie under each of a row of places.
Sum           of lengths that vary apart: each is cut into cells of one width, the cells' shares are convolved, and the
              table of the sum stands at the cells' edges. No chance is in it, so the same job always gives the same
              figures. Against nested quadrature the chances are good to 1e-5, ranges of normal sums to 1e-5 mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from math import erfc, sqrt

import numpy as np

from gasketcut.engine.assumptions import LEVEL
from gasketcut.length import Measured
from gasketcut.parts.stock import Range

_CELLS = 2048  # of a sum; a hundredth of a standard deviation in the usual stack
_ROWS = 2001  # of a table that is not a sum
_REACH = 8.0  # standard deviations to either side: beyond it lies 1e-15


@dataclass(frozen=True, slots=True, eq=False)
class Distribution:
    """Chance `below` of lying under each of the places `at` [mm]; both rise."""

    at: np.ndarray
    below: np.ndarray

    def under(self, place: float) -> float:
        """Chance of lying under that place."""
        return float(np.interp(place, self.at, self.below, left=0.0, right=1.0))

    def range_with(self, likely: float) -> Range:
        """Least and most that LEVEL of all lie between, as many beyond either; never without the likely value."""
        tail = (1 - LEVEL) / 2
        least, most = np.interp((tail, 1 - tail), self.below, self.at)
        return min(float(least), likely), likely, max(float(most), likely)

    def moved(self, by: float) -> Distribution:
        """The same with so much added [mm]."""
        return Distribution(self.at + by, self.below)


@cache
def _standard() -> Distribution:
    places = np.linspace(-_REACH, _REACH, _ROWS)
    return Distribution(places, np.array([0.5 * erfc(-place / sqrt(2)) for place in places.tolist()]))


def normal(length: Measured) -> Distribution:
    """About a measured length."""
    standard = _standard()
    return Distribution(length.value + length.sigma * standard.at, standard.below)


def least_of(one: Measured, other: Measured, covariance: float) -> Distribution:
    """The smaller of two normal lengths that may vary together.

    covariance : of the two [mm2]

    Density f1 + f2 with f1(x) = phi((x - m1)/s1)/s1 Phi((r (x - m1)/s1 - (x - m2)/s2) / sqrt(1 - r^2)), r their
    correlation, f2 with the two exchanged: one lies at x and the other above it (S. Nadarajah, S. Kotz 2008, from
    memory; a test holds it against quadrature).
    """
    correlation = min(1.0, max(-1.0, covariance / (one.sigma * other.sigma)))
    apart = sqrt(max(1 - correlation**2, 1e-12))
    standard = _standard()
    last = min(length.value + _REACH * length.sigma for length in (one, other))
    places = np.union1d(*(length.value + length.sigma * standard.at for length in (one, other)))
    places = places[places <= last]
    a, b = (places - one.value) / one.sigma, (places - other.value) / other.sigma
    density = sum(
        np.exp(-(mine**2) / 2) / sigma * np.interp((correlation * mine - its) / apart, standard.at, standard.below)
        for mine, its, sigma in ((a, b, one.sigma), (b, a, other.sigma))
    )
    below = np.concatenate(([0.0], np.cumsum((density[1:] + density[:-1]) / 2 * np.diff(places))))
    return Distribution(places, below / below[-1])


def _triangular_below(range_: Range, places: np.ndarray) -> np.ndarray:
    low, likely, high = range_
    inside = np.clip(places, low, high)
    rising = (inside - low) ** 2 / ((high - low) * (likely - low)) if likely > low else np.zeros_like(inside)
    falling = 1 - (high - inside) ** 2 / ((high - low) * (high - likely)) if high > likely else np.ones_like(inside)
    below: np.ndarray = np.where(inside < likely, rising, falling)
    return below


def sums_of(terms: Sequence[Range], bases: Sequence[Distribution]) -> tuple[Distribution | None, list[Distribution]]:
    """The triangular lengths added up, each apart from the others, and each of the bases with them; None in place of
    their own sum where none has a range. A length without a range only moves the sum."""
    spread = [term for term in terms if term[2] > term[0]]
    fixed = sum(low for low, _, high in terms if high <= low)
    if not spread:
        return None, [base.moved(fixed) for base in bases]
    width = max(float(base.at[-1] - base.at[0]) for base in bases) + sum(high - low for low, _, high in spread)
    step = width / (_CELLS - 2 * (len(spread) + 1))
    edges = step * np.arange(_CELLS + 1)
    total = np.ones(_CELLS // 2 + 1, dtype=complex)
    for term in spread:
        total *= np.fft.rfft(np.diff(_triangular_below(term, term[0] + edges)))
    start = fixed + sum(low for low, _, _ in spread)
    with_each = []
    for base in bases:
        shares = np.diff(np.interp(base.at[0] + edges, base.at, base.below, left=0.0, right=1.0))
        with_each.append(_table(total * np.fft.rfft(shares), start + float(base.at[0]), step, len(spread) + 1))
    return _table(total, start, step, len(spread)), with_each


def _table(spectrum: np.ndarray, start: float, step: float, count: int) -> Distribution:
    """Of a sum of so many lengths from its spectrum. A share stands in the middle of its cell, so that the sum of n of
    them lies n/2 cells on, and its far edge half a cell more."""
    below = np.cumsum(np.clip(np.fft.irfft(spectrum, _CELLS), 0.0, None))
    return Distribution(start + step * (np.arange(_CELLS) + (count + 1) / 2), below / below[-1])
