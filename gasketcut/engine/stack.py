"""Stacks of sheets, the squish each gives, and how likely that is to be wanted or to be too little.

Layer    so many sheets of one stock.
Stack    layers between cylinder and crankcase; a spacer lies between two gaskets, as it does not seal by itself.
Odds     chance that the squish lies in the user's band, and that it lies under the user's floor.

The odds come from draws with a fixed seed: the mean of the readings is normal, a sheet's fitted thickness triangular
between least, likely and most. Sheets of one stock are drawn once for a stack, as they come off the same sheet.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from gasketcut.engine.sheet import Fitted
from gasketcut.job.model import Range, Stock
from gasketcut.length import Measured

if TYPE_CHECKING:
    from numpy.typing import NDArray

LAYERS = 3
"""Sheets in one stack. More slip on each other and leak (common practice)."""

DRAWS = 1_000_000
SEED = 20_011
_SURE = 6.0  # standard deviations: beyond them no draw is needed


@dataclass(frozen=True, slots=True)
class Layer:
    """So many sheets of one stock."""

    stock: str
    count: int


@dataclass(frozen=True, slots=True)
class Odds:
    """Chances, 0 to 1."""

    in_band: float
    under_floor: float


@dataclass(frozen=True, slots=True)
class Choice:
    """A stack, how thick it is when clamped and the squish it gives [mm], and its odds."""

    layers: tuple[Layer, ...]
    fitted: Range
    squish: Range
    odds: Odds

    @property
    def sheets(self) -> int:
        return sum(layer.count for layer in self.layers)

    @property
    def words(self) -> str:
        """The stack as a person says it."""
        return " + ".join(f"{layer.count} x {layer.stock}" for layer in self.layers) or "no gasket"


@dataclass(frozen=True, slots=True)
class Sheet:
    """A stock with its fitted thickness."""

    stock: Stock
    fitted: Fitted


def choices(
    sheets: Sequence[Sheet], bare: Measured, film: Range, target: float, band: tuple[float, float]
) -> list[Choice]:
    """Every stack, likeliest to lie in the band first, then fewest layers, then nearest the target.

    bare : clearance without a gasket, with its standard deviation [mm]
    film : thickness of the sealant, least, likely, most, if any gasket is used at all [mm]
    band : floor and ceiling of the squish [mm]
    """
    draws = _Draws(bare, film)
    found = [_choice(stack, bare, film, band, draws) for stack in _stacks(sheets)]
    return sorted(
        found,
        key=lambda one: (-round(one.odds.in_band, 2), one.sheets, round(abs(one.squish[1] - target), 4), one.words),
    )


def _stacks(sheets: Sequence[Sheet]) -> Iterator[tuple[tuple[Sheet, int], ...]]:
    """All stacks of up to LAYERS sheets, none included; a spacer only between two gaskets."""
    for counts in product(*(range(min(sheet.stock.sheets, LAYERS) + 1) for sheet in sheets)):
        if sum(counts) > LAYERS:
            continue
        stack = tuple((sheet, count) for sheet, count in zip(sheets, counts, strict=True) if count)
        spacers = sum(count for sheet, count in stack if sheet.stock.is_spacer)
        if spacers == 0 or sum(counts) - spacers >= spacers + 1:
            yield stack


def _choice(
    stack: tuple[tuple[Sheet, int], ...], bare: Measured, film: Range, band: tuple[float, float], draws: _Draws
) -> Choice:
    ranges = [(sheet.fitted.range, count) for sheet, count in stack] + ([(film, 1)] if stack else [])
    low, likely, high = (sum(one[at] * count for one, count in ranges) for at in range(3))
    squish = (bare.value + low, bare.value + likely, bare.value + high)
    layers = tuple(Layer(sheet.stock.name, count) for sheet, count in stack)
    return Choice(layers, (low, likely, high), squish, draws.odds(stack, squish, band))


class _Draws:
    """The random numbers, drawn once and only when a stack's odds are in doubt."""

    def __init__(self, bare: Measured, film: Range) -> None:
        self._bare, self._film = bare, film
        self._drawn: dict[str, NDArray[np.float32]] = {}
        self._random = np.random.Generator(np.random.SFC64(SEED))

    def odds(self, stack: tuple[tuple[Sheet, int], ...], squish: Range, band: tuple[float, float]) -> Odds:
        floor, ceiling = band
        slack = _SURE * self._bare.sigma + 1e-9
        low, high = squish[0] - slack, squish[2] + slack
        if high < floor or low > ceiling:
            return Odds(0.0, 1.0 if high < floor else 0.0)
        if low >= floor and high <= ceiling:
            return Odds(1.0, 0.0)
        total = self._normal()
        for sheet, count in stack:
            total = total + np.float32(count) * self._triangular(sheet.stock.name, sheet.fitted.range)
        if stack and self._film[2] > 0:
            total = total + self._triangular(" film", self._film)
        under = np.count_nonzero(total < np.float32(floor - 1e-7))
        over = np.count_nonzero(total > np.float32(ceiling + 1e-7))
        return Odds(1 - (under + over) / DRAWS, under / DRAWS)

    def _normal(self) -> NDArray[np.float32]:
        if " bare" not in self._drawn:
            draws = self._random.standard_normal(DRAWS, dtype=np.float32)
            self._drawn[" bare"] = np.float32(self._bare.value) + np.float32(self._bare.sigma) * draws
        return self._drawn[" bare"]

    def _triangular(self, name: str, range_: Range) -> NDArray[np.float32]:
        """By inverting the distribution: two square roots of a uniform draw."""
        if name not in self._drawn:
            low, likely, high = range_
            if high == low:
                self._drawn[name] = np.full(1, low, dtype=np.float32)
            else:
                u = self._random.random(DRAWS, dtype=np.float32)
                split = (likely - low) / (high - low)
                rising = low + np.sqrt(u * np.float32((high - low) * (likely - low)))
                falling = high - np.sqrt((1 - u) * np.float32((high - low) * (high - likely)))
                self._drawn[name] = np.where(u < split, rising, falling).astype(np.float32)
        return self._drawn[name]
