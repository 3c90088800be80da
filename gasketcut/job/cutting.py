"""What `[cutting]` of a job file asks for, as frozen values."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

Process = Literal["co2", "fibre", "knife", "waterjet", "hand"]
PROCESSES: tuple[Process, ...] = ("co2", "fibre", "knife", "waterjet", "hand")

Turning = Literal["any", "quarter", "half", "none"]

Choice = float | Literal["profile"] | None
"""A length [mm], what the cutter's profile says, or None: not asked for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingSpec:
    """`[cutting]`; everything that is absent stays off.

    kerf        the path is grown by half of it; None: nominal size
    speed       along the cut [mm/min] and `pierce` for each start [s], in place of the profile's
    order       sort the cuts: marks, inside, outside, by the shortest travel
    tabs        how many the outside gets
    letter      what the part is, in single lines on the mark layer
    rate_hour   of the machine, and `rate_sheet` of one whole sheet, in `currency`
    """

    process: Process | None = None
    kerf: Choice = None
    speed: float | None = None
    pierce: float | None = None
    rate_hour: float | None = None
    rate_sheet: float | None = None
    currency: str | None = None
    order: bool = False
    lead_in: Choice = None
    tabs: int | Literal["profile"] | None = None
    overcut: Choice = None
    letter: bool = False
    line: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class LayoutSpec:
    """`[layout]`: all parts laid out on whole sheets.

    spacing   between cuts [mm]; None: our choice
    margin    along the sheet's edges in which nothing lies [mm]
    turning   how a part may be turned on the sheet
    in_holes  small parts may lie in the holes of large ones
    seconds   how long to search
    """

    spacing: float | None = None
    margin: float = 0.0
    turning: Turning = "any"
    in_holes: bool = False
    seconds: float = 10.0
