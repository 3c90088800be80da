"""What `[cutting]` of a job file asks for, as frozen values."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

Process = Literal["co2", "fibre", "knife", "waterjet", "hand"]
PROCESSES: tuple[Process, ...] = ("co2", "fibre", "knife", "waterjet", "hand")

Choice = float | Literal["profile"] | None
"""A length [mm], what the cutter's profile says, or None: not asked for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingSpec:
    """`[cutting]`; everything that is absent stays off.

    kerf        the path is grown by half of it; None: nominal size
    speed       along the cut [mm/min] and `pierce` for each start [s], in place of the profile's
    order       sort the cuts: marks, inside, outside, by the shortest travel
    tabs        how many the outside gets
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
    line: int = field(default=0, compare=False)
