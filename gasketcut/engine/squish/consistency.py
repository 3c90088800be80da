"""What cannot be is refused; what was entered twice must agree, and if it does not, both readings are shown."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from math import hypot, pi

from gasketcut.checked import Path
from gasketcut.engine.assumptions import (
    AGREE_AREA,
    AGREE_DEG,
    BELOW_BDC,
    BURETTE_CC,
    SAME_RATIO,
)
from gasketcut.engine.deck import solder_of, with_one_deck
from gasketcut.engine.ports.crank import Crank, crank_of
from gasketcut.engine.ports.port_change import wall_width
from gasketcut.engine.ports.timing import timing_at, travel_for_duration, travel_of
from gasketcut.engine.squish.compression import disc_cc, ratio, swept_cc
from gasketcut.engine.squish.gap import as_sure, gap_by_deck
from gasketcut.engine.states.standing import NORMAL
from gasketcut.job.contradiction import Contradiction, Result
from gasketcut.job.engine import DeckSaid
from gasketcut.job.model import Engine, Job, PortTiming
from gasketcut.length import Measured, both, plus_minus

TIMED: tuple[Result, ...] = ("squish", "wheel", "stencil")
"""What shows when the ports open."""


def impossible(job: Job) -> Iterator[tuple[Path, str]]:
    """Where it stands and what is wrong, for each thing about the ports that cannot be."""
    engine = with_one_deck(job).engine
    if engine is None:
        return
    crank = crank_of(engine)
    for port in engine.ports:
        for key, _, travel in _heights(port, engine) if crank else ():
            if crank is not None and not 0 <= travel < crank.full_travel:
                message = f"opens {travel:.2f} mm below TDC, outside the stroke of {crank.full_travel:.2f} mm"
                yield ("engine", "ports", port.name, key), message
                break
    yield from _order(engine, crank)


def contradictions(job: Job) -> tuple[Contradiction, ...]:
    """One for each thing that is given twice and does not agree."""
    decks, engine = tuple(_decks(job)), with_one_deck(job).engine
    if engine is None:
        return decks
    crank = crank_of(engine)
    ports = [found for port in engine.ports for found in _port(port, engine, crank)]
    return (*decks, *ports, *_blowdown(engine, crank), *_stated_ratio(engine, crank))


def _decks(job: Job) -> Iterator[Contradiction]:
    """All ways in which the deck was measured, and what they add up to against the solder."""
    engine, spec = job.engine, job.squish
    if spec is None:
        return
    said = spec.decks(engine)
    apart = [pair for pair in combinations(said, 2) if not _agree(pair[0].deck, pair[1].deck)]
    if apart:
        words = [_deck_words(one) for one in said]
        text = f"the deck was measured twice and is not the same: {'; '.join(words)}"
        yield Contradiction(tuple(one.key for one in said), tuple(words), text, TIMED)
        return
    solder, gap = solder_of(spec), gap_by_deck(spec, engine)
    # Without the step of the band the sum is not whole: it may be that which lies between.
    if solder is None or gap is None or spec.head_gasket is None or spec.head_recess is None or _agree(solder, gap):
        return
    above = ("head_gasket", spec.head_gasket), ("head_recess", spec.head_recess), ("gasket_recess", spec.gasket_recess)
    parts = [f"{name} {both(one.value)}" for name, one in above if one is not None]
    summed = f"{_deck_words(said[0])}; with {', '.join(parts)} that leaves {both(gap.value)} {plus_minus(gap.sigma)}"
    read = f"{'readings' if spec.readings else 'measured'} say {both(solder.value)} {plus_minus(solder.sigma)}"
    keys = (said[0].key, ("squish", "readings" if spec.readings else "measured"))
    yield Contradiction(keys, (summed, read), f"{summed}, but {read}", TIMED)


def _agree(one: Measured, other: Measured) -> bool:
    """As near as LEVEL of all pairs are that are right."""
    one, other = as_sure(one), as_sure(other)
    return abs(one.value - other.value) <= NORMAL * hypot(one.sigma, other.sigma)


def _deck_words(one: DeckSaid) -> str:
    where = "above" if one.deck.value < 0 else "below"
    crown = f"{both(abs(one.deck.value))} {where} the deck" if one.deck.value else "flush with the deck"
    return f"{one.says} puts the crown's edge {crown}, {plus_minus(as_sure(one.deck).sigma)}"


def _port(port: PortTiming, engine: Engine, crank: Crank | None) -> Iterator[Contradiction]:
    opening = tuple(_opening(port, engine, crank))
    yield from opening
    yield from _window(port, engine)
    if port.is_exhaust and crank is not None and not opening:
        yield from _below_bdc(port, engine, crank)


def _opening(port: PortTiming, engine: Engine, crank: Crank | None) -> Iterator[Contradiction]:
    """Opening, duration, travel and depth are one fact; a degree wheel and a caliper in a port show it to AGREE_DEG."""
    readings = list(_openings(port, engine, crank))
    turns = [degrees for _, _, degrees in readings]
    if turns and max(turns) - min(turns) > AGREE_DEG:
        said = "; ".join(f"{what} says it opens at {degrees:.1f} deg" for _, what, degrees in readings)
        keys = tuple(("engine", "ports", port.name, key) for key, _, _ in readings)
        text = f"does not agree with itself: {said}"
        yield Contradiction(keys, tuple(what for _, what, _ in readings), text, TIMED)


def _window(port: PortTiming, engine: Engine) -> Iterator[Contradiction]:
    """A stated area against the sides: a window is at least the ellipse in them, at most all of it along the wall."""
    if port.area_mm2 is None or port.width is None or port.height is None:
        return
    if engine.bore is not None and port.width >= engine.bore:
        return
    # A chord is at most a diameter, and its arc then half the circle.
    wall = pi / 2 * port.width if engine.bore is None else wall_width(port.width, engine.bore)
    box, along = port.width * port.height, wall * port.height
    corners = (4 - pi) * port.corner**2
    least, most = (box - corners, along - corners) if port.corner else (pi / 4 * box, along)
    if least * (1 - AGREE_AREA) <= port.area_mm2 <= most * (1 + AGREE_AREA):
        return
    key = ("engine", "ports", port.name)
    sides = f"width {port.width:g} x height {port.height:g} mm" + (f", corner {port.corner:g}" if port.corner else "")
    text = f"area_mm2 = {port.area_mm2:g} mm2, but {sides} gives {least:.0f} to {most:.0f} mm2"
    blocks: tuple[Result, ...] = ("outlet",) if port.is_exhaust else ()
    keys = ((*key, "area_mm2"), (*key, "width"), (*key, "height"))
    yield Contradiction(keys, (f"area_mm2 = {port.area_mm2:g}", sides), text, blocks)


def _below_bdc(port: PortTiming, engine: Engine, crank: Crank) -> Iterator[Contradiction]:
    """An exhaust window whose floor the piston never reaches: opening, height or floor, and stroke do not agree."""
    travel = travel_of(port, crank, engine.deck)
    lowest = crank.full_travel + engine.deck
    if port.floor is not None:
        name, floor, sides = "floor", port.floor, f"floor = {port.floor:g} mm"
    elif travel is not None and 0 <= travel < crank.full_travel and port.height is not None:
        roof = travel + engine.deck
        name, floor, sides = "height", roof + port.height, f"a roof at {roof:.2f} and a height of {port.height:g} mm"
    else:
        return
    if floor > lowest + BELOW_BDC:
        stands = f"the piston's crown stands {lowest:.2f} mm below the deck at BDC"
        text = (
            f"{sides} puts its lower edge {floor:.2f} mm below the deck, but {stands}: {floor - lowest:.2f} mm too low"
        )
        yield Contradiction((("engine", "ports", port.name, name), ("engine", "stroke")), (sides, stands), text, TIMED)


def _openings(port: PortTiming, engine: Engine, crank: Crank | None) -> Iterator[tuple[str, str, float]]:
    """Degrees from TDC at which the port opens, by each thing that was entered: its key, what it says, degrees."""
    roof = port.is_by_crown
    if port.opens is not None:
        yield "opens", f"opens = {port.opens:g} deg", port.opens
    if port.duration is not None and not port.is_rotary:
        plain = (360 - port.duration) / 2 if roof else port.duration / 2
        if crank is not None:
            plain = timing_at(travel_for_duration(port.duration, crank, roof=roof), crank, roof=roof).opens
        yield "duration", f"duration = {port.duration:g} deg", plain
    if crank is not None:
        for key, what, travel in _heights(port, engine):
            if 0 <= travel < crank.full_travel:
                yield key, what, timing_at(travel, crank, roof=roof).opens


def _heights(port: PortTiming, engine: Engine) -> Iterator[tuple[str, str, float]]:
    """Piston travel at which the port opens [mm], by each height that was entered."""
    if port.travel is not None:
        yield "travel", f"travel = {port.travel:g} mm", port.travel
    if port.depth is not None:
        deck = f" with a deck of {engine.deck:g} mm" if engine.deck else ""
        yield "depth", f"depth = {port.depth:g} mm{deck}", port.depth - engine.deck


def _first(port: PortTiming | None, engine: Engine, crank: Crank | None) -> float | None:
    return next((degrees for _, _, degrees in _openings(port, engine, crank)), None) if port else None


def _order(engine: Engine, crank: Crank | None) -> Iterator[tuple[Path, str]]:
    first = _first(engine.port("exhaust"), engine, crank)
    for transfer in engine.ports if first is not None else ():
        opens = _first(transfer, engine, crank)
        if transfer.is_transfer and opens is not None and first is not None and opens < first:
            message = f"opens at {opens:.1f} deg, before the exhaust at {first:.1f} deg: burnt gas would go down it"
            yield ("engine", "ports", transfer.name), message


def _blowdown(engine: Engine, crank: Crank | None) -> Iterator[Contradiction]:
    first = _first(engine.port("exhaust"), engine, crank)
    opened = [_first(port, engine, crank) for port in engine.ports if port.is_transfer]
    second = min((degrees for degrees in opened if degrees is not None), default=None)
    if first is None or second is None or second < first or engine.blowdown is None:
        return
    if abs(second - first - engine.blowdown) > AGREE_DEG:
        stated = f"blowdown = {engine.blowdown:g} deg"
        ports = f"exhaust at {first:.1f} and transfer at {second:.1f} deg"
        text = f"{stated}, but {ports} give {second - first:.1f} deg"
        yield Contradiction((("engine", "blowdown"),), (stated, ports), text, TIMED)


def _stated_ratio(engine: Engine, crank: Crank | None) -> Iterator[Contradiction]:
    """A stated ratio may be full stroke, trapped, or swept over chamber; a burette is good to BURETTE_CC."""
    swept = swept_cc(engine)
    if engine.ratio is None or engine.chamber_cc is None or swept is None or engine.bore is None:
        return
    heights = [swept]
    exhaust = engine.port("exhaust")
    travel = travel_of(exhaust, crank, engine.deck) if exhaust and crank else None
    if travel is not None and travel > 0:
        heights.append(disc_cc(engine.bore, travel))
    known = [ratio(volume, engine.chamber_cc) for volume in heights]
    known.append(swept / engine.chamber_cc)  # as some makers state it, without the chamber on top
    allowed = SAME_RATIO + BURETTE_CC / engine.chamber_cc
    if all(abs(engine.ratio - one) > allowed * one for one in known):
        trapped = f", trapped {known[1]:.2f}" if len(known) > 2 else ""
        volumes = f"chamber_cc = {engine.chamber_cc:g} with bore and stroke"
        text = f"ratio = {engine.ratio:g}, but {volumes} gives {known[0]:.2f} for the full stroke{trapped}"
        keys = tuple(("engine", key) for key in ("ratio", "chamber_cc", "bore", "stroke"))
        yield Contradiction(keys, (f"ratio = {engine.ratio:g}", volumes), text, ("pressure",))
