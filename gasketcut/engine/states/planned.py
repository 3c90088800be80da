"""The engine before, with the gasket alone and with everything that is planned, and how much of that 0.1 mm changes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from gasketcut.engine.assumptions import SENSITIVITY_STEP
from gasketcut.engine.ports.port_change import PortChange, port_changes
from gasketcut.engine.ports.worked import with_work
from gasketcut.engine.squish.effects import State, state_of
from gasketcut.engine.stack.choices import Choice
from gasketcut.engine.states.figures import figure_by_figure
from gasketcut.engine.states.standing import Standing, state_at
from gasketcut.job.model import Engine, Job


class Stage(Enum):
    """How far the plan is carried out. What goes under the cylinder has a word of its own."""

    NOW = "now"
    GASKET = "with the gasket"
    BARE = "without a gasket"
    SPACER = "with the spacer"
    BASE_CUT = "with base cut"
    WORK_TOO = "with the work too"
    WORK = "with the work"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensitivity:
    """What `per` mm more, or less, under the cylinder changes in each figure of `after`: a state of differences. None
    where the engine does not survive it."""

    per: float
    more: State | None
    less: State | None


@dataclass(frozen=True, slots=True)
class Beside:
    """A choice with the engine as it would be with it, work and all; None where the engine does not survive it."""

    choice: Choice
    after: State | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """What is planned, and what the engine is before and after.

    before       as it was measured
    gasket_only  with the new gasket and no port touched; None where no work in the bore is asked for
    after        with everything that is planned, gasket and work
    """

    work: tuple[PortChange, ...]
    before: State
    gasket_only: State | None
    after: State
    sensitivity: Sensitivity


def planned(job: Job, now: Standing, then: Standing) -> Planned:
    """Raise `ValueError` if the chamber or a port does not survive it, or for work that cannot be done."""
    work, engine = _with_its_work(job, then)
    after = state_at(engine, then)
    return Planned(
        work=work,
        before=state_at(job.engine, now),
        gasket_only=state_at(job.engine, then) if work else None,
        after=after,
        sensitivity=_sensitivity(engine, then, after),
    )


def side_by_side(job: Job, choices: Sequence[tuple[Choice, Standing]]) -> tuple[Beside, ...]:
    """Each choice with its own state: a duration that is wanted takes more metal off the lower the cylinder stands."""
    return tuple(Beside(choice, _survives(job, at)) for choice, at in choices)


def _with_its_work(job: Job, at: Standing) -> tuple[tuple[PortChange, ...], Engine | None]:
    work = port_changes(job, at.raised[1])
    return work, with_work(job.engine, work) if job.engine else None


def _survives(job: Job, at: Standing) -> State | None:
    try:
        return state_at(_with_its_work(job, at)[1], at)
    except ValueError:
        return None


def _sensitivity(engine: Engine | None, at: Standing, after: State) -> Sensitivity:
    def change(by: float) -> State | None:
        try:
            moved = state_of(engine, at.fitted[1] + by, at.squish[1] + by, at.raised[1] + by)
        except ValueError:
            return None
        return figure_by_figure(lambda old, new: new - old, after, moved)

    return Sensitivity(per=SENSITIVITY_STEP, more=change(SENSITIVITY_STEP), less=change(-SENSITIVITY_STEP))
