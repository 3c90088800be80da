"""Port work: a roof raised, a window widened, or a duration wanted, and what each does."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import asin, pi

from gasketcut.engine.assumptions import OPENED, WIDTH_LIMIT, WIDTH_START
from gasketcut.engine.ports.crank import Crank, crank_of
from gasketcut.engine.ports.time_area import TimeArea, time_area_of
from gasketcut.engine.ports.timing import Timing, timing_at, travel_for_duration, travel_of
from gasketcut.job.model import Engine, Job, PortTiming, PortWork


@dataclass(frozen=True, slots=True, kw_only=True)
class PortChange:
    """One piece of port work: how much is taken off, and the port before, after the work, and with the gasket too.

    removed : mm taken off the edge that times the port: a roof, or an intake's floor
    widened : mm added to the width
    chord   : width against the bore after the work, beside a bar that stands in it, or None; wall: the same width round
              the wall [mm]
    """

    port: str
    is_exhaust: bool
    removed: float
    widened: float
    before: Timing
    after: Timing
    with_gasket: Timing
    area_before: float | None
    area_after: float | None
    time_area_before: TimeArea | None
    time_area_after: TimeArea | None
    chord: float | None
    wall: float | None
    skirt_margin: float | None
    pin_margin: float | None


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


def port_changes(job: Job, raised_by_gasket: float) -> Iterator[PortChange]:
    """Each `[[work]]` in the bore. Raise `ValueError` for work that the port or the stroke does not allow."""
    engine = job.engine
    crank = crank_of(engine) if engine else None
    for work in (one for one in job.work if one.is_timed):
        port = next((port for port in (engine.ports if engine else ()) if port.name == work.port), None)
        if engine is None or crank is None or port is None:
            raise ValueError(f"work on port '{work.port}' needs [engine] with stroke, rod and that port")
        yield _change(work, port, engine, crank, raised_by_gasket)


def _change(work: PortWork, port: PortTiming, engine: Engine, crank: Crank, by_gasket: float) -> PortChange:
    travel = travel_of(port, crank, engine.deck)
    if travel is None:
        raise ValueError(f"port '{port.name}' has no opens, travel, depth or duration")
    roof = port.is_by_crown
    removed = work.remove
    if work.duration is not None:
        # What is wanted is wanted of the engine as it will stand, gasket included.
        removed = travel - by_gasket - travel_for_duration(work.duration, crank, roof=roof)
        if not roof:
            removed = -removed
        if removed < 0:
            raise ValueError(
                f"port '{port.name}' is open for longer than {work.duration:g} deg with this gasket as it is, and "
                f"metal cannot be put back; its edge would have to move {-removed:.2f} mm"
            )
    after = travel - removed if roof else travel + removed
    if not 0 <= after < crank.full_travel:
        raise ValueError(f"taking {removed:.2f} mm off port '{port.name}' brings its edge out of the stroke")
    width = None if port.width is None else port.width + work.widen
    bore = engine.bore
    if width is not None and bore is not None and width >= bore:
        raise ValueError(f"port '{port.name}' would be {width:.2f} mm wide in a bore of {bore:g} mm")
    height = None if port.height is None else port.height + removed
    worked = port.with_sides(width, height)
    return PortChange(
        port=port.name,
        is_exhaust=port.is_exhaust,
        removed=removed,
        widened=work.widen,
        before=timing_at(travel, crank, roof=roof),
        after=timing_at(after, crank, roof=roof),
        with_gasket=timing_at(after - by_gasket, crank, roof=roof),
        area_before=port.area,
        area_after=worked.area,
        time_area_before=time_area_of(engine, crank, port, travel),
        time_area_after=time_area_of(engine, crank, worked, after - by_gasket),
        chord=None if worked.opening is None or bore is None else chord_share(worked.opening, bore),
        wall=None if worked.opening is None or bore is None else wall_width(worked.opening, bore),
        skirt_margin=skirt_margin(engine, width),
        pin_margin=pin_margin(engine, port, width),
    )


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
    bore, chord, more = engine.bore, port.opening, 2 * OPENED
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
        opened=None
        if port.height is None
        else port.with_sides(port.width + more, port.height + more, port.corner + OPENED).area,
        duration=_raised(engine, port, OPENED),
    )


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
