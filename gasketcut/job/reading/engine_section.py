"""`[engine]`, `[[work]]` and `[clamp]` of a job file."""

from __future__ import annotations

from collections.abc import Mapping

from gasketcut.job.engine import Altitude, Clamp, Engine, Gauge
from gasketcut.job.ports import PortKind, PortTiming
from gasketcut.job.work import PortWork
from gasketcut.length import IN
from gasketcut.parts.reading import read_shape
from gasketcut.pressure import BAR, PSI
from gasketcut.profile.fasteners import Fasteners
from gasketcut.profile.squish import read_running
from gasketcut.toml.read import given, read
from gasketcut.toml.table import Table

_METRES = {"altitude_m": 1.0, "altitude_ft": 12 * IN / 1000}

_KPA = {"gauge_psi": PSI, "gauge_bar": BAR, "gauge_kpa": 1.0}


def read_engine(table: Table) -> Engine:
    """`[engine]` with `[engine.ports]` and `[engine.running]`."""
    engine = read(
        Engine,
        table,
        ports=tuple(_read_port(name, port) for name, port in table.named_tables("ports")),
        gauge_kpa=_read_gauge(table),
        altitude_m=_read_altitude(table),
        running=_read_running(table),
        said=table.names,
        blowdown_line=table.line_of("blowdown"),
    )
    _check_engine(table, engine)
    table.close()
    return engine


def read_work(table: Table) -> PortWork:
    """One `[[work]]`; what is missing at a flange its value says."""
    if "part" not in table and not any(key in table for key in ("remove", "widen", "duration")):
        table.missing("remove", 'e.g. remove = 0.5, widen = 1.0 or duration = "165 deg"')
    if "remove" in table and "duration" in table:
        table.fault("remove", "give what is taken off or the duration that is wanted, not both")
    to, (*_, number) = table.table("to", "round"), table.path
    work = read(PortWork, table, to=read_shape(to) if to else None, number=number if isinstance(number, int) else 0)
    if to is not None:
        to.close()
    table.close()
    return work


def read_clamp(table: Table, fasteners: Fasteners) -> Clamp:
    """`[clamp]`."""
    clamp = read(Clamp, table, size=table.word("size", fasteners.names), said=table.names)
    table.close()
    return clamp


def _check_engine(table: Table, engine: Engine) -> None:
    if engine.stroke and engine.rod and engine.rod - abs(engine.pin_offset) <= engine.stroke / 2:
        table.fault("rod", f"a rod of {engine.rod:g} mm is shorter than the crank throw {engine.stroke / 2:g} mm")
    if engine.bore is None:
        return
    if engine.squish_band and engine.squish_band >= engine.bore / 2:
        table.fault("squish_band", f"a band {engine.squish_band:g} mm wide leaves no bowl in a bore of {engine.bore:g}")
    for port in engine.ports:
        if port.width and port.width >= engine.bore:
            table.fault("ports", f"port '{port.name}' is {port.width:g} mm wide in a bore of {engine.bore:g} mm")


def _read_gauge(table: Table) -> float | None:
    return _in_one_unit(table, Gauge, _KPA)


def _read_altitude(table: Table) -> float:
    return _in_one_unit(table, Altitude, _METRES) or 0.0


def _in_one_unit(table: Table, keys: type, units: Mapping[str, float]) -> float | None:
    """One fact that may be written in any of several units, in the first of which it is kept."""
    said = [key for key in units if key in table]
    if len(said) > 1:
        table.fault(said[1], f"is given as {said[0]} already; keep one")
    return next((value * units[key] for key, value in given(keys, table).items()), None)


def _read_running(table: Table) -> tuple[tuple[str, float], ...]:
    inner = table.table("running")
    return tuple(read_running(inner).items()) if inner is not None else ()


def _read_port(name: str, table: Table) -> PortTiming:
    usual: PortKind = "exhaust" if "exhaust" in name else "piston-port" if "intake" in name else "transfer"
    said = {"kind": usual, **given(PortTiming, table)}
    port = table.built(PortTiming, name=name, line=table.line, **said)
    table.close()
    return port
