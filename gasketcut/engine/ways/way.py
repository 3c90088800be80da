"""A way: deeds in the order of work, what they reach, what is missed, what they cost.

Everything reached is what the forward sums of the engine say of the deeds; nothing is taken over from the search.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from gasketcut.engine.ports.port_change import PortChange, port_changes
from gasketcut.engine.ports.worked import with_work
from gasketcut.engine.squish.effects import State
from gasketcut.engine.states.standing import Standing, state_at
from gasketcut.engine.ways.candidate import Candidate
from gasketcut.engine.ways.deed import Deed, Measure
from gasketcut.engine.ways.point import Setting, chamber_at
from gasketcut.engine.ways.stand import Stand, may_touch
from gasketcut.engine.ways.wants import FIGURES, Wants, missed
from gasketcut.finding import Finding, has_stop
from gasketcut.job.model import Engine, Job
from gasketcut.job.work import PortWork

NOTHING = "as it is"
"""The name of the way that does nothing."""

AS_GOOD = 1e-6
"""mm, deg or ratio; by less no figure is missed more than another. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """`plus_minus` is half a range at 95 %, from how sure the squish is; `work` the ports as the deeds leave them."""

    name: str
    deeds: tuple[Deed, ...]
    state: State
    reached: Mapping[str, float]
    missed: Mapping[str, float]
    plus_minus: Mapping[str, float]
    work: tuple[PortChange, ...]
    findings: tuple[Finding, ...]

    @property
    def is_stopped(self) -> bool:
        """It would be a danger to the engine."""
        return has_stop(self.findings)

    def spares(self, other: Way) -> bool:
        """It does without some of the other's deeds, misses nothing more, and is no more of a danger."""
        mine, theirs = ({(deed.does, deed.port) for deed in way.deeds} for way in (self, other))
        as_near = all(abs(off) <= abs(other.missed.get(figure, 0.0)) + AS_GOOD for figure, off in self.missed.items())
        return mine < theirs and as_near and (other.is_stopped or not self.is_stopped)

    @property
    def cuts_metal(self) -> bool:
        """Something in it cannot be undone by another gasket."""
        return any(deed.does not in ("gasket", "spacer") for deed in self.deeds)


def worked_job(job: Job, chosen: Candidate, stand: Stand) -> Job:
    """The job with chamber and `[[work]]` as the deeds have them; the cylinder's height is not in it."""
    engine, setting = job.engine, chosen.point.setting
    if engine is None:
        return replace(job, work=())
    chamber = chamber_at(stand, replace(setting, lowered=0.0))
    work = tuple(
        PortWork(port=name, remove=removed, widen=widened)
        for name, (removed, widened) in _edges(job, engine, setting).items()
    )
    engine = engine if chamber is None else replace(engine, chamber_cc=chamber / 1000)
    return replace(job, engine=engine, work=work)


def state_after(job: Job, chosen: Candidate, at: Standing) -> tuple[State, tuple[PortChange, ...]]:
    """The engine after a candidate's deeds by the forward sums with each +-, and what was done to its ports.

    job : as `worked_job` makes it; raise `ValueError` for what the engine does not survive
    """
    changes = port_changes(job, -chosen.point.setting.lowered)
    engine = with_work(job.engine, changes) if job.engine else None
    return state_at(engine, at), changes


def _edges(job: Job, engine: Engine, setting: Setting) -> dict[str, tuple[float, float]]:
    """mm off the edge and onto the width of each port; widths are those that `[[work]]` asks for."""
    may = job.wanted.may if job.wanted else ()
    exhaust, intake = engine.port("exhaust"), engine.port("piston-port")
    widened = {one.port: one.widen for one in job.work if one.is_timed and one.widen}
    found = {}
    for port in engine.ports:
        if not may_touch(port, may):
            continue
        mm = setting.exhaust if port is exhaust else setting.intake if port is intake else 0.0
        mm = setting.transfer if port.is_transfer else mm
        if mm or widened.get(port.name):
            found[port.name] = (mm, widened.get(port.name, 0.0))
    return found


def reached_of(engine: Engine | None, state: State, stand: Stand) -> dict[str, float]:
    """The figures of a state that are known, in the order in which they are shown."""
    found = _figures(engine, state, state)
    if state.trapped is not None:
        found["cranking_psi"] = stand.psi(state.trapped)
    return {name: value for name in FIGURES if (value := found.get(name)) is not None}


def plus_minus_of(engine: Engine | None, state: State, stand: Stand) -> dict[str, float]:
    """Half widths at 95 % of the same figures; empty where none could be worked out."""
    half = state.plus_minus
    if half is None:
        return {}
    found = _figures(engine, state, half)
    if state.trapped is not None and half.trapped is not None:
        found["cranking_psi"] = stand.psi(state.trapped + half.trapped) - stand.psi(state.trapped)
    return {name: value for name in FIGURES if (value := found.get(name)) is not None}


def _figures(engine: Engine | None, state: State, of: State) -> dict[str, float | None]:
    """What `of` has of each figure: a state itself, or its half widths."""
    found = {"squish_mm": of.squish, "blowdown_deg": of.blowdown, "chamber_cc": of.chamber_cc}
    found |= {"trapped": of.trapped, "full": of.full_stroke}
    if engine is not None:
        ports = state.ports
        exhaust, intake = engine.port("exhaust"), engine.port("piston-port")
        transfers = [one.name for one in engine.ports if one.is_transfer and one.name in ports]
        first = min(transfers, key=lambda name: ports[name].opens, default=None)
        names = {"exhaust_deg": exhaust.name if exhaust else None, "intake_deg": intake.name if intake else None}
        names["transfer_deg"] = first
        found |= {
            figure: of.ports[name].duration if name in ports else None
            for figure, name in names.items()
            if name is not None
        }
    return found


def deeds_of(
    chosen: Candidate, stand: Stand, state: State, work: tuple[PortChange, ...], engine: Engine | None
) -> Iterator[Deed]:
    """In the order of work, each with what to measure after it; `engine` as it stands now."""
    setting, height = chosen.point.setting, chosen.height
    squish = stand.squish

    def then(by: float) -> Measure:
        nonlocal squish
        squish += by
        return Measure("squish", squish)

    gasket = height.gasket
    more = 0.0 if gasket is None else gasket.fitted - stand.present
    if setting.band:
        yield Deed(does="band cut", mm=setting.band, measure=then(setting.band))
    if height.spacer:
        yield Deed(does="spacer", mm=height.spacer, measure=then(height.spacer))
    if gasket is not None:
        yield Deed(does="gasket", mm=max(gasket.fitted, 0.0), measure=then(more), layers=gasket.layers)
    if height.base:
        yield Deed(does="base cut", mm=height.base, measure=then(-height.base))
    if setting.head:
        yield Deed(does="head cut", mm=setting.head, measure=then(-setting.head))
    for one in work:
        if one.removed:
            opens = Measure("opens", state.ports[one.port].opens)
            yield Deed(does="lower" if one.by_skirt else "raise", port=one.port, mm=one.removed, measure=opens)
    for one in work:
        if one.widened:
            width = next((port.width for port in (engine.ports if engine else ()) if port.name == one.port), None)
            then_wide = Measure("width", None if width is None else width + one.widened)
            yield Deed(does="widen", port=one.port, mm=one.widened, measure=then_wide)
    if setting.bowl and state.chamber_cc is not None:
        yield Deed(does="bowl", cc=setting.bowl / 1000, measure=Measure("chamber", state.chamber_cc))


def name_of(deeds: tuple[Deed, ...]) -> str:
    """The deeds in short words."""
    return " + ".join(dict.fromkeys(deed.word for deed in deeds)) or NOTHING


def missed_of(wants: Wants, reached: Mapping[str, float]) -> dict[str, float]:
    """By figure, in the order in which they are shown."""
    found = missed(wants, reached)
    return {figure: found[figure] for figure in FIGURES if figure in found}
