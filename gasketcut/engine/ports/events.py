"""What passes a degree wheel's pointer: ports that open and close, and the piston's travel, at their angles from TDC.

Turn   degrees from TDC, after it positive and before it negative, from -180 to 180.
Old    as the job measured it; new: after the other gasket and the `[[work]]`, None where neither is asked for.
Stop   something in the plug hole that the piston meets on both strokes; TDC lies between the two readings.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from gasketcut.engine.ports.crank import Crank
from gasketcut.engine.ports.port_change import PortChange, port_changes
from gasketcut.engine.ports.timing import travel_of
from gasketcut.engine.ports.worked import with_work
from gasketcut.engine.squish.remarks import exceeded
from gasketcut.engine.squish.result import SquishResult
from gasketcut.errors import Fault, GasketError, IncompleteError, Lack
from gasketcut.finding import Finding
from gasketcut.job.model import Engine, Job, PortTiming


@dataclass(frozen=True, slots=True)
class Event:
    """A port's opening or closing: turns [deg] and piston travel [mm], old and new; a rotary valve has no travel."""

    port: str
    what: Literal["opens", "closes"]
    old: float
    new: float | None = None
    old_travel: float | None = None
    new_travel: float | None = None


def need_crank(job: Job) -> tuple[Engine, Crank]:
    """Engine and crank of the job; raise `IncompleteError` with the lines to add if it does not say enough for one."""
    engine = job.engine
    if engine is None:
        words = "has no [engine]; add [engine] with bore, stroke and rod, e.g. stroke = 34.0"
        raise _lacking(job, "stroke", words)
    if not engine.stroke:
        words = "[engine] has no stroke; add the line stroke = 34.0 with yours in place of 34.0"
        raise _lacking(job, "stroke", words)
    if not engine.rod:
        words = "[engine] has no rod; add the line rod = 58.0 with yours in place of 58.0, from the middle of the"
        raise _lacking(job, "rod", f"{words} big end to the middle of the small end")
    return engine, Crank(engine.stroke, engine.rod, engine.pin_offset)


def _lacking(job: Job, key: str, words: str) -> IncompleteError:
    return IncompleteError(job.called(), (Fault(0, "", Lack(f"engine.{key}", words)),))


def work_of(job: Job, answer: SquishResult | None) -> dict[str, PortChange]:
    """The port work by port; raise `GasketError` for work that cannot be."""
    try:
        done = answer.work if answer is not None else port_changes(job, 0.0)
    except ValueError as error:
        raise GasketError(f"{job.source or 'job'}: [[work]]: {error}") from error
    return {one.port: one for one in done}


def exceeded_goals(job: Job, answer: SquishResult | None) -> Iterator[Finding]:
    """Durations that are wanted and exceeded already; what cannot be worked on at all the wheel and the stencil say."""
    try:
        done = work_of(job, answer)
    except GasketError:
        return
    for one in done.values():
        yield from exceeded(one)


def events(job: Job, answer: SquishResult | None) -> tuple[Event, ...]:
    """Every event of the ports whose timing the job gives, port by port; raise `GasketError` as `need_crank` does."""
    engine, crank = need_crank(job)
    after = _after(job, engine, crank, answer)
    return tuple(event for port in engine.ports for event in _of_port(port, engine, crank, after, job))


def _after(job: Job, engine: Engine, crank: Crank, answer: SquishResult | None) -> dict[str, float]:
    """Travel at which each port opens once everything planned is done [mm]; only of ports that anything is done to."""
    if answer is not None:
        return {name: timing.travel for name, timing in answer.after.ports.items()}
    done = work_of(job, None)
    worked = with_work(engine, done.values()).ports
    travels = {port.name: travel_of(port, crank, engine.deck) for port in worked if port.name in done}
    return {name: travel for name, travel in travels.items() if travel is not None}


def _of_port(port: PortTiming, engine: Engine, crank: Crank, after: dict[str, float], job: Job) -> Iterator[Event]:
    if port.is_rotary and port.opens is not None:
        yield Event(port.name, "opens", -port.opens)
        if port.duration is not None:
            yield Event(port.name, "closes", port.duration - port.opens)
    if not port.is_by_piston:
        return
    old = travel_of(port, crank, engine.deck)
    if old is None:
        return
    new = after.get(port.name)
    try:
        first = turns(old, crank, roof=port.is_by_crown)
        then = turns(new, crank, roof=port.is_by_crown) if new is not None else (None, None)
    except ValueError as error:
        raise GasketError(f"{job.source or 'job'}:{port.line}: port '{port.name}': {error}") from error
    yield Event(port.name, "opens", first[0], then[0], old, new)
    yield Event(port.name, "closes", first[1], then[1], old, new)


def turns(travel: float, crank: Crank, *, roof: bool) -> tuple[float, float]:
    """Where a port with its edge at that travel opens and closes [deg from TDC]; an offset makes the strokes differ.

    >>> [round(turn, 1) for turn in turns(33.0, Crank(57.0, 110.0), roof=True)]
    [91.5, -91.5]
    """
    after, before = crank.after(travel), crank.before(travel)
    return (after, -before) if roof else (-before, after)
