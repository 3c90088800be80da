"""How thick a sheet is once it is clamped: always a range, and always with where it came from."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from gasketcut.engine.assumptions import SHEET_SCATTER
from gasketcut.length import Measured
from gasketcut.parts.stock import Range, Stock
from gasketcut.profile.sheets import Sheets


class Origin(Enum):
    """What a clamped thickness comes from, surest first."""

    MEASURED = "measured clamped"
    USED = "used gasket"
    TESTED = "compressibility"
    PRESSED_LESS = "compressibility, pressed less than in its test"
    NOMINAL = "nominal thickness"


@dataclass(frozen=True, slots=True)
class ClampedThickness:
    """Thickness when clamped: least, likely, most [mm], and what it was worked out from."""

    range: Range
    origin: Origin


def fitted_thickness(stock: Stock, sheets: Sheets, stress: float | None = None) -> ClampedThickness:
    """As measured when clamped; else from a used gasket of the sheet; else from the material's published
    compressibility; else the nominal, marked as a guess.

    stress : clamp stress of the joint [MPa], if known

    Published compressibility C holds at the test stress only: t = t0 (1 - C). Below that stress the sheet lies between
    its nominal and the least compression; how it goes from one to the other nobody has published.

    >>> paper = Material("paper", compressibility=(16.0, 26.0), stress=6.89)
    >>> fitted_thickness(Stock(name="sheet", thickness=0.50, material="paper"), Sheets(materials=(paper,))).range
    (0.37, 0.395, 0.42)
    """
    if stock.fitted is not None:
        return ClampedThickness(stock.fitted, Origin.MEASURED)
    material = sheets.material(stock.material)
    nominal = stock.thickness
    if stock.used is not None:
        return _from_used(stock.used, nominal, material.recovery if material else 0.0)
    if material and material.compressibility and material.stress:
        (low, high), test = material.compressibility, material.stress
        if stress is not None and stress < test:
            found = (nominal * (1 - low / 100), nominal * (1 - low / 200), nominal)
            return ClampedThickness(_rounded(found), Origin.PRESSED_LESS)
        found = (nominal * (1 - high / 100), nominal * (1 - (low + high) / 200), nominal * (1 - low / 100))
        return ClampedThickness(_rounded(found), Origin.TESTED)
    found = (nominal * (1 - SHEET_SCATTER), nominal, nominal * (1 + SHEET_SCATTER))
    return ClampedThickness(_rounded(found), Origin.NOMINAL)


def _from_used(used: Measured, nominal: float, percent: float) -> ClampedThickness:
    """A used gasket has sprung back: it was thinner in place, by the material's recovery R [%] where that is known.

    From R = (used - clamped) / (nominal - clamped): clamped = (used - R nominal) / (1 - R). Published recoveries are
    least ones, so the truth may be thinner still; two standard deviations of the reading go on either side.
    """
    recovery = percent / 100
    clamped = min(used.value, (used.value - recovery * nominal) / (1 - recovery))
    low, high = clamped - 2 * used.sigma, used.value + 2 * used.sigma
    likely = (clamped + used.value) / 2
    return ClampedThickness(_rounded((max(low, 0.0), likely, high)), Origin.USED)


def _rounded(values: Range) -> Range:
    return round(values[0], 6), round(values[1], 6), round(values[2], 6)
