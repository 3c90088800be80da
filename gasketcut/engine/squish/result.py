"""The builder's answer: which base gasket gives the squish that is wanted, how sure, and what that does.

What is chosen and why is `decision.py`'s; here stands what the engine is with it, before and after.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

from gasketcut.engine.assumed import Assumed
from gasketcut.engine.assumptions import BESIDE
from gasketcut.engine.ports.judged import Judged, judged_areas
from gasketcut.engine.ports.port_change import PortChange, WorkError
from gasketcut.engine.solder.pattern import across_pin, pattern
from gasketcut.engine.squish.compression import CrankcaseRatio, crankcase_ratio
from gasketcut.engine.squish.consistency import impossible
from gasketcut.engine.squish.decision import Decision, decide, remarks_on_choice
from gasketcut.engine.squish.effects import State
from gasketcut.engine.squish.floor import floor_findings
from gasketcut.engine.squish.remarks import remarks
from gasketcut.engine.stack.choices import Choice, FittedStock, Layer
from gasketcut.engine.stack.clamp import clamping
from gasketcut.engine.stack.fitted import FittedStocks
from gasketcut.engine.stack.odds import Outcome
from gasketcut.engine.states.planned import Beside, Sensitivity, Stage, planned, side_by_side
from gasketcut.engine.states.standing import Standing, as_fitted, as_measured
from gasketcut.errors import IncompleteError
from gasketcut.finding import Finding
from gasketcut.job.model import Job
from gasketcut.length import Units
from gasketcut.parts.stock import Stock
from gasketcut.profile.ports import TimeAreaRange
from gasketcut.profile.squish import Running


@dataclass(frozen=True, slots=True, kw_only=True)
class SquishResult(Decision):
    """Everything about the squish: the decision, and what the engine is with it.

    present      thickness of the gasket in place when it was read [mm]
    outcome      what lies under the cylinder in `after`, with the squish that it leaves
    fitted       how thick each stock of the job is when clamped
    before       the engine as it was measured
    gasket_only  with the new gasket and no port touched; None where no work in the bore is asked for
    after        with everything that is planned, gasket and work
    under        what is planned under the cylinder
    sensitivity  what a little more or less there changes
    side_by_side the first choices with all that they do
    assumed      what all this rests on although the job does not say it
    """

    present: float
    outcome: Outcome
    fitted: FittedStocks
    before: State
    gasket_only: State | None
    after: State
    sensitivity: Sensitivity
    side_by_side: tuple[Beside, ...]
    under: Stage
    work: tuple[PortChange, ...]
    findings: tuple[Finding, ...]
    ranges: tuple[TimeAreaRange, ...] = ()
    crankcase: CrankcaseRatio | None = None
    assumed: tuple[Assumed, ...] = ()
    units: Units = "mm"

    def for_part(self, name: str) -> tuple[Finding, ...]:
        """The findings as the base gasket's own."""
        return tuple(replace(finding, part=name) for finding in self.findings)

    def judged(self, state: State) -> dict[str, Judged]:
        """The time-area of each port of that state against what was published, by port."""
        return judged_areas(state.areas, self.ranges)

    def _repr_svg_(self) -> str:
        """Each choice against the wanted band, as a notebook shows it."""
        from gasketcut.output.picture import as_svg  # a value that shows itself asks the writer, and nothing else does
        from gasketcut.pages.charts.squish import squish_chart

        return as_svg(squish_chart(self)).decode()

    @property
    def stages(self) -> tuple[tuple[Stage, State], ...]:
        """The engine now, with what goes under the cylinder, and with the work too: as many as are asked for."""
        found = [(Stage.NOW, self.before)]
        if self.under is not Stage.NOW:
            found.append((self.under, self.gasket_only or self.after))
        if self.gasket_only is not None:
            found.append((Stage.WORK if self.under is Stage.NOW else Stage.WORK_TOO, self.after))
        return tuple(found)

    @property
    def moved(self) -> float:
        """How much higher the cylinder stands after than before [mm]; every port edge would have to go as far down."""
        return self.after.fitted - self.before.fitted


def squish_result_of(
    job: Job,
    running: Running,
    shelf: FittedStocks,
    gasket: float | None = None,
    ranges: tuple[TimeAreaRange, ...] = (),
) -> SquishResult | None:
    """The answer for the job, or None if it has no `[squish]`.

    running : masses, sections and temperatures where the job names none
    shelf   : how thick each stock is when clamped
    gasket  : fitted thickness [mm] for which "after" is wanted, in place of the best choice
    ranges  : of time-area, as published

    Raise `IncompleteError` if it lacks something, `JobError` if what was entered cannot be; whoever asks makes sure
    before that it does not contradict itself.
    """
    spec = job.squish
    if spec is None:
        return None
    lacking, target = job.lacking("squish"), spec.target
    if lacking or target is None:
        raise IncompleteError(job.called(), lacking)
    if wrong := tuple(impossible(job)):
        raise job.refused(*wrong)
    sheets = tuple(FittedStock(stock, shelf.base[stock.name]) for stock in job.stock if _goes_under(stock))
    chosen = decide(spec, target, sheets, job.engine)
    best, bare = chosen.best, chosen.bare.value
    if bare <= 0:
        message = (
            f"the gasket in place, {spec.gasket_present.value:g} mm, is no thinner than the squish of "
            f"{chosen.squish.mean.value:.3f} mm: without it the piston would meet the head; check both"
        )
        raise job.refused((("squish", "gasket_present"), message))
    present = spec.gasket_present.value
    if gasket is None and best is not None:
        outcome = Outcome(best.fitted, best.squish, best.tight, best.odds)
    else:
        named = target - bare if chosen.verdict.names_a_thickness else present
        outcome = chosen.with_thickness(named if gasket is None else gasket)
    fitted = outcome.fitted[1]
    judged = gasket is not None or chosen.verdict.names_a_thickness
    now = as_measured(spec.gasket_present, chosen.squish.mean, is_sure=not chosen.agreement.is_refused)

    def then(one: Outcome | Choice) -> Standing:
        return as_fitted(one.fitted, one.squish, spec.gasket_present, chosen.squish.mean)

    try:
        plan = planned(job, now, then(outcome) if judged else now)
    except WorkError as error:
        raise job.refused((("work", error.number), str(error))) from error
    except ValueError as error:
        raise job.refused((("squish",), str(error))) from error
    findings = [
        *pattern(spec, chosen.squish, chosen.agreement),
        *(across_pin(chosen.squish, fitted - present, chosen.band[0]) if judged else ()),
        *(floor_findings(job, chosen, outcome, running) if judged else ()),
        *remarks_on_choice(chosen, spec),
        *clamping(job.clamp, shelf.load),
        *remarks(job.engine, plan.before, plan.after, plan.work),
    ]
    return SquishResult(
        **{each.name: getattr(chosen, each.name) for each in fields(chosen)},
        present=present,
        outcome=outcome,
        fitted=shelf,
        before=plan.before,
        gasket_only=plan.gasket_only,
        after=plan.after,
        sensitivity=plan.sensitivity,
        side_by_side=side_by_side(job, [(one, then(one)) for one in chosen.choices[:BESIDE]]),
        under=_under(best, fitted, is_given=gasket is not None) if judged else Stage.NOW,
        work=plan.work,
        findings=tuple(findings),
        ranges=ranges,
        crankcase=crankcase_ratio(job.engine) if job.engine else None,
        units=job.units,
    )


def _under(best: Choice | None, fitted: float, *, is_given: bool) -> Stage:
    if fitted < 0:
        return Stage.BASE_CUT
    if fitted == 0:
        return Stage.BARE
    return Stage.GASKET if best is not None or is_given else Stage.SPACER


def layers_of(answer: SquishResult | None) -> tuple[Layer, ...]:
    """The layers of the recommended stack."""
    return answer.best.layers if answer and answer.best else ()


def _goes_under(stock: Stock) -> bool:
    return not stock.joints or "base" in stock.joints
