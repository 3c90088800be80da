"""A sheet to cut from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from gasketcut.checked import Checked, Problem, Size
from gasketcut.errors import Lack
from gasketcut.length import Measured

Range = tuple[float, float, float]
"""Least, likely, most [mm]."""

MOST_SHEETS = 20
"""Layers of one stock in a stack: nobody clamps more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock(Checked):
    """One `[[stock]]`.

    thickness  as bought [mm]
    fitted     least, likely, most when clamped [mm], if measured
    used       thickness of a used gasket of this sheet [mm], if measured
    sheets     how many layers of it may be used in one stack
    material   a material of `profiles/sheets.toml`, or None
    size       of the whole sheet [mm], or None
    joints     the kinds of part it may be used for; empty: any
    is_spacer  metal that needs a gasket on either face
    """

    name: str
    thickness: Size
    fitted: Range | None = None
    used: Measured | None = None
    sheets: int = 3
    material: str | None = None
    size: tuple[Size, Size] | None = None
    joints: tuple[str, ...] = ()
    is_spacer: bool = False

    def problems(self) -> Iterator[Problem]:
        yield from Checked.problems(self)
        if not self.name:
            yield None, Lack("name", "'name' is missing; write e.g. name = \"paper 0.5\"")
        if self.fitted is not None and not self.fitted[0] <= self.fitted[1] <= self.fitted[2]:
            yield "fitted", "write it as [least, likely, most], rising"
        if not 1 <= self.sheets <= MOST_SHEETS:
            yield "sheets", f"{self.sheets} is not a whole number from 1 to {MOST_SHEETS}"
