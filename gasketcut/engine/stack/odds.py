"""How likely a stack's squish is to lie in the user's band, and how likely under the user's floor.

Draw    one engine out of a million that the measurements allow: the mean of the readings is normal, the thickness of a
        clamped sheet triangular between least, likely and most.

The draws follow a fixed additive sequence instead of a random generator: numbers that fill the space more evenly than
chance would, so the same job always gives the same odds, and a million draws settle them to better than a thousandth.
Each uncertain quantity has a step of its own, the root of a prime (R. D. Richtmyer 1951, from memory). The draws are
worked through in pieces that stay in the processor's cache, and only for stacks whose odds are not plain at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import count
from typing import NamedTuple

import numpy as np

from gasketcut.length import Measured
from gasketcut.parts.stock import Range

DRAWS = 1_000_000
_PIECE = 62_500  # draws at a time: 16 pieces, each array a quarter of a megabyte
_SURE = 6.0  # standard deviations: beyond them no draw is needed


class Odds(NamedTuple):
    """Chances, 0 to 1."""

    in_band: float
    under_floor: float


class Sum(NamedTuple):
    """A stack as numbers: each stock by name, its thickness and how often it counts; their sum, and the squish with
    them [mm]. Stocks vary apart from one another, however much alike they are."""

    terms: tuple[tuple[str, Range, int], ...]
    fitted: Range
    squish: Range


def odds_of(sums: Sequence[Sum], bare: Measured, band: tuple[float, float]) -> list[Odds]:
    """The odds of each stack.

    bare : clearance without a gasket, with its standard deviation [mm]
    band : floor and ceiling [mm]
    """
    floor, ceiling = band
    slack = _SURE * bare.sigma + 1e-9
    odds = [_sure(one.squish[0] - slack, one.squish[2] + slack, band) for one in sums]
    open_yet = [number for number, one in enumerate(odds) if one is None]
    if open_yet:
        under, over = np.zeros(len(sums), dtype=int), np.zeros(len(sums), dtype=int)
        stocks = sorted({(name, range_) for number in open_yet for name, range_, _ in sums[number].terms})
        for first in range(0, DRAWS, _PIECE):
            base = np.float32(bare.value) + np.float32(bare.sigma) * _normal(first)
            drawn = {one: _triangular(first, number + 2, one[1]) for number, one in enumerate(stocks)}
            for number in open_yet:
                total = base
                for name, range_, sheets in sums[number].terms:
                    total = total + np.float32(sheets) * drawn[name, range_]
                under[number] += np.count_nonzero(total < np.float32(floor - 1e-7))
                over[number] += np.count_nonzero(total > np.float32(ceiling + 1e-7))
        for number in open_yet:
            low, high = int(under[number]) / DRAWS, int(over[number]) / DRAWS
            odds[number] = Odds(1 - low - high, low)
    return [one for one in odds if one is not None]


def _sure(low: float, high: float, band: tuple[float, float]) -> Odds | None:
    """The odds of a squish that lies between low and high, where they need no draws."""
    if high < band[0]:
        return Odds(0.0, 1.0)
    if low > band[1]:
        return Odds(0.0, 0.0)
    return Odds(1.0, 0.0) if low >= band[0] and high <= band[1] else None


def _uniform(first: int, dimension: int) -> np.ndarray:
    """A piece of the sequence of that dimension, between 0 and 1 and never either."""
    step = np.uint32(int(_prime(dimension) ** 0.5 % 1 * 2**32) | 1)
    places = np.arange(first + 1, first + 1 + _PIECE, dtype=np.uint32) * step  # wraps round: that is the sequence
    result: np.ndarray = (places >> np.uint32(8)).astype(np.float32)
    result += np.float32(0.5)
    result *= np.float32(2**-24)
    return result


@cache
def _prime(number: int) -> int:
    """Primes from 2 on, counted from 0."""
    found = [2]
    while len(found) <= number:
        found.append(next(one for one in count(found[-1] + 1) if all(one % prime for prime in found)))
    return found[number]


def _normal(first: int) -> np.ndarray:
    """Standard normal draws from two dimensions (Box and Muller 1958)."""
    away = np.sqrt(np.float32(-2) * np.log(_uniform(first, 0)))
    result: np.ndarray = away * np.cos(np.float32(2 * np.pi) * _uniform(first, 1))
    return result


def _triangular(first: int, dimension: int, range_: Range) -> np.ndarray:
    """By inverting the distribution: rising to the likely value, falling after it."""
    low, likely, high = range_
    if high == low:
        return np.full(1, low, dtype=np.float32)
    u = _uniform(first, dimension)
    rising = u < np.float32((likely - low) / (high - low))
    root = np.where(rising, u * np.float32(likely - low), (1 - u) * np.float32(high - likely)) * np.float32(high - low)
    np.sqrt(root, out=root)
    result: np.ndarray = np.where(rising, np.float32(low) + root, np.float32(high) - root)
    return result
