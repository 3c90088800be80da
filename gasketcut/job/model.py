"""What a job file says, as frozen values: mm, degrees and cc, whatever units the file used.

Window    something in the metal that the sheet must not cover: a port or a passage.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from gasketcut.job.cutting import CuttingSpec, LayoutSpec
from gasketcut.job.topend import TopEnd
from gasketcut.length import Measured
from gasketcut.parts.shapes import Outline, Placed, Shape
from gasketcut.plane import Point

Range = tuple[float, float, float]
"""Least, likely, most [mm]."""

PLACES = {"right": 0.0, "front": 90.0, "left": 180.0, "rear": 270.0}
"""Degrees round the bore, seen from above: the exhaust is in front."""

DRY_THREAD = 0.2
"""Torque coefficient of a dry thread, counted where the job says none (a fastener chart's notes)."""

Kind = Literal[
    "base", "intake", "exhaust", "outlet", "spacer", "blank", "flat", "joint", "screen", "frame", "deflector"
]
Role = Literal["port", "passage"]


@dataclass(frozen=True, slots=True)
class Holes:
    """Equal holes.

    diameter   of a round hole, or the width of a slot
    stud       diameter of what goes through, if it is known
    length     over all, of a slot lying in the direction `turn`; None for a round hole
    tolerance  how far the stud itself may stand off its place, any way [mm]
    face       of which face of the metal they are; None: they are the sheet's own and are cut
    torque_nm  of each bolt, with its torque coefficient k
    measured   names of holes in `[measure]` whose places these are; `at` then comes from there
    """

    at: tuple[Point, ...]
    diameter: float
    stud: float | None = None
    size: str | None = None
    length: float | None = None
    turn: float = 0.0
    tolerance: float = 0.0
    face: str | None = None
    torque_nm: float | None = None
    k: float = DRY_THREAD
    measured: tuple[str, ...] = ()


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
    """One `[[part]]`.

    none            passages of the joint that this engine does not have
    flow            the faces in the order in which the gas meets them
    growth_percent  by which the sheet may have grown (heat, humidity) when it is fitted
    nick            cut a small mark into the edge that tells which face is up
    lap             by which a screen or a deflector reaches beyond the outlet's openings [mm]
    reach           of a deflector from its bend, over the gas [mm]; its foot, with the holes, is `foot` deep
    """

    name: str
    kind: Kind
    outline: Outline | None = None
    opening: Placed | None = None
    studs: tuple[Holes, ...] = ()
    dowels: tuple[Holes, ...] = ()
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
    none: tuple[str, ...] = ()
    flow: tuple[str, ...] = ()
    growth_percent: float = 0.0
    nick: bool = False
    lap: float = 4.0
    reach: float = 20.0
    foot: float = 12.0
    line: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """A sheet on the shelf.

    thickness  nominal, as bought [mm]
    fitted     least, likely, most when clamped [mm], if measured
    used       thickness of a used gasket of this sheet [mm], if measured
    sheets     how many layers of it may be used in one stack
    material   a material of `profiles/sheets.toml`, or None
    size       of the whole sheet [mm], or None
    joints     the kinds of part it may be used for; empty: any
    is_spacer  metal that needs a gasket on either face
    """

    name: str
    thickness: float
    fitted: Range | None = None
    used: Measured | None = None
    sheets: int = 3
    material: str | None = None
    size: Point | None = None
    joints: tuple[str, ...] = ()
    is_spacer: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PortTiming:
    """One port of the cylinder, by any of: `opens`, degrees from TDC (before it for an intake); `duration`, degrees;
    `travel` of the piston from TDC [mm]; `depth` of its roof (an intake: of its floor) from the deck [mm].

    width, height, corner  of the window, as chord and along the bore [mm]
    floor                  from the deck down to the window's lower edge [mm]
    centre                 where it stands round the bore [deg]
    """

    name: str
    kind: Literal["exhaust", "transfer", "piston-port", "reed", "rotary"]
    opens: float | None = None
    duration: float | None = None
    travel: float | None = None
    depth: float | None = None
    width: float | None = None
    height: float | None = None
    corner: float = 0.0
    area_mm2: float | None = None
    floor: float | None = None
    centre: float | None = None
    line: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Engine:
    """Bore, stroke and rod [mm], the volume at top dead centre [cc], the flat band of the squish [mm], the ports.

    deck         how far the crown's edge stands below the deck at TDC [mm]; negative when it stands above
    skirt        from the crown's edge to the skirt's, on the exhaust side [mm]
    skirt_width  chord of the skirt where it passes the exhaust window [mm]
    ring_pin     where the ring's pin stands round the bore [deg]
    gauge_kpa    cranking pressure that a gauge showed
    ratio        a compression ratio that somebody stated, to be checked
    running      masses, sections and temperatures that replace the defaults of `profiles/squish.toml`
    """

    bore: float
    stroke: float | None = None
    rod: float | None = None
    pin_offset: float = 0.0
    rpm: float | None = None
    chamber_cc: float | None = None
    squish_band: float | None = None
    ports: tuple[PortTiming, ...] = ()
    blowdown: float | None = None
    deck: float = 0.0
    skirt: float | None = None
    skirt_width: float | None = None
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
    """The bolts of the base joint: how many, size, class, torque [N m], torque coefficient, gasket area [mm2]."""

    bolts: int
    size: str
    torque_nm: float
    area_mm2: float
    strength: str = "8.8"
    k: float = DRY_THREAD


Over = Literal["centres", "inside", "outside", "inside-outside", "outside-inside"]


@dataclass(frozen=True, slots=True)
class Distance:
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

    distances: tuple[Distance, ...]
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
class Job:
    """Everything a job file says; `source` is the file it came from."""

    title: str
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

    def sheet(self, name: str | None) -> Stock | None:
        """The stock of that name."""
        return next((stock for stock in self.stock if stock.name == name), None)
