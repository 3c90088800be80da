"""Port work: a roof raised, a window widened, or a duration wanted, and what each does."""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, pi

from gasketcut.engine.assumptions import OPENED, SAME_DEGREES, WIDTH_LIMIT, WIDTH_START
from gasketcut.engine.ports.crank import crank_of
from gasketcut.engine.ports.timing import timing_at, travel_for_duration, travel_of
from gasketcut.engine.ports.worked import TakenOff, edge_of, with_work
from gasketcut.job.model import Engine, Job, PortTiming, PortWork, window_area


@dataclass(frozen=True, slots=True, kw_only=True)
class PortChange(TakenOff):
    """One piece of port work: what is taken off, and the window it leaves. When the port opens and for how long stands
    in the states of the engine, before and after.

    by_skirt the piston's skirt opens it: it is an intake
    wanted   the duration that was asked for [deg], or None; exceeded: the duration that the port has already with the
             new gasket where that is more, so that its edge is left alone [deg], else None
    area     of the window before and after [mm2], None where not known
    chord    width against the bore after the work, beside a bar that stands in it, or None; wall: the same width round
             the wall [mm]
    """

    is_exhaust: bool
    by_skirt: bool
    wanted: float | None = None
    exceeded: float | None = None
    area_before: float | None = None
    area_after: float | None = None
    chord: float | None = None
    wall: float | None = None
    skirt_margin: float | None = None
    pin_margin: float | None = None


class WorkError(ValueError):
    """Work that the port or the stroke does not allow; `number` is its place in the file, from 0."""

    def __init__(self, message: str, number: int) -> None:
        super().__init__(message)
        self.number = number


def chord_share(width: float, bore: float) -> float:
    """Width of a window, as chord, against the bore.

    >>> round(chord_share(29.14, 47.0), 2)
    0.62
    """
    return width / bore


def wall_width(chord: float, bore: float) -> float:
    """The same width measured round the wall [mm]: B asin(w/B). It over-reads; the published limits are on the chord.

    >>> round(wall_width(29.14, 47.0), 2)
    31.43
    """
    return bore * asin(chord / bore)


def port_changes(job: Job, raised: float) -> tuple[PortChange, ...]:
    """Each `[[work]]` in the bore.

    raised : how much higher the cylinder will stand [mm]; a duration is wanted of the engine as it will stand

    Raise `WorkError` for work that the port or the stroke does not allow.
    """
    engine = worked = job.engine or Engine()
    asked = [one for one in job.work if one.is_timed]
    taken: list[TakenOff] = []
    for work in asked:
        try:
            taken.append(_taken_off(work, engine, raised))
            worked = with_work(engine, taken)
        except ValueError as error:
            raise WorkError(str(error), work.number) from error
    return tuple(_change(work, one, engine, worked, raised) for work, one in zip(asked, taken, strict=True))


def _taken_off(work: PortWork, engine: Engine, raised: float) -> TakenOff:
    """What comes off the port; nothing off an edge that would have to come back."""
    port = _named(engine, work.port)
    if work.duration is None:
        return TakenOff(port=work.port, removed=work.remove, widened=work.widen)
    crank, edge = crank_of(engine), edge_of(engine, port)
    if crank is None:
        raise ValueError(f"work on port '{work.port}' needs [engine] with stroke, rod and that port")
    away = edge - raised - travel_for_duration(work.duration, crank, roof=port.is_by_crown)
    return TakenOff(port=work.port, removed=max(away if port.is_by_crown else -away, 0.0), widened=work.widen)


def _named(engine: Engine, name: str) -> PortTiming:
    found = next((port for port in engine.ports if port.name == name), None)
    if found is None:
        raise ValueError(f"work on port '{name}' needs [engine] with stroke, rod and that port")
    return found


def _change(work: PortWork, done: TakenOff, engine: Engine, worked: Engine, raised: float) -> PortChange:
    old, new = _named(engine, done.port), _named(worked, done.port)
    return PortChange(
        port=done.port,
        removed=done.removed,
        widened=done.widened,
        is_exhaust=old.is_exhaust,
        by_skirt=not old.is_by_crown,
        wanted=work.duration,
        exceeded=_exceeded(work, old, engine, raised),
        area_before=old.area,
        area_after=new.area,
        chord=None if new.opening is None or engine.bore is None else chord_share(new.opening, engine.bore),
        wall=None if new.opening is None or engine.bore is None else wall_width(new.opening, engine.bore),
        skirt_margin=skirt_margin(engine, new.width),
        pin_margin=pin_margin(engine, new, new.width),
    )


def _exceeded(work: PortWork, port: PortTiming, engine: Engine, raised: float) -> float | None:
    crank, edge = crank_of(engine), edge_of(engine, port)
    if work.duration is None or crank is None or not 0 <= edge - raised < crank.full_travel:
        return None
    stands = timing_at(edge - raised, crank, roof=port.is_by_crown).duration
    return stands if stands > work.duration + SAME_DEGREES else None


@dataclass(frozen=True, slots=True, kw_only=True)
class PortWidth:
    """Of the exhaust port, lengths in mm.

    chord, wall    straight across, beside a bar that stands in it; and the same round the wall
    start, limit   where published advice begins and ends, also as shares of the bore; `of_bore` is the chord's share
    skirt          of the piston beside the window, a side
    area, opened   of the window [mm2], now and opened by `opened_by` all round
    duration       [deg] now and with the roof raised by `opened_by`
    """

    chord: float
    wall: float
    start: float
    limit: float
    of_bore: float
    start_share: float
    limit_share: float
    opened_by: float
    skirt: float | None
    area: float | None
    opened: float | None
    duration: tuple[float, float] | None


def port_width(engine: Engine) -> PortWidth | None:
    """None where the bore, the port or its width is not known."""
    port = engine.port("exhaust")
    if port is None or port.width is None or port.opening is None or engine.bore is None:
        return None
    bore, chord = engine.bore, port.opening
    return PortWidth(
        chord=chord,
        wall=wall_width(chord, bore),
        start=WIDTH_START * bore,
        limit=WIDTH_LIMIT * bore,
        of_bore=chord_share(chord, bore),
        start_share=WIDTH_START,
        limit_share=WIDTH_LIMIT,
        opened_by=OPENED,
        skirt=skirt_margin(engine, port.width),
        area=port.area,
        opened=_opened(port, OPENED),
        duration=_raised(engine, port, OPENED),
    )


def _opened(port: PortTiming, by: float) -> float | None:
    """Area of all its windows, opened by so much all round [mm2]."""
    if port.area is None or port.sides_mm2 is None or port.width is None or port.height is None:
        return None
    opened = window_area(port.width + 2 * by, port.height + 2 * by, port.corner + by, port.bridge)
    return None if opened is None else port.area + port.count * (opened - port.sides_mm2)


def _raised(engine: Engine, port: PortTiming, by: float) -> tuple[float, float] | None:
    crank = crank_of(engine)
    travel = travel_of(port, crank, engine.deck) if crank else None
    if crank is None or travel is None or travel <= by:
        return None
    return timing_at(travel, crank, roof=True).duration, timing_at(travel - by, crank, roof=True).duration


def exhaust_area(job: Job) -> float | None:
    """Area of the exhaust port's window [mm2]: as `[outlet]` says, else the engine's; None if neither does."""
    if job.topend.muffler is not None and job.topend.muffler.port_area_mm2 is not None:
        return job.topend.muffler.port_area_mm2
    return job.exhaust_mm2


def skirt_margin(engine: Engine, width: float | None) -> float | None:
    """Skirt left on either side of a window of that width [mm]."""
    return None if width is None or engine.skirt_width is None else (engine.skirt_width - width) / 2


def pin_margin(engine: Engine, port: PortTiming, width: float | None) -> float | None:
    """Along the wall from the nearer edge of the window to the ring's pin [mm]; below zero the pin lies in the port.

    No published least margin was found; the number is shown as it is.
    """
    if engine.ring_pin is None or engine.bore is None or port.centre is None or width is None:
        return None
    apart = abs((engine.ring_pin - port.centre + 180) % 360 - 180)
    return apart / 360 * pi * engine.bore - wall_width(width, engine.bore) / 2


def below_crown_at_bdc(engine: Engine, port: PortTiming) -> float | None:
    """How far the window's roof lies below the crown when the piston is lowest [mm]; None where that is not known.

    The ring sits below the crown, so it passes a window whose roof is not that low. What the crown opens it passes
    always. Of any other port only its place in the wall says so: floor less height, against deck and stroke.
    """
    floor = port.floor if port.floor is not None else port.depth
    if port.is_by_crown or engine.stroke is None or floor is None or port.height is None:
        return None
    return floor - port.height - engine.deck - engine.stroke
