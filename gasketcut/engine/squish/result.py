"""The builder's answer: which base gasket gives the squish that is wanted, how sure, and what that does.

What is chosen and why is `decision.py`'s; here stands what the engine is with it, before and after.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

from gasketcut.engine.ports.port_change import PortChange, port_changes
from gasketcut.engine.ports.worked import with_work
from gasketcut.engine.squish.consistency import impossible
from gasketcut.engine.squish.decision import Decision, decide, remarks_on_choice
from gasketcut.engine.squish.effects import State, state_of
from gasketcut.engine.squish.floor import floor_findings
from gasketcut.engine.squish.pattern import across_pin, pattern
from gasketcut.engine.squish.remarks import remarks
from gasketcut.engine.stack.choices import FittedStock, Layer
from gasketcut.engine.stack.clamp import clamping
from gasketcut.engine.stack.fitted import FittedStocks
from gasketcut.engine.stack.odds import Outcome
from gasketcut.errors import IncompleteError
from gasketcut.finding import Finding
from gasketcut.job.model import Job
from gasketcut.length import Units
from gasketcut.parts.stock import Stock
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
    """

    present: float
    outcome: Outcome
    fitted: FittedStocks
    before: State
    gasket_only: State | None
    after: State
    work: tuple[PortChange, ...]
    findings: tuple[Finding, ...]
    units: Units = "mm"

    def for_part(self, name: str) -> tuple[Finding, ...]:
        """The findings as the base gasket's own."""
        return tuple(replace(finding, part=name) for finding in self.findings)

    def _repr_svg_(self) -> str:
        """Each choice against the wanted band, as a notebook shows it."""
        from gasketcut.output.picture import as_svg  # a value that shows itself asks the writer, and nothing else does
        from gasketcut.pages.charts.squish import squish_chart

        return as_svg(squish_chart(self)).decode()

    @property
    def moved(self) -> float:
        """How much higher the cylinder stands after than before [mm]; every port edge would have to go as far down."""
        return self.after.fitted - self.before.fitted


def squish_result_of(
    job: Job, running: Running, shelf: FittedStocks, gasket: float | None = None
) -> SquishResult | None:
    """The answer for the job, or None if it has no `[squish]`.

    running : masses, sections and temperatures where the job names none
    shelf   : how thick each stock is when clamped
    gasket  : fitted thickness [mm] for which "after" is wanted, in place of the best choice

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
    chosen = decide(spec, target, sheets)
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
    try:
        before = state_of(job.engine, present, chosen.squish.mean.value, 0.0)
        done = port_changes(job, fitted - present)
        alone = state_of(job.engine, fitted, bare + fitted, fitted - present)
        planned = with_work(job.engine, done) if job.engine and done else None
        after = state_of(planned, fitted, bare + fitted, fitted - present) if planned else alone
    except ValueError as error:
        raise job.refused((("squish",), str(error))) from error
    judged = gasket is not None or chosen.verdict.names_a_thickness
    findings = [
        *pattern(spec, chosen.squish, chosen.agreement),
        *(across_pin(chosen.squish, fitted - present, chosen.band[0]) if judged else ()),
        *(floor_findings(job, chosen, outcome, running) if judged else ()),
        *remarks_on_choice(chosen, spec),
        *clamping(job.clamp, shelf.load),
        *remarks(job.engine, before, after, done),
    ]
    return SquishResult(
        **{each.name: getattr(chosen, each.name) for each in fields(chosen)},
        present=present,
        outcome=outcome,
        fitted=shelf,
        before=before,
        gasket_only=alone if planned else None,
        after=after,
        work=done,
        findings=tuple(findings),
        units=job.units,
    )


def layers_of(answer: SquishResult | None) -> tuple[Layer, ...]:
    """The layers of the recommended stack."""
    return answer.best.layers if answer and answer.best else ()


def _goes_under(stock: Stock) -> bool:
    return not stock.joints or "base" in stock.joints
