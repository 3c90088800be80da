"""What a job file says, as frozen values: mm, degrees and cc, whatever units the file used."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from math import pi
from pathlib import Path
from typing import Literal

from gasketcut.checked import Checked, Problem, Size
from gasketcut.checked import Path as KeyPath
from gasketcut.errors import JobError
from gasketcut.job.cutting import CuttingSpec, LayoutSpec
from gasketcut.job.topend import TopEnd
from gasketcut.job.usual import USUAL
from gasketcut.length import Measured
from gasketcut.parts.holes import DRY_THREAD
from gasketcut.parts.part_spec import PartSpec
from gasketcut.parts.stock import Range, Stock
from gasketcut.plane import Point
from gasketcut.toml.faults import Faults, meant

PLACES = {"right": 0.0, "front": 90.0, "left": 180.0, "rear": 270.0}
"""Degrees round the bore, seen from above: the exhaust is in front."""


def window_area(width: float | None, height: float | None, corner: float) -> float | None:
    """Area of a window with rounded corners [mm2], or None if a side is unknown."""
    return None if width is None or height is None else width * height - (4 - pi) * corner**2


Units = Literal["mm", "in"]
PortKind = Literal["exhaust", "transfer", "piston-port", "reed", "rotary"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PortTiming(Checked):
    """One port of the cylinder, by any of: `opens`, degrees from TDC (before it for an intake); `duration`, degrees;
    `travel` of the piston from TDC [mm]; `depth` of its roof (an intake: of its floor) from the deck [mm].

    width, height, corner  of the window, as chord and along the bore [mm]
    floor                  from the deck down to the window's lower edge [mm]
    centre                 where it stands round the bore [deg]
    """

    name: str
    kind: PortKind
    opens: float | None = None
    duration: float | None = None
    travel: Size | None = None
    depth: float | None = None
    width: Size | None = None
    height: Size | None = None
    corner: float = 0.0
    area_mm2: float | None = None
    floor: float | None = None
    centre: float | None = None
    line: int = field(default=0, compare=False)

    @property
    def is_exhaust(self) -> bool:
        return self.kind == "exhaust"

    @property
    def is_transfer(self) -> bool:
        return self.kind == "transfer"

    @property
    def is_rotary(self) -> bool:
        """Timed by a valve on the crank."""
        return self.kind == "rotary"

    @property
    def is_by_piston(self) -> bool:
        """An edge of the piston opens it: the crown, or, an intake, the skirt."""
        return self.is_by_crown or self.kind == "piston-port"

    @property
    def is_by_crown(self) -> bool:
        """The crown opens it at its roof, on the way down."""
        return self.kind in ("exhaust", "transfer")

    @property
    def opens_before_tdc(self) -> bool:
        """Its opening is counted back from TDC."""
        return self.kind in ("piston-port", "rotary")

    @property
    def area(self) -> float | None:
        """Of the window [mm2]: as given, else of its sides and corners; None if neither is known."""
        return self.area_mm2 if self.area_mm2 is not None else window_area(self.width, self.height, self.corner)


@dataclass(frozen=True, slots=True, kw_only=True)
class Engine(Checked):
    """Bore, stroke and rod [mm], the volume at top dead centre [cc], the flat band of the squish [mm], the ports.

    deck         how far the crown's edge stands below the deck at TDC [mm]; negative when it stands above
    skirt        from the crown's edge to the skirt's, on the exhaust side [mm]
    skirt_width  chord of the skirt where it passes the exhaust window [mm]
    ring_pin     where the ring's pin stands round the bore [deg]
    gauge_kpa    cranking pressure that a gauge showed
    ratio        a compression ratio that somebody stated, to be checked
    running      masses, sections and temperatures that replace the defaults of `profiles/squish.toml`
    """

    bore: Size
    stroke: Size | None = None
    rod: Size | None = None
    pin_offset: float = 0.0
    rpm: float | None = None
    chamber_cc: float | None = None
    squish_band: Size | None = None
    ports: tuple[PortTiming, ...] = ()
    blowdown: float | None = None
    deck: float = 0.0
    skirt: Size | None = None
    skirt_width: Size | None = None
    ring_pin: float | None = None
    altitude_m: float = 0.0
    gauge_kpa: float | None = None
    ratio: float | None = None
    running: tuple[tuple[str, float], ...] = ()
    blowdown_line: int = field(default=0, compare=False)

    def port(self, kind: str) -> PortTiming | None:
        """The first port of that kind."""
        return next((port for port in self.ports if port.kind == kind), None)


@dataclass(frozen=True, slots=True)
class Reading:
    """Solder squeezed at `at`: left and right lie on the pin axis, front is the exhaust side; or an angle, `30 deg`."""

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
    sealant: Range = (0.0, 0.0, 0.0)
    present_line: int = field(default=0, compare=False)
    line: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True)
class PortWork:
    """Port work: mm taken off the edge that times the port (a roof, or an intake's floor) or the duration wanted [deg],
    and mm added to the width."""

    port: str
    remove: float = 0.0
    widen: float = 0.0
    duration: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Clamp:
    """The bolts of the base joint: how many, size, class, torque [N m], torque coefficient, gasket area [mm2]; a base
    gasket that is drawn knows its area itself."""

    bolts: int
    size: str
    torque_nm: float
    area_mm2: float | None = None
    strength: str = "8.8"
    k: float = DRY_THREAD


Over = Literal["centres", "inside", "outside", "inside-outside", "outside-inside"]


@dataclass(frozen=True, slots=True)
class CaliperReading:
    """A caliper reading [mm] over two holes, or an edge and a hole, by name."""

    first: str
    second: str
    over: Over
    reading: Measured


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """Readings from which hole places follow.

    diameters  of the holes that were measured across, with their standard deviations [mm]
    edges      names that are straight edges of the part and not holes
    frame      the two holes at the origin and on +x; left: a hole on the left of the way from one to the other
    rough      places off a sketch, to decide between arrangements that fit as well
    """

    distances: tuple[CaliperReading, ...]
    diameters: tuple[tuple[str, Measured], ...] = ()
    edges: tuple[str, ...] = ()
    frame: tuple[str, str] | None = None
    left: str | None = None
    rough: tuple[tuple[str, Point], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordSpec:
    """What the build sheet is to say besides: date, what was measured with, fasteners (what, size, N m), remarks."""

    date: str | None = None
    tools: tuple[str, ...] = ()
    fasteners: tuple[tuple[str, str, float | None], ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Job(Checked):
    """Everything a job file says.

    units   in which its bare numbers stand, and in which it is answered first
    sure    keys whose unusual values are right: `sure = ["engine.bore"]`
    source  the file it came from
    text    of that file, so that a fault that is found later still shows its line
    """

    title: str
    units: Units = "mm"
    sure: tuple[str, ...] = ()
    parts: tuple[PartSpec, ...] = ()
    engine: Engine | None = None
    squish: SquishSpec | None = None
    stock: tuple[Stock, ...] = ()
    work: tuple[PortWork, ...] = ()
    clamp: Clamp | None = None
    measure: Measure | None = None
    record: RecordSpec = RecordSpec()
    cutting: CuttingSpec = CuttingSpec()
    layout: LayoutSpec | None = None
    topend: TopEnd = TopEnd()
    source: Path | None = field(default=None, compare=False)
    text: str = field(default="", compare=False, repr=False)

    @property
    def folder(self) -> Path | None:
        """Where the job's own profiles and drawings lie; None for a job that came from no file."""
        return self.source.parent if self.source else None

    def sheet(self, name: str | None) -> Stock | None:
        """The stock of that name."""
        return next((stock for stock in self.stock if stock.name == name), None)

    def part(self, name: str) -> PartSpec | None:
        """The part of that name."""
        return next((part for part in self.parts if part.name == name), None)

    @property
    def exhaust_mm2(self) -> float | None:
        """Area of the exhaust port's window, if the job knows it."""
        port = self.engine.port("exhaust") if self.engine else None
        return port.area if port else None

    def called(self) -> str:
        return str(self.source or "job")

    def refused(self, *found: tuple[KeyPath, str]) -> JobError:
        """The error to raise for what was found wrong once the job had been read, with its places in the text."""
        faults = Faults(self.text)
        for path, message in found:
            faults.add(path, message)
        return JobError(self.called(), faults.sorted())

    def problems(self) -> Iterator[Problem]:
        """What the parts of the job say of each other: names, sheets, originals, measured holes."""
        yield from self._sure()
        if self.clamp is not None and self.clamp.area_mm2 is None and not self.draws_base:
            yield ("clamp",), "'area_mm2' is missing; write e.g. area_mm2 = 1200, or draw the base gasket"
        yield from _same_names("part", [part.name for part in self.parts])
        yield from _same_names("stock", [sheet.name for sheet in self.stock])
        for number, part in enumerate(self.parts):
            yield from self._references(("part", number), part)

    @property
    def draws_base(self) -> bool:
        """Is the base gasket drawn, so that its area is known?"""
        return any(part.is_base and part.is_cut for part in self.parts)

    def _sure(self) -> Iterator[Problem]:
        ports = [f"engine.ports.{port.name}" for port in (self.engine.ports if self.engine else ())]
        known = [*USUAL, *(f"{port}.{key}" for port in ports for key in ("opens", "width"))]
        for number, name in enumerate(self.sure):
            if name not in known:
                yield ("sure", number), f"{name!r} has no usual range; {meant(name, known)}"

    def _references(self, at: KeyPath, part: PartSpec) -> Iterator[Problem]:
        measured = {end for one in (self.measure.distances if self.measure else ()) for end in (one.first, one.second)}
        for name in (name for holes in (*part.studs, *part.dowels, *part.holes) for name in holes.measured):
            if name not in measured:
                yield at, f"{name!r} is no hole of [measure]; known there: {', '.join(sorted(measured)) or 'none'}"
        stocks = [stock.name for stock in self.stock]
        if part.stock is not None and part.stock not in stocks:
            known = f"write one of {', '.join(stocks)}" if stocks else "add a [[stock]] with this name"
            yield (*at, "stock"), f"there is no stock {part.stock!r}; {known}"
        original = self.part(part.of) if part.of is not None else None
        if part.of is not None and (original is None or original.of is not None or not original.is_cut):
            known = ", ".join(other.name for other in self.parts if other.of is None and other.is_cut)
            yield (*at, "of"), f"{part.of!r} is no part with an outline of its own; write one of {known}"
        if part.needs_exhaust_port and self.exhaust_mm2 is None:
            message = "needs the exhaust port: add exhaust = { width = ..., height = ... } to [engine.ports]"
            yield (*at, "outlet", "percent"), message


def _same_names(section: str, names: list[str]) -> Iterator[Problem]:
    seen: dict[str, int] = {}
    for number, name in enumerate(names):
        # Case is folded because some file systems take 'Base' and 'base' for one file.
        first = seen.setdefault(name.casefold(), number)
        if name and first != number:
            yield (section, number, "name"), f"{name!r} is also the name of {section} {first + 1}"
