"""What a job file says of the rest of the top end, as frozen values in mm, mm2, degrees and seconds."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from gasketcut.length import Measured
from gasketcut.parts.words import Shape

COST_COLUMNS = ("name", "group", "count", "price", "currency", "state", "instead_of", "part")
"""Of a parts list that is kept in a spreadsheet."""

Direction = Literal["advance", "retard"]

State = Literal["new", "used", "own"]
STATES: tuple[State, ...] = ("new", "used", "own")


@dataclass(frozen=True, slots=True, kw_only=True)
class RingSpec:
    """A ring: its end gap as measured in the bore, the maker's range if known, and whether a pin holds its ends."""

    gap: Measured | None = None
    maker: tuple[float, float] | None = None
    pinned: bool = True


@dataclass(frozen=True, slots=True)
class Stage:
    """Openings that the gas passes side by side: a baffle's holes, or outlets; `area_mm2` where no shape is given."""

    name: str
    shape: Shape | None = None
    count: int = 1
    area_mm2: float | None = None


@dataclass(frozen=True, slots=True)
class Screen:
    """Woven wire: opening and wire [mm], and the gross area of screen that gas goes through [mm2], if known."""

    opening: float
    wire: float
    gross_mm2: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MufflerSpec:
    """Stages one behind the other, the last into the open; area of the exhaust port's window if not the engine's."""

    port_area_mm2: float | None = None
    stages: tuple[Stage, ...] = ()
    screen: Screen | None = None
    line: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class IgnitionSpec:
    """The flywheel's key.

    large, small  diameters of the taper at the ends of the key [mm]
    key_width     of the whole key [mm]
    removed       metal off one side of it [mm]
    direction     in which the flywheel then goes: "advance" or "retard"
    present       spark before the work [deg before TDC]
    measured      spark after it, as a strobe shows it [deg before TDC], or
    dial          as a dial gauge in the plug hole shows it [mm before TDC]
    """

    large: float
    small: float
    key_width: float | None = None
    removed: float = 0.0
    direction: Direction = "advance"
    present: float | None = None
    measured: float | None = None
    dial: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """One line of the parts list; `instead_of` puts lines side by side as alternatives; `part` takes what a part of the
    job costs to make."""

    name: str
    group: str = "parts"
    count: int = 1
    price: float | None = None
    currency: str = ""
    state: State = "new"
    instead_of: str | None = None
    part: str | None = None
    line: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True)
class Trial:
    """One timed cut, hole or lap: seconds, and its size (1 if only the time counts)."""

    condition: str
    seconds: float
    size: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class TopEnd:
    """Every section besides engine, squish and parts."""

    ring: RingSpec | None = None
    muffler: MufflerSpec | None = None
    ignition: IgnitionSpec | None = None
    costs: tuple[Cost, ...] = ()
    trials: tuple[Trial, ...] = ()
