"""What a base thickness does to the engine: volumes, ratios, ports, squish velocity, before and after."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gasketcut.engine.ports.crank import Crank, crank_of
from gasketcut.engine.ports.time_area import TimeArea, blowdown_area, time_areas
from gasketcut.engine.ports.timing import Timing, heights_of, timed_ports
from gasketcut.engine.squish.band import SquishVelocity, share_of, squish_velocity
from gasketcut.engine.squish.compression import POLYTROPIC, atmosphere_kpa, disc_cc, gauge_kpa, ratio, swept_cc
from gasketcut.job.model import Engine


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """The engine with one base thickness. None where the job does not say enough.

    plus_minus   how sure each figure is, as a state of half widths at LEVEL; None where nobody asked
    """

    fitted: float
    squish: float
    chamber_cc: float | None = None
    full_stroke: float | None = None
    trapped: float | None = None
    gauge_kpa: tuple[float, float] | None = None
    velocity: SquishVelocity | None = None
    squish_share: float | None = None
    ports: dict[str, Timing]
    areas: dict[str, TimeArea]
    blowdown: float | None = None
    blowdown_area: TimeArea | None = None
    skirt_cover: float | None = None
    plus_minus: State | None = None


def state_of(engine: Engine | None, fitted: float, squish: float, raised: float) -> State:
    """The engine with that base thickness.

    fitted : thickness under the cylinder [mm]; below zero: so much metal is off the base
    squish : clearance it gives [mm]
    raised : how much higher the cylinder stands than when the ports and the chamber were measured [mm]

    Raise `ValueError` if the chamber or a port does not survive it.
    """
    crank = crank_of(engine) if engine else None
    if engine is None:
        return State(fitted=fitted, squish=squish, ports={}, areas={})
    ports = timed_ports(engine, crank, raised) if crank else {}
    exhaust = engine.port("exhaust")
    second = _first_transfer(engine, ports)
    blowdown = None
    if exhaust and second is not None and exhaust.name in ports:
        blowdown = second - ports[exhaust.name].opens
    chamber = _chamber(engine, raised)
    swept = swept_cc(engine)
    trapped = None
    if chamber and engine.bore and exhaust and exhaust.name in ports:
        trapped = ratio(disc_cc(engine.bore, ports[exhaust.name].travel), chamber)
    return State(
        fitted=fitted,
        squish=squish,
        chamber_cc=chamber,
        full_stroke=ratio(swept, chamber) if chamber and swept else None,
        trapped=trapped,
        gauge_kpa=_gauge(trapped, engine) if trapped else None,
        velocity=_velocity(engine, crank, squish, chamber),
        squish_share=_squish_share(engine),
        ports=ports,
        areas=time_areas(engine, crank, ports),
        blowdown=blowdown,
        blowdown_area=blowdown_area(engine, crank, ports),
        skirt_cover=_skirt_cover(engine, crank, raised),
    )


def read_otherwise(engine: Engine | None, state: State, squish: float) -> State:
    """The same engine had its squish been read otherwise [mm]: nothing has moved, so all but its velocity stays."""
    velocity = _velocity(engine, crank_of(engine), squish, state.chamber_cc) if engine else None
    return replace(state, squish=squish, velocity=velocity)


def _first_transfer(engine: Engine, ports: dict[str, Timing]) -> float | None:
    """Degrees at which the first of the transfers opens."""
    return min(
        (ports[port.name].opens for port in engine.ports if port.is_transfer and port.name in ports),
        default=None,
    )


def _chamber(engine: Engine, raised: float) -> float | None:
    if engine.chamber_cc is None or engine.bore is None:
        return None
    chamber = engine.chamber_cc + disc_cc(engine.bore, raised)
    if chamber <= 0:
        raise ValueError(f"lowering the cylinder by {-raised:.2f} mm leaves no chamber")
    return chamber


def _velocity(engine: Engine, crank: Crank | None, squish: float, chamber: float | None) -> SquishVelocity | None:
    if crank is None or engine.rpm is None or engine.bore is None or squish <= 0:
        return None
    share = _squish_share(engine)
    if share is None or chamber is None:
        return None
    return squish_velocity(crank, engine.bore, share, squish, chamber, engine.rpm)


def _squish_share(engine: Engine) -> float | None:
    """Of the bore's area that the band covers."""
    return share_of(engine.bore, engine.squish_band) if engine.bore and engine.squish_band else None


def _gauge(trapped: float, engine: Engine) -> tuple[float, float]:
    air = atmosphere_kpa(engine.altitude_m)
    low, high = (gauge_kpa(trapped, exponent, air) for exponent in POLYTROPIC)
    return low, high


def _skirt_cover(engine: Engine, crank: Crank | None, raised: float) -> float | None:
    """How far the skirt still covers the exhaust floor at TDC [mm]; below zero it uncovers it.

    Source: geometry: (crown to skirt) + (deck to crown at TDC) - (deck to floor).
    """
    exhaust = engine.port("exhaust")
    floor = heights_of(exhaust, crank, engine.deck)[1] if exhaust is not None else None
    if engine.skirt is None or floor is None:
        return None
    return engine.skirt + engine.deck + raised - floor
