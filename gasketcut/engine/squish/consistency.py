"""What was entered twice must agree; if it does not, both readings are shown."""

from __future__ import annotations

from collections.abc import Iterator

from gasketcut.engine.assumptions import AGREE_DEG
from gasketcut.engine.ports.crank import Crank, crank_of
from gasketcut.engine.ports.timing import timing_at, travel_for_duration
from gasketcut.errors import Fault
from gasketcut.job.model import Engine, Job, PortTiming


def contradictions(job: Job) -> Iterator[Fault]:
    """One fault for each thing that cannot be, or is given twice and does not agree."""
    engine = job.engine
    if engine is None:
        return
    crank = crank_of(engine)
    for port in engine.ports:
        yield from _port(port, engine, crank)
    yield from _order(engine, crank)


def _port(port: PortTiming, engine: Engine, crank: Crank | None) -> Iterator[Fault]:
    key = f"engine.ports.{port.name}"
    readings = dict(_openings(port, engine, crank))
    if crank is not None:
        for _, travel in _heights(port, engine):
            if not 0 <= travel < crank.full_travel:
                message = f"opens {travel:.2f} mm below TDC, outside the stroke of {crank.full_travel:.2f} mm"
                yield Fault(port.line, key, message)
                return
    if readings and max(readings.values()) - min(readings.values()) > AGREE_DEG:
        said = "; ".join(f"{what} says it opens at {degrees:.1f} deg" for what, degrees in readings.items())
        yield Fault(port.line, key, f"does not agree with itself: {said}; keep the one you trust")


def _openings(port: PortTiming, engine: Engine, crank: Crank | None) -> Iterator[tuple[str, float]]:
    """Degrees from TDC at which the port opens, by each thing that was entered."""
    roof = port.is_by_crown
    if port.opens is not None:
        yield f"opens = {port.opens:g} deg", port.opens
    if port.duration is not None:
        plain = (360 - port.duration) / 2 if roof else port.duration / 2
        if crank is not None:
            plain = timing_at(travel_for_duration(port.duration, crank, roof=roof), crank, roof=roof).opens
        yield f"duration = {port.duration:g} deg", plain
    if crank is not None:
        for what, travel in _heights(port, engine):
            if 0 <= travel < crank.full_travel:
                yield what, timing_at(travel, crank, roof=roof).opens


def _heights(port: PortTiming, engine: Engine) -> Iterator[tuple[str, float]]:
    """Piston travel at which the port opens [mm], by each height that was entered."""
    if port.travel is not None:
        yield f"travel = {port.travel:g} mm", port.travel
    if port.depth is not None:
        yield f"depth = {port.depth:g} mm", port.depth - engine.deck


def _order(engine: Engine, crank: Crank | None) -> Iterator[Fault]:
    exhaust = engine.port("exhaust")
    first = next((degrees for _, degrees in _openings(exhaust, engine, crank)), None) if exhaust else None
    if first is None:
        return
    seconds = []
    for transfer in engine.ports:
        opens = next((degrees for _, degrees in _openings(transfer, engine, crank)), None)
        if not transfer.is_transfer or opens is None:
            continue
        seconds.append(opens)
        if opens < first:
            message = f"opens at {opens:.1f} deg, before the exhaust at {first:.1f} deg: burnt gas would go down it"
            yield Fault(transfer.line, f"engine.ports.{transfer.name}", message)
    if seconds and min(seconds) >= first and engine.blowdown is not None:
        second = min(seconds)
        if abs(second - first - engine.blowdown) > AGREE_DEG:
            message = (
                f"blowdown = {engine.blowdown:g} deg, but exhaust at {first:.1f} and transfer at {second:.1f} deg "
                f"give {second - first:.1f} deg; keep the one you trust"
            )
            yield Fault(engine.blowdown_line, "engine.blowdown", message)
