"""What a base thickness does to the engine: volumes, ratios, ports, squish velocity, before and after."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gasketcut.engine.ports.crank import Crank, crank_of
from gasketcut.engine.ports.timing import (
    Timing,
    angle_area,
    specific_time_area,
    time_area,
    timing_at,
    travel_of,
)
from gasketcut.engine.squish.band import share_of, squish_velocity
from gasketcut.engine.squish.compression import POLYTROPIC, atmosphere_kpa, disc_cc, gauge_kpa, ratio
from gasketcut.job.model import Engine, PortTiming


@dataclass(frozen=True, slots=True)
class TimeArea:
    """Time-area of a port at the job's speed [s mm2] and for each cc swept [s/m]."""

    whole: float
    specific: float


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
    velocity: float | None = None
    ports: dict[str, Timing]
    areas: dict[str, TimeArea]
    blowdown: float | None = None
    blowdown_area: TimeArea | None = None
    skirt_cover: float | None = None
    plus_minus: State | None = None


def swept_cc(engine: Engine) -> float | None:
    """From TDC to BDC [cc]: by the piston's own travel where rod and offset are known, else by the stroke."""
    crank = crank_of(engine)
    height = crank.full_travel if crank else engine.stroke
    return None if height is None or engine.bore is None else disc_cc(engine.bore, height)


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
    ports = _ports(engine, crank, raised) if crank else {}
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
    areas = {
        port.name: found
        for port in engine.ports
        if (found := _area(port, ports.get(port.name), crank, engine)) is not None
    }
    return State(
        fitted=fitted,
        squish=squish,
        chamber_cc=chamber,
        full_stroke=ratio(swept, chamber) if chamber and swept else None,
        trapped=trapped,
        gauge_kpa=_gauge(trapped, engine) if trapped else None,
        velocity=_velocity(engine, crank, squish, chamber),
        ports=ports,
        areas=areas,
        blowdown=blowdown,
        blowdown_area=_blowdown_area(engine, ports, crank),
        skirt_cover=_skirt_cover(engine, raised),
    )


def read_otherwise(engine: Engine | None, state: State, squish: float) -> State:
    """The same engine had its squish been read otherwise [mm]: nothing has moved, so all but its velocity stays."""
    velocity = _velocity(engine, crank_of(engine), squish, state.chamber_cc) if engine else None
    return replace(state, squish=squish, velocity=velocity)


def _ports(engine: Engine, crank: Crank, raised: float) -> dict[str, Timing]:
    """Each port by name. Raising the cylinder brings every edge nearer to TDC by as much."""
    found = {}
    for port in engine.ports:
        travel = travel_of(port, crank, engine.deck)
        if travel is not None and port.is_by_piston:
            if not 0 <= travel - raised < crank.full_travel:
                raise ValueError(
                    f"with this gasket port '{port.name}' would open {travel - raised:.2f} mm below TDC, "
                    f"outside the stroke of {crank.full_travel:.2f} mm"
                )
            found[port.name] = timing_at(travel - raised, crank, roof=port.is_by_crown)
    return found


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


def _velocity(engine: Engine, crank: Crank | None, squish: float, chamber: float | None) -> float | None:
    if crank is None or engine.rpm is None or engine.bore is None or squish <= 0:
        return None
    if engine.squish_band is None or chamber is None:
        return None
    share = share_of(engine.bore, engine.squish_band)
    return squish_velocity(crank, engine.bore, share, squish, chamber, engine.rpm)


def _gauge(trapped: float, engine: Engine) -> tuple[float, float]:
    air = atmosphere_kpa(engine.altitude_m)
    low, high = (gauge_kpa(trapped, exponent, air) for exponent in POLYTROPIC)
    return low, high


def _area(port: PortTiming, timing: Timing | None, crank: Crank | None, engine: Engine) -> TimeArea | None:
    if timing is None or crank is None or not port.is_by_crown:
        return None
    return time_area_of(engine, crank, (port.width, port.height), timing.travel)


def _blowdown_area(engine: Engine, ports: dict[str, Timing], crank: Crank | None) -> TimeArea | None:
    exhaust, until = engine.port("exhaust"), _first_transfer(engine, ports)
    if crank is None or until is None or exhaust is None or exhaust.name not in ports:
        return None
    return time_area_of(engine, crank, (exhaust.width, exhaust.height), ports[exhaust.name].travel, until)


def time_area_of(
    engine: Engine,
    crank: Crank,
    window: tuple[float | None, float | None],
    top: float,
    until: float | None = None,
) -> TimeArea | None:
    """Time-area of a roof port at the job's speed; None without a speed or a width.

    window : width and height [mm]; a height that is not known is taken down to BDC
    top    : travel at which the roof opens [mm]
    until  : degrees after TDC at which to stop counting, or None for the whole opening
    """
    width, height = window
    swept = swept_cc(engine)
    if width is None or engine.rpm is None or swept is None or top < 0:
        return None
    reach = crank.full_travel - top if height is None else height
    whole = time_area(angle_area(crank, width, reach, top, until), engine.rpm)
    return TimeArea(whole, specific_time_area(whole, swept))


def _skirt_cover(engine: Engine, raised: float) -> float | None:
    """How far the skirt still covers the exhaust floor at TDC [mm]; below zero it uncovers it.

    Source: geometry: (crown to skirt) + (deck to crown at TDC) - (deck to floor).
    """
    exhaust = engine.port("exhaust")
    if engine.skirt is None or exhaust is None or exhaust.floor is None:
        return None
    return engine.skirt + engine.deck + raised - exhaust.floor
