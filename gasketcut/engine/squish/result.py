"""The builder's answer: which base gasket gives the squish that is wanted, how sure, and what that does.

Bare      the clearance with no gasket at all: measured less what was in place.
Needed    the fitted thickness that would give the target exactly: target less bare less sealant.
Band      from the user's floor to the user's ceiling.
Best      the choice likeliest to lie in the band, if that is more likely than not and not under the floor.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import hypot, sqrt

from gasketcut.engine.assumed import Assumed
from gasketcut.engine.assumptions import BESIDE, HALF_BAND, LEAST_IN_BAND, MOST_UNDER
from gasketcut.engine.ports.port_change import PortChange
from gasketcut.engine.squish.consistency import impossible
from gasketcut.engine.squish.effects import State
from gasketcut.engine.squish.floor import floor_findings
from gasketcut.engine.squish.readings import Squish, pattern, squish_of
from gasketcut.engine.squish.remarks import remarks
from gasketcut.engine.squish.verdict import SquishVerdict, verdict_of
from gasketcut.engine.stack.choices import Choice, FittedStock, Layer, choices
from gasketcut.engine.stack.clamp import clamping
from gasketcut.engine.stack.clamped import Origin
from gasketcut.engine.stack.fitted import FittedStocks
from gasketcut.engine.states.planned import Beside, Sensitivity, Stage, planned, side_by_side
from gasketcut.engine.states.standing import NORMAL, Standing, as_fitted, as_measured
from gasketcut.errors import IncompleteError
from gasketcut.finding import Finding
from gasketcut.job.model import Job, SquishSpec
from gasketcut.length import Measured, Units
from gasketcut.parts.stock import Range, Stock
from gasketcut.profile.squish import Running


@dataclass(frozen=True, slots=True, kw_only=True)
class SquishResult:
    """Everything about the squish. `choices` come best first; `best` is None if none can be recommended; `fitted` is
    how thick each stock of the job is when clamped.

    before       the engine as it was measured
    gasket_only  with the new gasket and no port touched; None where no work in the bore is asked for
    after        with everything that is planned, gasket and work
    under        what is planned under the cylinder
    sensitivity  what a little more or less there changes
    side_by_side the first choices with all that they do
    assumed      what all this rests on although the job does not say it
    """

    squish: Squish
    present: float
    bare: Measured
    target: float
    band: tuple[float, float]
    needed: float
    choices: tuple[Choice, ...]
    best: Choice | None
    verdict: SquishVerdict
    fitted: FittedStocks
    before: State
    gasket_only: State | None
    after: State
    sensitivity: Sensitivity
    side_by_side: tuple[Beside, ...]
    under: Stage
    work: tuple[PortChange, ...]
    findings: tuple[Finding, ...]
    assumed: tuple[Assumed, ...] = ()
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
    squish = squish_of(spec, job.engine)
    bare = Measured(
        squish.mean.value - spec.gasket_present.value, sqrt(squish.mean.sigma**2 + spec.gasket_present.sigma**2)
    )
    if bare.value <= 0:
        message = (
            f"the gasket in place, {spec.gasket_present.value:g} mm, is no thinner than the squish of "
            f"{squish.mean.value:.3f} mm: without it the piston would meet the head; check both"
        )
        raise job.refused((("squish", "gasket_present"), message))
    band = band_of(spec, target)
    sheets = [FittedStock(stock, shelf.base[stock.name]) for stock in job.stock if _goes_under(stock)]
    found = tuple(choices(sheets, bare, spec.sealant, target, band))
    best = next((choice for choice in found if _recommended(choice, band)), None)
    wanted = target - bare.value
    needed = wanted - (spec.sealant[1] if wanted > 0 and (best is None or best.layers) else 0.0)
    fitted = gasket if gasket is not None else best.fitted[1] if best else wanted
    present = spec.gasket_present.value
    lies = best.fitted if best and gasket is None else (fitted, fitted, fitted)
    try:
        plan = planned(
            job, as_measured(spec.gasket_present, squish.mean), _standing(lies, bare, spec.gasket_present, squish)
        )
    except ValueError as error:
        raise job.refused((("squish",), str(error))) from error
    findings = [
        *pattern(spec, squish),
        *floor_findings(job, plan.after, band[0], best.squish if best and gasket is None else None, running),
        *(_guesses(best, sheets) if best else ()),
        *clamping(job.clamp, shelf.load),
        *remarks(job.engine, plan.before, plan.after, plan.work),
    ]
    return SquishResult(
        squish=squish,
        present=present,
        bare=bare,
        target=target,
        band=band,
        needed=needed,
        choices=found,
        best=best,
        verdict=verdict_of(bare.value, target, best),
        fitted=shelf,
        before=plan.before,
        gasket_only=plan.gasket_only,
        after=plan.after,
        sensitivity=plan.sensitivity,
        side_by_side=side_by_side(
            job, [(one, _standing(one.fitted, bare, spec.gasket_present, squish)) for one in found[:BESIDE]]
        ),
        under=_under(best, fitted, is_given=gasket is not None),
        work=plan.work,
        findings=tuple(findings),
        units=job.units,
    )


def band_of(spec: SquishSpec, target: float) -> tuple[float, float]:
    """Floor and ceiling: the user's, else HALF_BAND either side of the target; a ceiling mirrors a given floor."""
    low = spec.least if spec.least is not None else max(0.0, target - HALF_BAND)
    return low, spec.most if spec.most is not None else 2 * target - low


def _under(best: Choice | None, fitted: float, *, is_given: bool) -> Stage:
    if fitted < 0:
        return Stage.BASE_CUT
    if fitted == 0:
        return Stage.BARE
    return Stage.GASKET if best is not None or is_given else Stage.SPACER


def _standing(fitted: Range, bare: Measured, present: Measured, squish: Squish) -> Standing:
    scatter, likely = NORMAL * bare.sigma, bare.value + fitted[1]
    least, most = hypot(fitted[1] - fitted[0], scatter), hypot(fitted[2] - fitted[1], scatter)
    return as_fitted(fitted, (likely - least, likely, likely + most), present, squish.mean)


def layers_of(answer: SquishResult | None) -> tuple[Layer, ...]:
    """The layers of the recommended stack."""
    return answer.best.layers if answer and answer.best else ()


def _goes_under(stock: Stock) -> bool:
    return not stock.joints or "base" in stock.joints


def _recommended(choice: Choice, band: tuple[float, float]) -> bool:
    inside = band[0] <= choice.squish[1] <= band[1]
    return inside and choice.odds.in_band >= LEAST_IN_BAND and choice.odds.under_floor <= MOST_UNDER


def _guesses(best: Choice, sheets: list[FittedStock]) -> Iterator[Finding]:
    used = {layer.stock for layer in best.layers}
    for sheet in sheets:
        if sheet.stock.name in used and sheet.fitted.origin is Origin.NOMINAL:
            yield Finding(
                rule="thickness",
                weight="warn",
                part=None,
                text=f"how thick {sheet.stock.name} is when clamped is a guess from its nominal thickness",
                do="clamp a piece, measure it, and write fitted = [least, likely, most]",
            )
