"""Do the ports open in an order that an engine can live with, once everything planned is done?"""

from __future__ import annotations

from collections.abc import Iterator

from gasketcut.engine.assumptions import BELOW_BDC, EARLY_EXHAUST, FLOOR_ABOVE, LEAST_BLOWDOWN
from gasketcut.engine.ports.crank import Crank, crank_of
from gasketcut.engine.ports.port_change import port_changes
from gasketcut.engine.ports.timing import Timing, heights_of, timed_ports
from gasketcut.engine.ports.worked import with_work
from gasketcut.finding import Finding, Weight
from gasketcut.job.model import Engine, Job, PortTiming
from gasketcut.length import both


def planned_order(job: Job) -> Iterator[Finding]:
    """The same of a job in which no gasket is chosen: the ports with their work, the cylinder where it stands."""
    crank = crank_of(job.engine) if job.engine is not None else None
    if job.engine is None or crank is None:
        return
    try:
        planned = with_work(job.engine, port_changes(job, 0.0))
        timed = timed_ports(planned, crank, 0.0)
    except ValueError as error:
        do = "write less work, or check the port"
        yield Finding(rule="work", weight="stop", part=None, text=str(error), do=do)
        return
    yield from port_order(planned, timed, 0.0)


def port_order(engine: Engine, timed: dict[str, Timing], raised: float) -> Iterator[Finding]:
    """What is to be said of the ports as they will stand.

    timed  : each port by name, with gasket and work
    raised : how much higher the cylinder will stand than when they were measured [mm]
    """
    exhausts = [port for port in engine.ports if port.is_exhaust and port.name in timed]
    for port in exhausts:
        if (opens := timed[port.name].opens) < EARLY_EXHAUST:
            yield _early(port.name, opens, timed[port.name].duration)
    if exhausts:
        yield from _blowdown(engine, timed, min(timed[port.name].opens for port in exhausts))
    crank = crank_of(engine)
    for port in engine.ports if crank is not None else ():
        if crank is not None and port.is_by_crown:
            yield from _floor(port, engine, crank, raised)


def _early(name: str, opens: float, duration: float) -> Finding:
    text = (
        f"port '{name}' would open at {opens:.1f} deg ATDC and stand open for {duration:.1f} deg: before "
        f"{EARLY_EXHAUST:g} deg much of the stroke is thrown away (our choice; the widest of racing engines that was "
        "published is open for 202 deg, from 79)"
    )
    return _said(
        "exhaust", "warn", text, "take less off its roof, or fit less under the cylinder", opens, EARLY_EXHAUST
    )


def _blowdown(engine: Engine, timed: dict[str, Timing], exhaust: float) -> Iterator[Finding]:
    """Of every transfer that opens too early: the first is the one that ends the blowdown."""
    transfers = {port.name: timed[port.name].opens for port in engine.ports if port.is_transfer and port.name in timed}
    for name, opens in transfers.items():
        after = opens - exhaust
        stands = f"port '{name}' would open at {opens:.1f} deg and the exhaust at {exhaust:.1f} deg"
        do = "raise the exhaust's roof, or take less off this port's"
        if after < 0:
            text = f"{stands}: a blowdown of {after:.1f} deg, so burnt gas would go down this port into the case"
            yield _said("blowdown", "stop", text, do, after, LEAST_BLOWDOWN)
        elif after < LEAST_BLOWDOWN:
            text = (
                f"{stands}: a blowdown of {after:.1f} deg, less than {LEAST_BLOWDOWN:g} deg, in which the pressure "
                "hardly falls before this port opens (our choice)"
            )
            yield _said("blowdown", "warn", text, do, after, LEAST_BLOWDOWN)


def _floor(port: PortTiming, engine: Engine, crank: Crank, raised: float) -> Iterator[Finding]:
    """The crown should come down to a window's floor; where it goes past, it leaves a step in the way of the gas."""
    floor = heights_of(port, crank, engine.deck)[1]
    if floor is None:
        return
    travel = floor - engine.deck - raised
    above = crank.full_travel - travel
    if above <= FLOOR_ABOVE or travel <= 0:
        return
    past = 360 - crank.after(travel) - crank.before(travel)
    text = (
        f"the floor of port '{port.name}' would stand {both(above)} above the crown at BDC, which is below it for "
        f"{past:.0f} deg: a step in the way of the gas"
    )
    do = "check its height and floor; else lower the floor, or fit less under the cylinder"
    yield _said("floor", "warn" if above > BELOW_BDC else "note", text, do, past, 0.0)


def _said(rule: str, weight: Weight, text: str, do: str, found: float, wanted: float) -> Finding:
    return Finding(rule=rule, weight=weight, part=None, text=text, do=do, found=found, wanted=wanted, unit="deg")
