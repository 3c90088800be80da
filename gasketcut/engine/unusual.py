"""Numbers of a job that are possible and yet seldom met: each is asked for once, with the range that is usual."""

from __future__ import annotations

from collections.abc import Iterator

from gasketcut.described import Described, keys_of
from gasketcut.engine.ports.crank import Crank, crank_of
from gasketcut.engine.ports.timing import timing_at, travel_of
from gasketcut.engine.squish.compression import crankcase_ratio, ratio, swept_cc
from gasketcut.finding import Finding
from gasketcut.job.model import Engine, Job, PortTiming
from gasketcut.job.usual import Asked, numbers, unusual
from gasketcut.length import both
from gasketcut.parts.words.arc_roof import ArcRoof


def unusual_values(job: Job) -> Iterator[Finding]:
    """Every value outside its usual range, but for those of which the job is sure."""
    # A rod that is out of proportion is most often out of range by itself too: one question is enough.
    asked = [*_beside_others(job), *numbers(job)]
    seen: set[str] = set()
    for one in asked:
        key = one.says.partition(" = ")[0]
        if one.key not in job.sure and key not in seen and (found := unusual(one)):
            seen.add(key)
            yield found


def _beside_others(job: Job) -> Iterator[Asked]:
    """What is usual of a number goes by another one."""
    if job.engine is not None:
        yield from _engine(job.engine)
        crank = crank_of(job.engine)
        for port in job.engine.ports:
            yield from _port(port, job.engine, crank)
    for part in job.parts:
        for shape in part.shapes():
            if isinstance(shape, ArcRoof):
                says = f"part '{part.name}' has a roof of radius {both(shape.roof)} over {both(shape.top)}"
                yield from _beside(_key(ArcRoof, "roof"), "shape.arc-roof.roof", says, shape.roof / shape.top)


def _engine(engine: Engine) -> Iterator[Asked]:
    if engine.rod is not None and engine.stroke is not None:
        share = engine.rod / engine.stroke
        says = f"engine.rod = {both(engine.rod)} is {share:.2f} of the stroke of {both(engine.stroke)}"
        yield from _beside(_key(Engine, "rod"), "engine.rod", says, share)
    swept = swept_cc(engine)
    if engine.chamber_cc is not None and swept is not None:
        full = ratio(swept, engine.chamber_cc)
        says = (
            f"engine.chamber_cc = {engine.chamber_cc:g} under {swept:.1f} cc swept is a full-stroke ratio of {full:.1f}"
        )
        yield from _beside(_key(Engine, "chamber_cc"), "engine.chamber_cc", says, full)
    case = crankcase_ratio(engine)
    if case is not None and case.ratio is not None:
        says = f"engine.crankcase_cc = {case.cc:g} at {case.at} is a crankcase ratio of {case.ratio:.2f}"
        yield from _beside(_key(Engine, "crankcase_cc"), "engine.crankcase_cc", says, case.ratio)


def _port(port: PortTiming, engine: Engine, crank: Crank | None) -> Iterator[Asked]:
    key = f"engine.ports.{port.name}"
    name, value = ("travel", port.travel) if port.travel is not None else ("depth", port.depth)
    usual = _key(PortTiming, "duration").usual((port.kind,))
    if crank is not None and value is not None and usual is not None and port.is_by_piston:
        travel = travel_of(port, crank, engine.deck)
        if travel is not None and 0 <= travel < crank.full_travel:
            duration = timing_at(travel, crank, roof=port.is_by_crown).duration
            says = f"{key}.{name} = {both(value)} opens it for {duration:.1f} deg"
            yield Asked(f"{key}.{name}", says, duration, usual, "deg")
    if port.width is not None and engine.bore is not None:
        share = port.width / engine.bore
        says = f"{key}.width = {both(port.width)} is {share:.2f} of the bore of {both(engine.bore)}"
        yield from _beside(_key(PortTiming, "width"), f"{key}.width", says, share, port.kind)


def _key(cls: type, name: str) -> Described:
    return next(each for each in keys_of(cls) if each.name == name)


def _beside(each: Described, name: str, says: str, value: float, of: str = "") -> Iterator[Asked]:
    usual = each.usual_beside((of,) if of else ())
    if usual is not None:
        yield Asked(name, says, value, usual)
