"""`[engine]` and `[squish]` of a job file."""

from __future__ import annotations

from gasketcut.job.model import Engine, PortTiming, Reading, SquishSpec
from gasketcut.job.table import Table
from gasketcut.length import Measured

PLACES = ("left", "right", "front", "rear")
_KINDS = ("exhaust", "transfer", "piston-port", "reed", "rotary")


def read_engine(table: Table) -> Engine:
    """`[engine]` with `[engine.ports]`."""
    engine = Engine(
        bore=table.length("bore"),
        stroke=table.length_or_none("stroke"),
        rod=table.length_or_none("rod"),
        pin_offset=table.length("pin_offset", 0.0, signed=True),
        rpm=table.number("rpm", most=40_000),
        chamber_cc=table.number("chamber_cc", most=10_000),
        squish_band=table.length_or_none("squish_band"),
        ports=tuple(_read_port(name, port) for name, port in table.named_tables("ports")),
    )
    if engine.stroke and engine.rod and engine.rod <= engine.stroke / 2:
        table.fault("rod", f"a rod of {engine.rod:g} mm is shorter than the crank throw {engine.stroke / 2:g} mm")
    if engine.squish_band and engine.squish_band >= engine.bore / 2:
        table.fault("squish_band", f"a band {engine.squish_band:g} mm wide leaves no bowl in a bore of {engine.bore:g}")
    table.close()
    return engine


def read_squish(table: Table) -> SquishSpec:
    """`[squish]`."""
    spec = SquishSpec(
        target=table.length("target"),
        least=table.length_or_none("least"),
        most=table.length_or_none("most"),
        gasket_present=table.measured("gasket_present", Measured(0.0), zero=True),
        solder=table.length_or_none("solder"),
        readings=tuple(_read_reading(reading) for reading in table.tables("readings")),
        measured=table.measured("measured") if "measured" in table else None,
    )
    if not spec.readings and spec.measured is None:
        table.missing("readings", 'e.g. readings = [{ at = "left", value = 0.95 }, { at = "right", value = 0.97 }]')
    if spec.readings and spec.measured is not None:
        table.fault("measured", "give the readings or their mean, not both")
    if spec.least is not None and spec.target < spec.least:
        table.fault("target", f"{spec.target:g} mm is under your own floor, least = {spec.least:g} mm")
    if spec.most is not None and spec.target > spec.most:
        table.fault("target", f"{spec.target:g} mm is over your own ceiling, most = {spec.most:g} mm")
    table.close()
    return spec


def _read_reading(table: Table) -> Reading:
    reading = Reading(table.word("at", PLACES), table.measured("value"))
    table.close()
    return reading


def _read_port(name: str, table: Table) -> PortTiming:
    default = "exhaust" if "exhaust" in name else "piston-port" if "intake" in name else "transfer"
    port = PortTiming(
        name=name,
        kind=table.word("kind", _KINDS, default),  # type: ignore[arg-type]  # word() returned one of _KINDS
        opens=table.angle("opens"),
        travel=table.length_or_none("travel"),
        width=table.length_or_none("width"),
        height=table.length_or_none("height"),
        corner=table.length("corner", 0.0, zero=True),
        area_mm2=table.number("area_mm2", most=1e6),
    )
    if port.opens is not None and not 0 < port.opens < 180:
        table.fault("opens", f"{port.opens:g} deg is past bottom dead centre; write it from TDC, between 0 and 180 deg")
    if port.width and port.height and 2 * port.corner > min(port.width, port.height):
        table.fault("corner", f"{port.corner:g} is more than half the shorter side of the port")
    table.close()
    return port
