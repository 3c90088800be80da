"""`[engine]` and `[clamp]` of a job file, as frozen values."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import inf
from typing import Annotated, ClassVar, Literal

from gasketcut.checked import (
    Checked,
    Coordinate,
    Degrees,
    FromTdc,
    Limits,
    Path,
    Size,
    SquareMillimetres,
    TorqueCoefficient,
    TorqueNm,
)
from gasketcut.described import PRESSURE, RING, SQUISH, STENCIL, TIMING, WHEEL, Form, Usual, key, keys_only
from gasketcut.job.ports import PortTiming
from gasketcut.length import Measured
from gasketcut.parts.holes import DRY_THREAD
from gasketcut.profile.squish import Running

Rpm = Annotated[float, Limits(0, 40_000, dimension="number", unit="rpm")]

CubicCentimetres = Annotated[float, Limits(0, 10_000, dimension="number", unit="cc")]

MetresOfAltitude = Annotated[float, Limits(-500, 6000, with_least=True, dimension="number", unit="m")]

FeetOfAltitude = Annotated[float, Limits(-1640, 19_685, with_least=True, dimension="number", unit="ft")]

CrankcaseAt = Literal["BDC", "TDC"]
"""Where the piston stood while the crankcase was filled."""

Ratio = Annotated[float, Limits(1, 100, dimension="number", unit="")]

Standing = Annotated[Measured, Limits(least=-inf, with_least=True)]
"""Millimetres to either side, and how sure."""


@dataclass(frozen=True, slots=True)
class DeckSaid:
    """One way in which the deck was said: its key, how messages name that, and how far the crown's edge stands below
    the deck at TDC [mm]."""

    key: Path
    says: str
    deck: Measured


def _gauge(unit: str) -> Limits:
    return Limits(0, 5000, dimension="number", unit=unit)


@keys_only
class Gauge:
    """Cranking pressure as the gauge's scale has it."""

    gauge_psi: Annotated[float, _gauge("psi")] | None = key(
        None,
        what="cranking pressure that a gauge showed",
        how="warm, throttle open, until it stops rising",
        example="150",
        usual=Usual(60, 250),
        needed=(PRESSURE,),
        agrees=("gauge_bar", "gauge_kpa"),
    )
    gauge_bar: Annotated[float, _gauge("bar")] | None = key(
        None,
        what="the same in bar",
        how="warm, throttle open, until it stops rising",
        example="10.3",
        usual=Usual(4, 17),
        helps=(PRESSURE,),
        agrees=("gauge_psi", "gauge_kpa"),
    )
    gauge_kpa: Annotated[float, _gauge("kPa")] | None = key(
        None,
        what="the same in kPa",
        how="warm, throttle open, until it stops rising",
        example="1030",
        usual=Usual(400, 1700),
        helps=(PRESSURE,),
        agrees=("gauge_psi", "gauge_bar"),
    )


@keys_only
class Altitude:
    """Height above the sea as a map or an altimeter has it."""

    altitude_m: MetresOfAltitude | None = key(
        None,
        left_out="at the sea",
        what="height above the sea at which the pressure was taken",
        how="a map",
        example="450",
        helps=(PRESSURE,),
        agrees=("altitude_ft",),
    )
    altitude_ft: FeetOfAltitude | None = key(
        None,
        left_out="at the sea",
        what="the same in feet",
        how="a map, an altimeter",
        example="1480",
        helps=(PRESSURE,),
        agrees=("altitude_m",),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Engine(Checked):
    """Bore, stroke and rod, the volume at top dead centre, the flat band of the squish, the ports.

    altitude_m   height above the sea at which the pressure was taken
    gauge_kpa    cranking pressure that a gauge showed, as a difference to the air outside
    deck_read    the deck as this table says it
    deck         the one that depths are counted with, from whichever way it was measured [mm] (`engine/deck.py`)
    running      masses, sections and temperatures that replace the defaults of `profiles/squish.toml`
    said         the keys that a file gave
    """

    written: ClassVar[tuple[type, ...]] = (Gauge, Altitude)

    bore: Size | None = key(
        None,
        what="bore of the cylinder",
        how="inside, at the top where it is worn least",
        example="44.0",
        usual=Usual(20, 100),
        needed=(TIMING, STENCIL, RING, PRESSURE),
        agrees=("ports.width", "squish_band"),
    )
    stroke: Size | None = key(
        None,
        what="stroke of the piston",
        how="piston travel from TDC to BDC",
        example="34.0",
        usual=Usual(15, 100),
        needed=(TIMING, WHEEL),
        agrees=("rod", "ports.travel"),
    )
    rod: Size | None = key(
        None,
        what="connecting rod, centre to centre",
        how="inside of one eye to the outside of the other, less half of each",
        example="58.0",
        usual=(Usual(25, 220), Usual(1.2, 2.5, per="of the stroke")),
        needed=(TIMING, WHEEL),
        agrees=("stroke",),
    )
    pin_offset: Coordinate = key(
        0.0,
        what="how far the piston pin stands off the bore's middle, towards the exhaust above nothing",
        how="the piston's drawing, or a height gauge over the pin",
        example="0.5",
        usual=Usual(-3, 3),
        helps=(TIMING,),
    )
    rpm: Rpm | None = key(
        None,
        what="speed at work",
        how="for squish velocity and time-area",
        example="9500",
        usual=Usual(2000, 20000),
        helps=(TIMING,),
    )
    chamber_cc: CubicCentimetres | None = key(
        None,
        what="volume of the chamber at top dead centre, as assembled for the readings",
        how="burette through the plug hole, as assembled",
        example="6.2",
        usual=Usual(5, 16, per="as a full-stroke ratio"),
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
        usual=Usual(8, 45),
        helps=(TIMING,),
        agrees=("ports.opens",),
    )
    deck_read: Standing | None = key(
        None,
        name="deck",
        what="how far the crown's edge stands below the deck at TDC; negative when it stands above",
        how="depth gauge from a bridge over the bore to the crown's edge, gasket_present in place",
        example="0.3",
        usual=Usual(-3, 3),
        helps=(TIMING,),
        agrees=("ports.depth", "squish.deck", "squish.protrusion", "squish.readings"),
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
    crankcase_cc: CubicCentimetres | None = key(
        None,
        what="volume of the crankcase below the piston, with the transfers' ways",
        how="burette through the intake, other ports closed, the piston held where crankcase_at says",
        example="118",
        usual=Usual(1.2, 1.8, "our choice round 1.3 to 1.6 (from memory)", per="as a crankcase ratio"),
        helps=(TIMING,),
        agrees=("crankcase_at",),
    )
    crankcase_at: CrankcaseAt | None = key(
        None,
        what="where the piston stood while the crankcase was filled: the two give very different ratios",
        how="crown at its lowest: BDC; at its highest: TDC",
        example='"BDC"',
        helps=(TIMING,),
        agrees=("crankcase_cc",),
    )
    altitude_m: MetresOfAltitude = 0.0
    gauge_kpa: float | None = None
    deck: float = 0.0
    ratio: Ratio | None = key(
        None,
        what="a compression ratio that somebody stated, to be checked",
        example="9.5",
        usual=Usual(5, 16),
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
    said: tuple[str, ...] = field(default=(), compare=False)
    blowdown_line: int = field(default=0, compare=False)

    @property
    def decks(self) -> tuple[DeckSaid, ...]:
        """The deck as this table says it."""
        return (DeckSaid(("engine", "deck"), "deck of [engine]", self.deck_read),) if self.deck_read is not None else ()

    def port(self, kind: str) -> PortTiming | None:
        """The first port of that kind."""
        return next((port for port in self.ports if port.kind == kind), None)


Strength = Literal["8.8", "10.9", "12.9"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Clamp(Checked):
    """The bolts of the base joint; `said` names the keys that a file gave."""

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
    area_mm2: SquareMillimetres | None = key(
        None, what="area of the base gasket, where none is drawn", how="the report of make says it", example="1200",
        helps=(SQUISH,), agrees=("part",),
    )  # fmt: skip
    strength: Strength = key("8.8", name="class", what="strength class of the bolts", example='"8.8"', helps=(SQUISH,))
    k: TorqueCoefficient = key(
        DRY_THREAD,
        what="torque coefficient of the thread",
        example="0.2",
        usual=Usual(0.08, 0.35),
        helps=(SQUISH,),
    )
    said: tuple[str, ...] = field(default=(), compare=False)
