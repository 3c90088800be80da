"""Stacks of sheets, the squish each gives, and which of them is to be fitted.

Layer     so many sheets of one stock.
Stack     layers between cylinder and crankcase.
Safe      a stack whose tight place is no likelier to lie under the user's floor than the user allows.
Fit       a safe stack whose likely mean lies in the user's band.

A spacer lies between two gaskets because it does not seal by itself. Sheets of one stock count as equally thick within
a stack, as they come off the same sheet. Sealant lies in every joint, with a gasket or without.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import product

from gasketcut.engine.assumptions import MOST_SHEETS
from gasketcut.engine.stack.clamped import ClampedThickness
from gasketcut.engine.stack.clearance import Clearance
from gasketcut.engine.stack.odds import Odds, Outlook
from gasketcut.parts.stock import Range, Stock

_SAME = 4  # decimals of a millimetre to which two squishes are one


@dataclass(frozen=True, slots=True)
class Layer:
    """So many sheets of one stock."""

    stock: str
    count: int


@dataclass(frozen=True, slots=True)
class Choice:
    """A stack; least, likely and most of its thickness when clamped, of the mean squish and of the tight place, at
    LEVEL [mm]; the odds of the tight place.

    off   how far the likely mean lies from the target [mm]
    safe  may it be fitted as far as the floor goes?
    fits  is it safe, with its likely mean in the band?
    """

    layers: tuple[Layer, ...]
    fitted: Range
    squish: Range
    tight: Range
    odds: Odds
    off: float
    safe: bool
    fits: bool

    @property
    def sheets(self) -> int:
        return sum(layer.count for layer in self.layers)

    def is_as_near_as(self, other: Choice) -> bool:
        """Is its likely mean as far from the target?"""
        return round(self.off, _SAME) == round(other.off, _SAME)

    @property
    def words(self) -> str:
        """The stack as a person says it."""
        return " + ".join(f"{layer.count} x {layer.stock}" for layer in self.layers) or "no gasket"


@dataclass(frozen=True, slots=True)
class FittedStock:
    """A stock with its fitted thickness."""

    stock: Stock
    fitted: ClampedThickness


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What the user wants of the squish.

    band  floor and ceiling [mm]
    risk  chance that is accepted of the tight place under the floor, 0 to 1
    """

    target: float
    band: tuple[float, float]
    risk: float


class Lost(Enum):
    """Why a choice that looks better is not the one: of those as near or nearer the first two, then fewer sheets."""

    UNSAFE = "unsafe"
    BEYOND = "beyond the band"
    FARTHER = "farther"
    MORE_SHEETS = "more sheets"


Stack = tuple[tuple[FittedStock, int], ...]


def choices(sheets: Sequence[FittedStock], bare: Clearance, sealant: Range, wanted: Wanted) -> list[Choice]:
    """Every stack: those that fit, then those that are safe, then the rest; in each the nearest to the target first,
    of equals that of fewest sheets.

    bare    : clearance without a gasket
    sealant : thickness of its film, least, likely, most [mm]
    """
    outlook = Outlook(bare, wanted.band)
    found = [_choice(stack, sealant, outlook, wanted) for stack in _stacks(sheets)]
    return sorted(found, key=lambda one: (not one.fits, not one.safe, round(one.off, _SAME), one.sheets, one.words))


def passed_over(found: Sequence[Choice]) -> tuple[Choice, Lost] | None:
    """The choice that looks better than the first of them, or as good, and why it is not the one; None if none does."""
    best, rest = found[0], found[1:]
    nearest = sorted(rest, key=lambda one: (round(one.off, _SAME), one.sheets))
    for one in nearest:
        if round(one.off, _SAME) <= round(best.off, _SAME) and not one.fits:
            return one, Lost.BEYOND if one.safe else Lost.UNSAFE
    fewer = next((one for one in nearest if one.fits and one.sheets < best.sheets), None)
    if fewer is not None:
        return fewer, Lost.FARTHER
    again = next((one for one in nearest if one.fits and one.is_as_near_as(best)), None)
    return (again, Lost.MORE_SHEETS) if again is not None and again.sheets > best.sheets else None


def _choice(stack: Stack, sealant: Range, outlook: Outlook, wanted: Wanted) -> Choice:
    terms = [_times(sheet.fitted.range, count) for sheet, count in stack]
    outcome = outlook.of([*terms, sealant])
    likely = outcome.squish[1]
    safe = outcome.odds.under_floor <= wanted.risk
    return Choice(
        layers=tuple(Layer(sheet.stock.name, count) for sheet, count in stack),
        fitted=outcome.fitted,
        squish=outcome.squish,
        tight=outcome.tight,
        odds=outcome.odds,
        off=abs(likely - wanted.target),
        safe=safe,
        fits=safe and wanted.band[0] - 1e-9 <= likely <= wanted.band[1] + 1e-9,
    )


def _times(range_: Range, count: int) -> Range:
    return range_[0] * count, range_[1] * count, range_[2] * count


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
