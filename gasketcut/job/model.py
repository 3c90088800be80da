"""What a job file says, as frozen values: mm, degrees and cc, whatever units the file used.

Shape     a closed line about its own middle: round, slot, oval, rectangle, points or a drawing.
Placed    a shape put somewhere: moved to `at` after turning by `turn` degrees, counter-clockwise.
Window    something in the metal that the sheet must not cover: a port or a passage.
Outline   how far the sheet reaches: a shape, or a rule that follows what is inside it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from gasketcut.length import Measured

Point = tuple[float, float]
Range = tuple[float, float, float]
"""Least, likely, most [mm]."""

Kind = Literal["base", "intake", "exhaust", "outlet", "spacer", "blank", "flat"]
Role = Literal["port", "passage"]


@dataclass(frozen=True, slots=True)
class Round:
    """A circle by its diameter."""

    diameter: float


@dataclass(frozen=True, slots=True)
class Slot:
    """Round ends: `length` over all, `width` = diameter of the ends."""

    length: float
    width: float


@dataclass(frozen=True, slots=True)
class Oval:
    """An ellipse with these full axes."""

    length: float
    width: float


@dataclass(frozen=True, slots=True)
class Rectangle:
    """Width along x, height along y, and the radius of its corners."""

    width: float
    height: float
    corner: float = 0.0


@dataclass(frozen=True, slots=True)
class Points:
    """A polygon, every corner rounded to the radius `corner`."""

    points: tuple[Point, ...]
    corner: float = 0.0


@dataclass(frozen=True, slots=True)
class Drawing:
    """The one closed line of a DXF file."""

    file: Path


Shape = Round | Slot | Oval | Rectangle | Points | Drawing


@dataclass(frozen=True, slots=True)
class Placed:
    """A shape turned about its middle by `turn` degrees, then moved to `at`."""

    shape: Shape
    at: Point = (0.0, 0.0)
    turn: float = 0.0


@dataclass(frozen=True, slots=True)
class Hull:
    """The tightest outward-curved line round everything inside, `margin` away from it."""

    margin: float


@dataclass(frozen=True, slots=True)
class Lobes:
    """A disc of radius `lobe` round each stud and a band `ring` wide round the openings, inner corners filled."""

    lobe: float
    ring: float
    fillet: float


@dataclass(frozen=True, slots=True)
class Grow:
    """Another shape grown by `margin`; `of` None means the part's own opening."""

    margin: float
    of: Placed | None = None


Outline = Placed | Hull | Lobes | Grow


@dataclass(frozen=True, slots=True)
class Holes:
    """Equal round holes. `stud` is the diameter of what goes through, if it is known."""

    at: tuple[Point, ...]
    diameter: float
    stud: float | None = None
    size: str | None = None


@dataclass(frozen=True, slots=True)
class Window:
    """A port or passage as it is in the metal.

    cut  True: the sheet is opened here too, by the part's set-back larger; a Placed: by that shape instead;
         False: nothing of its own is cut and the part's opening has to clear it.
    """

    name: str
    role: Role
    placed: Placed
    cut: bool | Placed
    face: str | None = None


@dataclass(frozen=True, slots=True)
class Landmark:
    """What lies in the direction `toward` (degrees from +x), e.g. the exhaust side."""

    name: str
    toward: float


@dataclass(frozen=True, slots=True)
class OutletRule:
    """Openings of a muffler outlet: `count` equal ones, given by `shape` or by `percent` of the exhaust port.

    form    round, oval or slot, when sized by percent
    ratio   length / width of an oval or slot sized by percent
    circle  diameter of the circle on which several openings sit
    """

    shape: Shape | None = None
    percent: float | None = None
    form: Literal["round", "oval", "slot"] = "round"
    ratio: float = 1.5
    count: int = 1
    circle: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PartSpec:
    """One `[[part]]`."""

    name: str
    kind: Kind
    outline: Outline | None = None
    opening: Placed | None = None
    studs: tuple[Holes, ...] = ()
    holes: tuple[Holes, ...] = ()
    windows: tuple[Window, ...] = ()
    set_back: float = 0.5
    stock: str | None = None
    of: str | None = None
    face_up: str | None = None
    landmark: Landmark | None = None
    count: int = 1
    outlet: OutletRule | None = None
    template: bool = False
    drill: float = 4.0
    line: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """A sheet on the shelf.

    thickness  nominal, as bought [mm]
    fitted     least, likely, most when clamped [mm], if measured
    sheets     how many layers of it may be used in one stack
    material   a material of `profiles/sheets.toml`, or None
    size       of the whole sheet [mm], or None
    """

    name: str
    thickness: float
    fitted: Range | None = None
    sheets: int = 3
    material: str | None = None
    size: Point | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PortTiming:
    """One port of the cylinder. `opens` in degrees from TDC (before it for an intake), or `travel` [mm]."""

    name: str
    kind: Literal["exhaust", "transfer", "piston-port", "reed", "rotary"]
    opens: float | None = None
    travel: float | None = None
    width: float | None = None
    height: float | None = None
    corner: float = 0.0
    area_mm2: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Engine:
    """Bore, stroke and rod [mm], the volume at top dead centre [cc], the flat band of the squish [mm], the ports."""

    bore: float
    stroke: float | None = None
    rod: float | None = None
    pin_offset: float = 0.0
    rpm: float | None = None
    chamber_cc: float | None = None
    squish_band: float | None = None
    ports: tuple[PortTiming, ...] = ()

    def port(self, kind: str) -> PortTiming | None:
        """The first port of that kind."""
        return next((port for port in self.ports if port.kind == kind), None)


@dataclass(frozen=True, slots=True)
class Reading:
    """Solder squeezed at `at`: left and right lie on the pin axis, front is the exhaust side."""

    at: str
    value: Measured


@dataclass(frozen=True, slots=True, kw_only=True)
class SquishSpec:
    """What was measured and what is wanted [mm]; `measured` is a mean that the user worked out."""

    target: float
    least: float | None = None
    most: float | None = None
    gasket_present: Measured = Measured(0.0)
    solder: float | None = None
    readings: tuple[Reading, ...] = ()
    measured: Measured | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """Everything a job file says; `source` is the file it came from."""

    title: str
    parts: tuple[PartSpec, ...] = ()
    engine: Engine | None = None
    squish: SquishSpec | None = None
    stock: tuple[Stock, ...] = ()
    source: Path | None = field(default=None, compare=False)

    def sheet(self, name: str | None) -> Stock | None:
        """The stock of that name."""
        return next((stock for stock in self.stock if stock.name == name), None)
