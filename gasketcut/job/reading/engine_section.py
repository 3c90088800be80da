"""`[engine]`, `[[work]]` and `[clamp]` of a job file."""

from __future__ import annotations

from gasketcut.job.model import Clamp, Engine, PortTiming, PortWork
from gasketcut.parts.holes import DRY_THREAD
from gasketcut.pressure import BAR, PSI
from gasketcut.profile.fasteners import Fasteners
from gasketcut.profile.squish import read_running
from gasketcut.toml.table import Table

_KINDS = ("exhaust", "transfer", "piston-port", "reed", "rotary")
_KPA = {"gauge_psi": PSI, "gauge_bar": BAR, "gauge_kpa": 1.0}


def read_engine(table: Table) -> Engine:
    """`[engine]` with `[engine.ports]` and `[engine.running]`."""
    engine = table.built(
        Engine,
        bore=table.length("bore"),
        stroke=table.length_or_none("stroke"),
        rod=table.length_or_none("rod"),
        pin_offset=table.length("pin_offset", 0.0, signed=True),
        rpm=table.number("rpm", most=40_000),
        chamber_cc=table.number("chamber_cc", most=10_000),
        squish_band=table.length_or_none("squish_band"),
        ports=tuple(_read_port(name, port) for name, port in table.named_tables("ports")),
        blowdown=table.angle("blowdown"),
        deck=table.length("deck", 0.0, signed=True),
        skirt=table.length_or_none("skirt"),
        skirt_width=table.length_or_none("skirt_width"),
        ring_pin=table.angle("ring_pin"),
        altitude_m=table.number("altitude_m", least=-500, most=6000, above=False) or 0.0,
        gauge_kpa=_read_gauge(table),
        ratio=table.number("ratio", least=1.0, most=100.0),
        running=_read_running(table),
        blowdown_line=table.line_of("blowdown"),
    )
    _check_engine(table, engine)
    table.close()
    return engine


def read_work(table: Table) -> PortWork:
    """One `[[work]]`."""
    name = table.text("port")
    if name is None:
        table.missing("port", 'the port to work on, e.g. port = "exhaust"')
    if not any(key in table for key in ("remove", "widen", "duration")):
        table.missing("remove", 'e.g. remove = 0.5, widen = 1.0 or duration = "165 deg"')
    if "remove" in table and "duration" in table:
        table.fault("remove", "give what is taken off or the duration that is wanted, not both")
    work = PortWork(
        name or "",
        table.length("remove", 0.0, zero=True),
        table.length("widen", 0.0, zero=True),
        table.angle("duration"),
    )
    if work.duration is not None and not 0 < work.duration < 360:
        table.fault("duration", f"{work.duration:g} deg is no duration; write it between 0 and 360 deg")
    table.close()
    return work


def read_clamp(table: Table, fasteners: Fasteners) -> Clamp:
    """`[clamp]`."""
    torque, area = table.number("torque_nm", most=500), table.number("area_mm2", most=1e6)
    if torque is None and "torque_nm" not in table:
        table.missing("torque_nm", "e.g. torque_nm = 6.0")
    clamp = Clamp(
        bolts=table.whole("bolts", 4, most=40),
        size=table.word("size", fasteners.names),
        torque_nm=torque or 1.0,
        area_mm2=area,
        strength=table.word("class", ("8.8", "10.9", "12.9"), "8.8"),
        k=table.number("k", most=0.5) or DRY_THREAD,
    )
    table.close()
    return clamp


def _check_engine(table: Table, engine: Engine) -> None:
    if engine.stroke and engine.rod and engine.rod - abs(engine.pin_offset) <= engine.stroke / 2:
        table.fault("rod", f"a rod of {engine.rod:g} mm is shorter than the crank throw {engine.stroke / 2:g} mm")
    if engine.squish_band and engine.squish_band >= engine.bore / 2:
        table.fault("squish_band", f"a band {engine.squish_band:g} mm wide leaves no bowl in a bore of {engine.bore:g}")
    for port in engine.ports:
        if port.width and port.width >= engine.bore:
            table.fault("ports", f"port '{port.name}' is {port.width:g} mm wide in a bore of {engine.bore:g} mm")


def _read_gauge(table: Table) -> float | None:
    given = [key for key in _KPA if key in table]
    if len(given) > 1:
        table.fault(given[1], f"is given as {given[0]} already; keep one")
    values = {key: table.number(key, most=5000) for key in _KPA}
    return next((value * _KPA[key] for key, value in values.items() if value is not None), None)


def _read_running(table: Table) -> tuple[tuple[str, float], ...]:
    inner = table.table("running")
    return tuple(read_running(inner).items()) if inner is not None else ()


def _read_port(name: str, table: Table) -> PortTiming:
    default = "exhaust" if "exhaust" in name else "piston-port" if "intake" in name else "transfer"
    port = table.built(
        PortTiming,
        name=name,
        kind=table.word("kind", _KINDS, default),
        opens=table.angle("opens", length_key="travel"),
        duration=table.angle("duration"),
        travel=table.length_or_none("travel"),
        depth=table.length_or_none("depth"),
        width=table.length_or_none("width"),
        height=table.length_or_none("height"),
        corner=table.length("corner", 0.0, zero=True),
        area_mm2=table.number("area_mm2", most=1e6),
        floor=table.length_or_none("floor"),
        centre=table.angle("centre"),
        line=table.line,
    )
    if port.opens is not None and not 0 < port.opens < 180:
        table.fault("opens", f"{port.opens:g} deg is past bottom dead centre; write it from TDC, between 0 and 180 deg")
    if port.duration is not None and not 0 < port.duration < 360:
        table.fault("duration", f"{port.duration:g} deg is no duration; write it between 0 and 360 deg")
    if port.width and port.height and 2 * port.corner > min(port.width, port.height):
        table.fault("corner", f"{port.corner:g} is more than half the shorter side of the port")
    table.close()
    return port
