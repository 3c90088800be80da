"""Stacks of sheets, the squish each gives, and how likely that is to be wanted or to be too little.

Layer    so many sheets of one stock.
Stack    layers between cylinder and crankcase.
Odds     chance that the squish lies in the user's band, and that it lies under the user's floor.

A spacer lies between two gaskets because it does not seal by itself. Sheets of one stock count as equally thick within
a stack, as they come off the same sheet.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from gasketcut.engine.assumptions import MOST_SHEETS
from gasketcut.engine.stack.clamped import ClampedThickness
from gasketcut.engine.stack.odds import Odds, Sum, odds_of
from gasketcut.length import Measured
from gasketcut.parts.stock import Range, Stock


@dataclass(frozen=True, slots=True)
class Layer:
    """So many sheets of one stock."""

    stock: str
    count: int


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
class FittedStock:
    """A stock with its fitted thickness."""

    stock: Stock
    fitted: ClampedThickness


Stack = tuple[tuple[FittedStock, int], ...]


def choices(
    sheets: Sequence[FittedStock], bare: Measured, sealant: Range, target: float, band: tuple[float, float]
) -> list[Choice]:
    """Every stack, likeliest to lie in the band first, then fewest layers, then nearest the target.

    bare : clearance without a gasket, with its standard deviation [mm]
    sealant : thickness of its film, least, likely, most, if any gasket is used at all [mm]
    band : floor and ceiling of the squish [mm]
    """
    stacks = list(_stacks(sheets))
    sums = [_sum(stack, bare, sealant) for stack in stacks]
    found = [
        Choice(_layers(stack), one.fitted, one.squish, odds)
        for stack, one, odds in zip(stacks, sums, odds_of(sums, bare, band), strict=True)
    ]
    return sorted(
        found,
        key=lambda one: (-round(one.odds.in_band, 2), one.sheets, round(abs(one.squish[1] - target), 4), one.words),
    )


def _stacks(sheets: Sequence[FittedStock]) -> Iterator[Stack]:
    """All stacks of up to MOST_SHEETS, or of as many sheets of one stock as the job allows, none included; a spacer
    only between two gaskets."""
    for counts in product(*(range(sheet.stock.sheets + 1) for sheet in sheets)):
        if sum(counts) > MOST_SHEETS and sum(counts) != max(counts):
            continue
        stack = tuple((sheet, count) for sheet, count in zip(sheets, counts, strict=True) if count)
        spacers = sum(count for sheet, count in stack if sheet.stock.is_spacer)
        if spacers == 0 or sum(counts) - spacers >= spacers + 1:
            yield stack


def _layers(stack: Stack) -> tuple[Layer, ...]:
    return tuple(Layer(sheet.stock.name, count) for sheet, count in stack)


def _sum(stack: Stack, bare: Measured, sealant: Range) -> Sum:
    """The stack's thicknesses and the squish they add up to; sealant comes with any gasket."""
    terms = tuple((sheet.stock.name, sheet.fitted.range, count) for sheet, count in stack)
    if stack and sealant[2] > 0:
        terms = (*terms, ("", sealant, 1))
    low, likely, high = (sum(one[at] * count for _, one, count in terms) for at in range(3))
    return Sum(terms, (low, likely, high), (bare.value + low, bare.value + likely, bare.value + high))
