"""All ways from the engine as it stands to what is wanted of it, best first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from gasketcut.engine.squish.effects import State
from gasketcut.engine.squish.result import SquishResult
from gasketcut.engine.ways.candidate import Candidate, Search, worth_showing
from gasketcut.engine.ways.clash import Clash, clashes
from gasketcut.engine.ways.goals import goals_of
from gasketcut.engine.ways.height import Step
from gasketcut.engine.ways.margins import margins
from gasketcut.engine.ways.point import Angles
from gasketcut.engine.ways.settings import Cuts
from gasketcut.engine.ways.stand import lacks, may_touch, stand_of
from gasketcut.engine.ways.stands import outcome_of, standing_of
from gasketcut.engine.ways.wants import Wants, wants_of
from gasketcut.engine.ways.way import (
    Way,
    deeds_of,
    missed_of,
    name_of,
    plus_minus_of,
    reached_of,
    state_after,
    worked_job,
)
from gasketcut.errors import IncompleteError
from gasketcut.finding import sorted_findings
from gasketcut.job.model import Engine, Job
from gasketcut.job.wanted import Wanted
from gasketcut.length import Measured, Units
from gasketcut.profile.squish import Running


@dataclass(frozen=True, slots=True, kw_only=True)
class WaysResult:
    """`chosen` is the way that `[wanted]` names; `now` the engine as it stands."""

    ways: tuple[Way, ...]
    clashes: tuple[Clash, ...]
    wants: Wants
    now: State
    reached_now: dict[str, float]
    chosen: Way | None
    floor: float
    units: Units = "mm"

    @property
    def is_stopped(self) -> bool:
        """No way is without a stop."""
        return all(way.is_stopped for way in self.ways)


def ways_of(job: Job, wanted: Wanted, answer: SquishResult, running: Running) -> WaysResult:
    """Every way worth showing.

    answer  : of the squish: the readings, the sheets, what is wanted
    running : masses, sections and temperatures where the job names none

    Raise `IncompleteError` where a want needs what the job does not say, `JobError` where `way` names none, or where
    the readings contradict each other: nothing is cut by those.
    """
    if answer.agreement.is_refused:
        message = "the readings contradict each other; take them again before anything is cut"
        raise job.refused((("squish", "readings"), message))
    stand = stand_of(job.engine, wanted, answer.squish.mean.value, answer.present)
    if lacking := lacks(wanted, stand):
        raise IncompleteError(job.called(), tuple(lacking))
    wants, angles = wants_of(wanted, answer.target), Angles(stand.crank) if stand.crank else None
    steps = steps_of(answer)
    search = Search(
        stand=stand,
        wants=wants,
        goals=goals_of(wants, stand, angles),
        cuts=cuts_of(job.engine, wanted),
        may=wanted.may,
        steps=steps,
        angles=angles,
    )
    found = search.all()
    tried = [(one, _made(job, one, search, answer, running)) for one in worth_showing(found)]
    made = [(one, way) for one, way in tried if way is not None]
    worth = [
        way for one, way in made if not any(other.work <= one.work and instead.spares(way) for other, instead in made)
    ]
    ways = tuple(sorted(_with_names(worth), key=lambda way: way.is_stopped))
    stepped = bool(steps) and not {"base cut", "spacer"} & set(wanted.may)
    return WaysResult(
        ways=ways,
        clashes=tuple(clashes(found, wants, stand, 0.5 if stepped else 0.05)),
        wants=wants,
        now=answer.before,
        reached_now=reached_of(job.engine, answer.before, stand),
        chosen=_chosen(job, wanted, ways),
        floor=answer.band[0],
        units=job.units,
    )


def steps_of(answer: SquishResult) -> list[Step]:
    """The stacks of the job's sheets that may go under the cylinder; empty where it has none."""
    if not any(choice.layers for choice in answer.choices):
        return []
    return [Step(choice.fitted[1], choice) for choice in answer.choices]


def cuts_of(engine: Engine | None, wanted: Wanted) -> Cuts:
    """Which cuts may be made."""
    may, ports = wanted.may, engine.ports if engine else ()
    touched = [port for port in ports if may_touch(port, may)]
    exhaust, intake = (engine.port("exhaust"), engine.port("piston-port")) if engine else (None, None)
    return Cuts(
        band="band cut" in may,
        head="head cut" in may,
        bowl="bowl" in may,
        exhaust=exhaust in touched and exhaust is not None,
        transfer=any(port.is_transfer for port in touched),
        intake=intake in touched and intake is not None,
    )


def _made(job: Job, chosen: Candidate, search: Search, answer: SquishResult, running: Running) -> Way | None:
    """The way, or None where the engine would not survive it."""
    stand = search.stand
    worked = worked_job(job, chosen, stand)
    outcome = outcome_of(chosen, answer)
    present = job.squish.gasket_present if job.squish else Measured(0.0)
    try:
        state, work = state_after(worked, chosen, standing_of(chosen, answer, outcome, present))
    except ValueError:
        return None
    deeds = tuple(deeds_of(chosen, stand, state, work, job.engine))
    reached = reached_of(job.engine, state, stand)
    found = margins(worked, answer, outcome, state, work, deeds, running)
    return Way(
        name=name_of(deeds),
        deeds=deeds,
        state=state,
        reached=reached,
        missed=missed_of(search.wants, reached),
        plus_minus=plus_minus_of(job.engine, state, stand),
        work=work,
        findings=sorted_findings(one.in_order(job.units) for one in found),
    )


def _with_names(ways: Sequence[Way]) -> Iterator[Way]:
    """Each with a name of its own: of ways with the same deeds the later ones say what they keep."""
    taken: dict[str, int] = {}
    first: dict[str, Way] = {}
    for way in ways:
        name = way.name
        if name in first:
            keeps = next((figure for figure in first[name].missed if figure not in way.missed), None)
            name = f"{name}, for {_word(keeps)}" if keeps else name
        first.setdefault(way.name, way)
        taken[name] = taken.get(name, 0) + 1
        yield replace(way, name=name if taken[name] == 1 else f"{name} ({taken[name]})")


def _word(figure: str) -> str:
    return {"squish_mm": "squish", "cranking_psi": "cranking pressure"}.get(figure, figure.removesuffix("_deg"))


def _chosen(job: Job, wanted: Wanted, ways: Iterable[Way]) -> Way | None:
    if wanted.way is None:
        return None
    found = {way.name: way for way in ways}
    if wanted.way not in found:
        raise job.refused((("wanted", "way"), wanted.no_such_way(list(found))))
    return found[wanted.way]
