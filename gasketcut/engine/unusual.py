"""Numbers of a job that are possible and yet seldom met: each is asked for once, with the range that is usual."""

from __future__ import annotations

from collections.abc import Iterator

from gasketcut.engine.ports.crank import Crank, crank_of
from gasketcut.engine.ports.timing import timing_at, travel_of
from gasketcut.engine.squish.compression import ratio
from gasketcut.engine.squish.effects import swept_cc
from gasketcut.finding import Finding
from gasketcut.job.model import Engine, Job, PortTiming, SquishSpec
from gasketcut.job.usual import OPEN_FOR, ROD_ALONE, USUAL, WIDE, Usual, unusual
from gasketcut.length import both
from gasketcut.parts.words.arc_roof import ArcRoof

Value = tuple[str, str, float, Usual]
"""A key, what it says in words, its number, and what is usual."""


def unusual_values(job: Job) -> Iterator[Finding]:
    """Every value outside its usual range, but for those of which the job is sure."""
    for key, says, value, usual in _values(job):
        if key not in job.sure and (found := unusual(key, says, value, usual)):
            yield found


def _values(job: Job) -> Iterator[Value]:
    if job.engine is not None:
        yield from _engine(job.engine)
        crank = crank_of(job.engine)
        for port in job.engine.ports:
            yield from _port(port, job.engine, crank)
    if job.squish is not None:
        yield from _squish(job.squish)
    for sheet in job.stock:
        says = f"stock '{sheet.name}' is {both(sheet.thickness, 3)} thick"
        yield "stock.thickness", says, sheet.thickness, USUAL["stock.thickness"]
    for part in job.parts:
        for holes in part.studs:
            if holes.stud is not None:
                says = f"part '{part.name}' has studs of {both(holes.stud)}"
                yield "part.studs", says, holes.stud, USUAL["part.studs"]
        for shape in part.shapes():
            if isinstance(shape, ArcRoof):
                says = f"part '{part.name}' has a roof of radius {both(shape.roof)} over {both(shape.top)}"
                yield "part.roof", says, shape.roof / shape.top, USUAL["part.roof"]


def _engine(engine: Engine) -> Iterator[Value]:
    lengths = (("bore", engine.bore), ("stroke", engine.stroke), ("deck", engine.deck))
    for name, value in lengths:
        if value is not None:
            yield _length(f"engine.{name}", value)
    if engine.rod is not None and engine.stroke is not None:
        share = engine.rod / engine.stroke
        says = f"engine.rod = {both(engine.rod)} is {share:.2f} of the stroke of {both(engine.stroke)}"
        yield "engine.rod", says, share, USUAL["engine.rod"]
    elif engine.rod is not None:
        yield "engine.rod", f"engine.rod = {both(engine.rod)}", engine.rod, ROD_ALONE
    if engine.rpm is not None:
        yield "engine.rpm", f"engine.rpm = {engine.rpm:g}", engine.rpm, USUAL["engine.rpm"]
    swept = swept_cc(engine)
    if engine.chamber_cc is not None and swept is not None:
        full = ratio(swept, engine.chamber_cc)
        says = (
            f"engine.chamber_cc = {engine.chamber_cc:g} under {swept:.1f} cc swept is a full-stroke ratio of {full:.1f}"
        )
        yield "engine.chamber_cc", says, full, USUAL["engine.chamber_cc"]


def _port(port: PortTiming, engine: Engine, crank: Crank | None) -> Iterator[Value]:
    key = f"engine.ports.{port.name}"
    open_for, wide = OPEN_FOR.get(port.kind), WIDE.get(port.kind)
    duration = _duration(port, engine, crank)
    if open_for is not None and duration is not None:
        says = f"port '{port.name}' is open for {duration:.1f} deg"
        if port.is_by_crown and port.opens is not None and port.opens < 90 and crank is not None:
            says += f"; opens = {port.opens:g} deg counts from top dead centre"
        yield f"{key}.opens", says, duration, open_for
    if wide is not None and port.width is not None:
        share = port.width / engine.bore
        says = f"port '{port.name}' is {both(port.width)} wide, {share:.2f} of the bore of {both(engine.bore)}"
        yield f"{key}.width", says, share, wide


def _duration(port: PortTiming, engine: Engine, crank: Crank | None) -> float | None:
    """How long it is open [deg]; without a crank only what angles say."""
    if crank is None:
        opens = port.opens
        plain = None if opens is None else 360 - 2 * opens if port.is_by_crown else 2 * opens
        return port.duration if port.duration is not None else plain
    travel = travel_of(port, crank, engine.deck)
    if travel is None or not 0 <= travel < crank.full_travel:
        return None
    return timing_at(travel, crank, roof=port.is_by_crown).duration


def _squish(squish: SquishSpec) -> Iterator[Value]:
    lengths = {"target": squish.target, "solder": squish.solder, "gasket_present": squish.gasket_present.value}
    for name, value in lengths.items():
        if value is not None:
            yield _length(f"squish.{name}", value)
    for reading in squish.readings:
        says = f"squish.readings: {both(reading.value.value)} at {reading.at}"
        yield "squish.readings", says, reading.value.value, USUAL["squish.readings"]
    if squish.measured is not None:
        yield _length("squish.measured", squish.measured.value)


def _length(key: str, value: float) -> Value:
    return key, f"{key} = {both(value)}", value, USUAL[key]
