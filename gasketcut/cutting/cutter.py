"""The cutter of a job: what its process does to the sheet at hand."""

from __future__ import annotations

from dataclasses import dataclass, fields

from gasketcut.job.cutting import Choice, Process
from gasketcut.parts.stock import Stock
from gasketcut.profile.cutting.cutters import FOIL, Cutters, Numbers


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutter(Numbers):
    """The numbers of the process in the sheet.

    sheet  the class, or None if the stock does not say: then the values are the process's own
    """

    process: Process
    sheet: str | None


def chosen(choice: Choice, profile: float) -> float | None:
    """The length asked for: the user's own, the profile's, or None if it was not asked for."""
    return profile if choice == "profile" else choice


def cutter_for(process: Process, stock: Stock | None, cutters: Cutters) -> Cutter:
    """The process in that stock."""
    sheet = _class_of(stock, cutters)
    numbers = cutters.numbers(process, sheet)
    return Cutter(process=process, sheet=sheet, **{one.name: getattr(numbers, one.name) for one in fields(numbers)})


def _class_of(stock: Stock | None, cutters: Cutters) -> str | None:
    if stock is None:
        return None
    kind = cutters.kind_of(stock.material) or cutters.kind_by_words(stock.name)
    if kind is None:
        return None
    return FOIL if kind.cuts_as == "metal" and stock.thickness <= cutters.foil else kind.cuts_as
