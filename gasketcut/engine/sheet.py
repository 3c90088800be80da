"""How thick a sheet is once it is clamped: always a range, and always with where it came from."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from gasketcut.job.model import Range, Stock
from gasketcut.profile import load

GUESS = 0.10
"""Scatter of a sheet of which only the nominal thickness is known: +-10 % is what a maker of gasket paper allows
(specification ESB-M8G92-A, read through a stored copy)."""


@dataclass(frozen=True, slots=True)
class Fitted:
    """Thickness when clamped: least, likely, most [mm], and its origin in words."""

    range: Range
    origin: str


def fitted_thickness(stock: Stock, beside: Path | None = None) -> Fitted:
    """As measured; else from the material's published compressibility; else the nominal, marked as a guess.

    Published compressibility C holds at the test stress only: t = t0 (1 - C).

    >>> fitted_thickness(Stock(name="paper", thickness=0.50, material="cellulose-nbr")).range
    (0.37, 0.395, 0.42)
    """
    if stock.fitted is not None:
        return Fitted(stock.fitted, "as given, when clamped")
    material = materials(beside).get(stock.material or "")
    nominal = stock.thickness
    if material and "compressibility" in material:
        low, high = material["compressibility"]
        likely = nominal * (1 - (low + high) / 200)
        found = (nominal * (1 - high / 100), likely, nominal * (1 - low / 100))
        return Fitted(_rounded(found), f"from {low:g} to {high:g} % compressibility at {material['stress']:g} MPa")
    return Fitted(_rounded((nominal * (1 - GUESS), nominal, nominal * (1 + GUESS))), "guess from the nominal thickness")


def materials(beside: Path | None = None) -> dict[str, Any]:
    """The materials of `profiles/sheets.toml`."""
    found: dict[str, Any] = load("sheets", beside)["material"]
    return found


def _rounded(values: Range) -> Range:
    return round(values[0], 6), round(values[1], 6), round(values[2], 6)
