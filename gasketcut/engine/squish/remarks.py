"""What the sums say besides their numbers: slips that people make, and edges that come too near."""

from __future__ import annotations

from collections.abc import Iterator

from gasketcut.engine.assumptions import RODS, SAME_RATIO, WIDTH_LIMIT, WIDTH_START
from gasketcut.engine.ports.crank import Crank
from gasketcut.engine.ports.order import port_order
from gasketcut.engine.ports.port_change import PortChange, below_crown_at_bdc, pin_margin, skirt_margin
from gasketcut.engine.ports.timing import timing_at, travel_of
from gasketcut.engine.squish.compression import crankcase_ratio, swept_cc
from gasketcut.engine.squish.cranking import GaugeVerdict, cranking_pressure
from gasketcut.engine.squish.effects import State
from gasketcut.finding import Finding, Weight
from gasketcut.job.model import Engine, PortTiming
from gasketcut.length import both
from gasketcut.pressure import kpa_and_psi


def remarks(engine: Engine | None, before: State, after: State, work: tuple[PortChange, ...]) -> Iterator[Finding]:
    """All remarks on an engine and what is done to it."""
    if engine is None:
        return
    yield from _rod(engine, after.fitted - before.fitted)
    yield from _stated_ratio(engine, before)
    yield from _gauge(engine, before)
    yield from _crankcase(engine)
    yield from port_order(engine, after.ports, after.fitted - before.fitted)
    if after.skirt_cover is not None and after.skirt_cover < 0:
        yield _remark(
            "port",
            "warn",
            f"at TDC the skirt uncovers the exhaust floor by {both(-after.skirt_cover)}: exhaust and case are joined",
            "fit more under the cylinder, or a longer skirt",
            after.skirt_cover,
            0.0,
        )
    for one in work:
        yield from exceeded(one)
        yield from _width(one, engine)
    worked = {one.port for one in work}
    for port in engine.ports:
        if port.name not in worked and port.width is not None:
            yield from _margins(
                engine, port.name, pin_margin(engine, port, port.width), skirt_margin(engine, port.width)
            )


def _rod(engine: Engine, raised: float) -> Iterator[Finding]:
    """Without a rod no angle follows from a height: ask for it, and show what is at stake."""
    if engine.rod is not None or engine.stroke is None or not engine.ports:
        return
    cranks = [Crank(engine.stroke, share * engine.stroke, engine.pin_offset) for share in RODS]
    effects = []
    for port in engine.ports:
        ends = [_duration(port, crank, engine.deck, raised) for crank in cranks]
        if all(end is not None for end in ends):
            low, high = sorted(end for end in ends if end is not None)
            effects.append(f"{port.name} open for {low:.1f} to {high:.1f} deg")
    stake = f": with {RODS[0]:g} to {RODS[1]:g} times the stroke, {'; '.join(effects)}" if effects else ""
    yield _remark(
        "rod",
        "warn",
        f"the rod's length is missing, so no port is worked out{stake}",
        "measure it between the centres of its ends and write rod = ... in [engine]",
    )


def _duration(port: PortTiming, crank: Crank, deck: float, raised: float) -> float | None:
    travel = travel_of(port, crank, deck)
    if travel is None or not 0 <= travel - raised < crank.full_travel:
        return None
    return timing_at(travel - raised, crank, roof=port.is_by_crown).duration


def _stated_ratio(engine: Engine, before: State) -> Iterator[Finding]:
    stated, full = engine.ratio, before.full_stroke
    swept = swept_cc(engine)
    if stated is None or full is None or before.chamber_cc is None or swept is None:
        return
    without_one = swept / before.chamber_cc
    if _same(stated, full) or (before.trapped is not None and _same(stated, before.trapped)):
        return
    if _same(stated, without_one):
        text = (
            f"the stated ratio of {stated:g} is swept over chamber; the chamber belongs on top as well: "
            f"the full-stroke ratio is {full:.2f}"
        )
        yield _remark("ratio", "warn", text, f"write ratio = {full:.2f}", stated, full, "ratio")
    else:
        trapped = f", trapped {before.trapped:.2f}" if before.trapped else ""
        text = f"the stated ratio of {stated:g} is neither: full stroke {full:.2f}{trapped}"
        yield _remark(
            "ratio", "warn", text, "check chamber_cc, bore and stroke, or drop the figure", stated, full, "ratio"
        )


def _same(a: float, b: float) -> bool:
    return abs(a - b) <= SAME_RATIO * b


def _gauge(engine: Engine, before: State) -> Iterator[Finding]:
    found = cranking_pressure(engine, before.trapped)
    if found is None:
        return
    low, high = found.ratios
    text = f"the gauge's {kpa_and_psi(found.gauge_kpa)} stands for a trapped ratio of {low:.1f} to {high:.1f}"
    match found.verdict:
        case None:
            yield _remark("compression", "note", text, "nothing")
        case GaugeVerdict.LESS:
            text += f"; the volumes give {found.trapped:.1f}: something leaks, or the throttle was not open"
            yield _remark(
                "compression", "warn", text, "check ring, head, base and decompressor for leaks", low, unit="ratio"
            )
        case GaugeVerdict.MORE:
            text += f"; the volumes give {found.trapped:.1f} only: check the chamber volume and the gauge's own volume"
            yield _remark("compression", "warn", text, "measure the chamber again", low, unit="ratio")
        case GaugeVerdict.AGREES:
            yield _remark(
                "compression", "note", f"{text}; the volumes give {found.trapped:.1f}", "nothing", low, unit="ratio"
            )


def _crankcase(engine: Engine) -> Iterator[Finding]:
    """Where the piston stood decides: at BDC the volume is the smallest, at TDC the largest."""
    case, swept = crankcase_ratio(engine), swept_cc(engine)
    if case is None or case.ratio is not None or swept is None:
        return
    if case.at is None:
        other = f", {case.at_tdc:.2f} : 1 at TDC" if case.at_tdc is not None else ""
        stood = f"{case.at_bdc:.2f} : 1 if the piston stood at BDC{other}"
        text = f"crankcase_cc = {case.cc:g} is a crankcase ratio of {stood}"
        do = 'write where the piston stood: crankcase_at = "BDC" or crankcase_at = "TDC"'
        yield _remark("crankcase", "warn", text, do, case.cc, unit="cc")
    else:
        text = f"{case.cc:g} cc at TDC is no more than the {swept:.1f} cc that the piston sweeps, so none would be left"
        yield _remark(
            "crankcase", "warn", text, "measure it again, or write where the piston stood", case.cc, swept, "cc"
        )


def exceeded(one: PortChange) -> Iterator[Finding]:
    """Metal cannot be put back, so a port that is open for longer than wanted keeps its edge."""
    if one.exceeded is None or one.wanted is None:
        return
    text = (
        f"port '{one.port}' is open for {one.exceeded:.1f} deg already with this gasket, longer than the "
        f"{one.wanted:g} deg that are wanted: metal cannot be put back, so its edge stays as it is"
    )
    less = "more" if one.by_skirt else "less"
    do = f"write a longer duration, or fit {less} under the cylinder"
    yield _remark("port", "warn", text, do, one.exceeded, one.wanted, "deg")


def _width(one: PortChange, engine: Engine) -> Iterator[Finding]:
    if one.is_exhaust and one.chord is not None and one.chord > WIDTH_START:
        past, bar = one.chord > WIDTH_LIMIT, _beside_bar(engine, one.port)
        text = (
            f"port '{one.port}' takes {one.chord:.0%} of the bore{bar}; published: start at {WIDTH_START:.0%}, "
            f"limit {WIDTH_LIMIT:.0%}, near-elliptical window"
        )
        limit = WIDTH_LIMIT if past else WIDTH_START
        yield _remark("port", "warn" if past else "note", text, "leave it narrower", one.chord, limit)
    yield from _margins(engine, one.port, one.pin_margin, one.skirt_margin)


def _beside_bar(engine: Engine, name: str) -> str:
    return " beside its bar" if any(port.name == name and port.bridge for port in engine.ports) else ""


def _margins(engine: Engine, port: str, pin: float | None, skirt: float | None) -> Iterator[Finding]:
    """The ring's pin and the skirt's edges beside a window [mm]."""
    if pin is not None and pin <= 0:
        yield _pin(engine, next(one for one in engine.ports if one.name == port), pin)
    if skirt is not None and skirt <= 0:
        text = f"port '{port}' is wider than the skirt that closes it"
        yield _remark("port", "stop", text, "leave the port narrower", skirt, 0.0)


def _pin(engine: Engine, port: PortTiming, pin: float) -> Finding:
    """A stop where the ring is known to pass the window; an intake mostly lies lower than the ring ever comes."""
    low = below_crown_at_bdc(engine, port)
    if port.is_by_crown or (low is not None and low <= 0):
        text = f"the ring's pin lies in port '{port.name}': the ring's ends would spring out"
        return _remark("port", "stop", text, "leave the port narrower there", pin, 0.0)
    if low is None:
        text = f"the ring's pin stands over port '{port.name}'; whether the ring comes down to it is not known"
        do = f"write floor and height of '{port.name}', and the stroke"
        return _remark("port", "warn", text, do, pin, 0.0)
    text = f"the ring's pin stands over port '{port.name}', whose roof lies {both(low)} below the crown at BDC"
    do = "measure from the crown down to the ring's lower side: it has to be less than that"
    return _remark("port", "note", text, do, low)


def _remark(
    rule: str,
    weight: Weight,
    text: str,
    do: str,
    found: float | None = None,
    wanted: float | None = None,
    unit: str = "mm",
) -> Finding:
    return Finding(rule=rule, weight=weight, part=None, text=text, do=do, found=found, wanted=wanted, unit=unit)
