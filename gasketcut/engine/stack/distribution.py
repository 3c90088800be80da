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

_CELLS = 4096  # of a sum; a hundredth of a standard deviation in the usual stack
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
    first = min(length.value - _REACH * length.sigma for length in (one, other))
    last = min(length.value + _REACH * length.sigma for length in (one, other))
    places = np.linspace(first, last, 2 * _ROWS)
    a, b = (places - one.value) / one.sigma, (places - other.value) / other.sigma
    standard = _standard()
    density = sum(
        np.exp(-(mine**2) / 2) / sigma * np.interp((correlation * mine - its) / apart, standard.at, standard.below)
        for mine, its, sigma in ((a, b, one.sigma), (b, a, other.sigma))
    )
    below = np.concatenate(([0.0], np.cumsum((density[1:] + density[:-1]) / 2)))
    return Distribution(places, below / below[-1])


def triangular(range_: Range) -> Distribution:
    """A sheet's thickness: rising from least to likely, falling to most."""
    places = np.linspace(range_[0], range_[2], _ROWS)
    return Distribution(places, _triangular_below(range_, places))


def _triangular_below(range_: Range, places: np.ndarray) -> np.ndarray:
    low, likely, high = range_
    inside = np.clip(places, low, high)
    rising = (inside - low) ** 2 / ((high - low) * (likely - low)) if likely > low else np.zeros_like(inside)
    falling = 1 - (high - inside) ** 2 / ((high - low) * (high - likely)) if high > likely else np.ones_like(inside)
    below: np.ndarray = np.where(inside < likely, rising, falling)
    return below


def plus(base: Distribution, terms: Sequence[Range]) -> Distribution:
    """The base with triangular lengths added, each apart from the others; a length without a range only moves it."""
    spread = [term for term in terms if term[2] > term[0]]
    moved = base.moved(sum(low for low, _, high in terms if high <= low))
    if not spread:
        return moved
    starts = [float(moved.at[0]), *(low for low, _, _ in spread)]
    width = float(moved.at[-1] - moved.at[0]) + sum(high - low for low, _, high in spread)
    step = width / (_CELLS - 2 * len(starts))
    edges = step * np.arange(_CELLS + 1)
    total = np.fft.rfft(np.diff(np.interp(moved.at[0] + edges, moved.at, moved.below, left=0.0, right=1.0)))
    for term in spread:
        total = total * np.fft.rfft(np.diff(_triangular_below(term, term[0] + edges)))
    shares = np.clip(np.fft.irfft(total, _CELLS), 0.0, None)
    below = np.cumsum(shares)
    # a share stands in the middle of its cell, so the sum of n of them n/2 cells on, and its far edge half a cell more
    places = sum(starts) + step * (np.arange(_CELLS) + (len(starts) + 1) / 2)
    return Distribution(places, below / below[-1])
