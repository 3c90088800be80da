"""`[engine]`, `[[work]]` and `[clamp]` of a job file, as frozen values."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import pi
from typing import Annotated, ClassVar, Literal

from gasketcut.checked import (
    Checked,
    Coordinate,
    Degrees,
    Duration,
    FromTdc,
    Limits,
    Margin,
    Size,
    SquareMillimetres,
    TorqueCoefficient,
    TorqueNm,
)
from gasketcut.described import Form, Usual, key
from gasketcut.parts.holes import DRY_THREAD
from gasketcut.profile.squish import Running
from gasketcut.results import OUTLET, PRESSURE, RING, SQUISH, STENCIL, TIMING, WHEEL

PLACES = {"right": 0.0, "front": 90.0, "left": 180.0, "rear": 270.0}
"""Degrees round the bore, seen from above: the exhaust is in front."""


def window_area(width: float | None, height: float | None, corner: float) -> float | None:
    """Area of a window with rounded corners [mm2], or None if a side is unknown."""
    return None if width is None or height is None else width * height - (4 - pi) * corner**2


PortKind = Literal["exhaust", "transfer", "piston-port", "reed", "rotary"]

Rpm = Annotated[float, Limits(0, 40_000, dimension="number", unit="rpm")]

CubicCentimetres = Annotated[float, Limits(0, 10_000, dimension="number", unit="cc")]

MetresOfAltitude = Annotated[float, Limits(-500, 6000, with_least=True, dimension="number", unit="m")]

Ratio = Annotated[float, Limits(1, 100, dimension="number", unit="")]


def _gauge(unit: str) -> Limits:
    return Limits(0, 5000, dimension="number", unit=unit)


@dataclass(frozen=True, slots=True, kw_only=True)
class PortTiming(Checked):
    """One port of the cylinder, by any of `opens`, `duration`, `travel` or `depth`."""

    name: str
    kind: PortKind = key(
        left_out="by its name: exhaust, transfer, or piston-port for an intake",
        what="what opens it: the piston's crown, its skirt, a reed or a valve on the crank",
        example='"piston-port"',
        helps=(TIMING,),
    )
    opens: FromTdc | None = key(
        None,
        what="degrees from top dead centre at which it opens (before it for an intake)",
        how='degree wheel; piston travel goes into travel, e.g. travel = "14.2 mm"',
        example='"103 deg"',
        usual=(Usual(95, 110, of="exhaust"), Usual(112, 125, of="transfer")),
        needed=(TIMING,),
        helps=(WHEEL,),
        agrees=("duration", "travel", "depth"),
    )
    duration: Duration | None = key(
        None,
        what="degrees for which it stands open",
        how="degree wheel, from opening to closing",
        example='"154 deg"',
        usual=(Usual(140, 170, of="exhaust"), Usual(110, 136, of="transfer")),
        helps=(TIMING, WHEEL),
        agrees=("opens", "travel", "depth"),
    )
    travel: Size | None = key(
        None,
        what="piston travel from top dead centre at which it opens",
        how="dial gauge or depth gauge on the crown, from top dead centre",
        example='"21.9 mm"',
        helps=(TIMING, WHEEL),
        agrees=("opens", "duration", "depth", "engine.stroke"),
    )
    depth: Size | None = key(
        None,
        what="from the deck down to its roof (an intake: to its floor)",
        how="depth gauge from the deck, the cylinder off",
        example="22.4",
        helps=(TIMING, WHEEL),
        agrees=("opens", "duration", "travel", "engine.deck"),
    )
    width: Size | None = key(
        None,
        what="width of the window, straight across",
        how="inside calipers straight across the window (chord)",
        example="26.0",
        rule="about 60 % of the bore",
        needed=(STENCIL,),
        helps=(OUTLET, TIMING),
        agrees=("area_mm2", "engine.bore"),
    )
    height: Size | None = key(
        None,
        what="height of the window",
        how="top to bottom of the window",
        example="11.0",
        needed=(STENCIL,),
        helps=(OUTLET,),
        agrees=("area_mm2",),
    )
    corner: Margin = key(
        0.0,
        what="radius of the window's corners",
        how="radius gauge or a drill's shank",
        example="3.0",
        helps=(OUTLET,),
    )
    area_mm2: SquareMillimetres | None = key(
        None,
        what="area of the window, where width and height do not give it",
        how="a print of the window on squared paper",
        example="280",
        helps=(OUTLET, TIMING),
        agrees=("width", "height"),
    )
    floor: Size | None = key(
        None,
        what="from the deck down to the window's lower edge",
        how="depth gauge from the deck, the cylinder off",
        example="47.0",
        helps=(STENCIL,),
    )
    centre: Degrees | None = key(
        None,
        what="where it stands round the bore: 0 deg is right, 90 deg in front",
        how="degree wheel on the deck, or the stud pattern",
        example='"90 deg"',
        usual=Usual(90, 90, of="exhaust"),
        needed=(STENCIL,),
    )
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
class Gauge:
    """Cranking pressure as the gauge's scale has it."""

    gauge_psi: Annotated[float, _gauge("psi")] | None = key(
        None,
        what="cranking pressure that a gauge showed",
        how="warm, throttle open, until it stops rising",
        example="150",
        usual=Usual(120, 180),
        needed=(PRESSURE,),
        agrees=("gauge_bar", "gauge_kpa"),
    )
    gauge_bar: Annotated[float, _gauge("bar")] | None = key(
        None,
        what="the same in bar",
        how="warm, throttle open, until it stops rising",
        example="10.3",
        usual=Usual(8.3, 12.4),
        helps=(PRESSURE,),
        agrees=("gauge_psi", "gauge_kpa"),
    )
    gauge_kpa: Annotated[float, _gauge("kPa")] | None = key(
        None,
        what="the same in kPa",
        how="warm, throttle open, until it stops rising",
        example="1030",
        usual=Usual(830, 1240),
        helps=(PRESSURE,),
        agrees=("gauge_psi", "gauge_bar"),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Engine(Checked):
    """Bore, stroke and rod, the volume at top dead centre, the flat band of the squish, the ports.

    gauge_kpa    cranking pressure that a gauge showed, as a difference to the air outside
    running      masses, sections and temperatures that replace the defaults of `profiles/squish.toml`
    """

    written: ClassVar[tuple[type, ...]] = (Gauge,)

    bore: Size = key(
        what="bore of the cylinder",
        how="inside, at the top where it is worn least",
        example="44.0",
        usual=Usual(30, 60),
        needed=(TIMING, STENCIL, RING, PRESSURE),
        agrees=("ports.width", "squish_band"),
    )
    stroke: Size | None = key(
        None,
        what="stroke of the piston",
        how="piston travel from TDC to BDC",
        example="34.0",
        usual=Usual(25, 50),
        needed=(TIMING, WHEEL),
        agrees=("rod", "ports.travel"),
    )
    rod: Size | None = key(
        None,
        what="connecting rod, centre to centre",
        how="inside of one eye to the outside of the other, less half of each",
        example="58.0",
        rule="1.6 to 2 times the stroke",
        needed=(TIMING, WHEEL),
        agrees=("stroke",),
    )
    pin_offset: Coordinate = key(
        0.0,
        what="how far the piston pin stands off the bore's middle, towards the exhaust above nothing",
        how="the piston's drawing, or a height gauge over the pin",
        example="0.5",
        usual=Usual(-2, 2),
        helps=(TIMING,),
    )
    rpm: Rpm | None = key(
        None,
        what="speed at work",
        how="for squish velocity and time-area",
        example="9500",
        usual=Usual(7000, 12000),
        helps=(TIMING,),
    )
    chamber_cc: CubicCentimetres | None = key(
        None,
        what="volume of the chamber at top dead centre, as assembled for the readings",
        how="burette through the plug hole, as assembled",
        example="6.2",
        rule="a sixth to a tenth of the swept volume",
        helps=(TIMING,),
        agrees=("ratio",),
    )
    squish_band: Size | None = key(
        None,
        what="width of the flat band of the head",
        how="radial width of the flat band of the head",
        example="6.4",
        helps=(TIMING,),
        agrees=("bore",),
    )
    ports: tuple[PortTiming, ...] = key(
        (),
        what="the ports of the cylinder, each by a name of your own",
        example='{ exhaust = { opens = "103 deg", width = 26.0, height = 11.0 } }',
        form=Form("named tables", of=PortTiming),
        helps=(TIMING,),
    )
    blowdown: FromTdc | None = key(
        None,
        what="degrees from exhaust opening to transfer opening that somebody stated, to be checked",
        how="degree wheel",
        example='"18 deg"',
        usual=Usual(14, 28),
        helps=(TIMING,),
        agrees=("ports.opens",),
    )
    deck: Coordinate = key(
        0.0,
        what="how far the crown's edge stands below the deck at TDC; negative when it stands above",
        how="depth gauge over the crown's edge at TDC",
        example="0.3",
        usual=Usual(-2, 2),
        helps=(TIMING,),
        agrees=("ports.depth",),
    )
    skirt: Size | None = key(
        None,
        what="from the crown's edge to the skirt's, on the exhaust side",
        how="calipers along the piston",
        example="42.0",
        helps=(TIMING,),
    )
    skirt_width: Size | None = key(
        None,
        what="chord of the skirt where it passes the exhaust window",
        how="calipers straight across the skirt",
        example="30.0",
        helps=(TIMING,),
        agrees=("ports.width",),
    )
    ring_pin: Degrees | None = key(
        None,
        what="where the ring's pin stands round the bore",
        how="as centre of a port: 0 deg is right, 90 deg in front",
        example='"270 deg"',
        helps=(STENCIL,),
    )
    altitude_m: MetresOfAltitude = key(
        0.0, what="height above the sea at which the pressure was taken", how="a map", example="450", helps=(PRESSURE,)
    )
    gauge_kpa: float | None = None
    ratio: Ratio | None = key(
        None,
        what="a compression ratio that somebody stated, to be checked",
        example="9.5",
        usual=Usual(6, 16),
        helps=(TIMING,),
        agrees=("chamber_cc",),
    )
    running: tuple[tuple[str, float], ...] = key(
        (),
        what="masses, sections and temperatures in place of the defaults of profiles/squish.toml",
        example="{ reciprocating_g = 180 }",
        form=Form("table", of=Running),
        helps=(SQUISH,),
    )
    blowdown_line: int = field(default=0, compare=False)

    def port(self, kind: str) -> PortTiming | None:
        """The first port of that kind."""
        return next((port for port in self.ports if port.kind == kind), None)


@dataclass(frozen=True, slots=True)
class PortWork(Checked):
    """Port work: what is taken off the edge that times the port (a roof, or an intake's floor), or the duration that is
    wanted; and what is added to the width."""

    port: str = key(what="the port to work on", example='"exhaust"', needed=(TIMING,), agrees=("engine.ports",))
    remove: Margin = key(
        0.0,
        what="taken off the edge that times the port",
        how="the paper stencil, or a height gauge",
        example="0.5",
        usual=Usual(0.1, 2),
        helps=(TIMING,),
        agrees=("duration",),
    )
    widen: Margin = key(
        0.0,
        what="added to the width",
        how="inside calipers straight across the window",
        example="1.0",
        usual=Usual(0.2, 4),
        helps=(TIMING,),
    )
    duration: Duration | None = key(
        None,
        what="the duration that is wanted",
        how="yours to choose",
        example='"165 deg"',
        usual=Usual(110, 190),
        helps=(TIMING,),
        agrees=("remove",),
    )


Strength = Literal["8.8", "10.9", "12.9"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Clamp(Checked):
    """The bolts of the base joint."""

    bolts: Annotated[int, Limits(1, 40, with_least=True, dimension="whole", unit="")] = key(
        4, what="how many bolts clamp the base joint", example="4", helps=(SQUISH,)
    )
    size: str = key(
        what="thread of the bolts",
        how="calipers over the thread, thread gauge",
        example='"M5"',
        form=Form("word"),
        needed=(SQUISH,),
        agrees=("part.studs.size",),
    )
    torque_nm: TorqueNm = key(
        what="torque of each bolt",
        how="torque wrench, the maker's figure",
        example="6.0",
        needed=(SQUISH,),
        agrees=("part.studs.torque_nm",),
    )
    area_mm2: SquareMillimetres = key(
        what="area of the base gasket", how="the report of make says it", example="1200", needed=(SQUISH,)
    )
    strength: Strength = key("8.8", name="class", what="strength class of the bolts", example='"8.8"', helps=(SQUISH,))
    k: TorqueCoefficient = key(
        DRY_THREAD,
        what="torque coefficient of the thread",
        example="0.2",
        usual=Usual(0.1, 0.3),
        helps=(SQUISH,),
    )
