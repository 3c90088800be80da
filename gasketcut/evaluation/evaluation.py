"""One job worked out: hole places, squish, parts, findings, verdicts, how it is cut, sheets, quote, top end.

Each is worked out when it is first asked for, and only here; terminal, JSON, build sheet, pages and drawings read it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from types import MappingProxyType
from typing import TYPE_CHECKING

from gasketcut.engine.assumed import assumed
from gasketcut.engine.deck import with_one_deck
from gasketcut.engine.ports.crank import Crank
from gasketcut.engine.ports.events import Event, events, exceeded_goals, need_crank
from gasketcut.engine.ports.order import planned_order
from gasketcut.engine.ports.wall import BoreWall, bore_wall
from gasketcut.engine.squish.consistency import contradictions
from gasketcut.engine.squish.result import SquishResult, layers_of, squish_result_of
from gasketcut.engine.stack.clamp import ClampLoad
from gasketcut.engine.stack.fitted import FittedStocks, fitted_stocks
from gasketcut.engine.topend.result import TopEndResult, topend_result
from gasketcut.engine.unusual import unusual_values
from gasketcut.evaluation.base_joint import BaseJoint
from gasketcut.evaluation.drawings import drawings_of
from gasketcut.evaluation.not_yet import not_yet
from gasketcut.finding import Finding, has_stop, sorted_findings
from gasketcut.job.contradiction import Contradiction, Result
from gasketcut.job.model import Job
from gasketcut.length import in_order
from gasketcut.parts.part_spec import Around, PartSpec
from gasketcut.profile.profiles import Profiles
from gasketcut.verdict import Verdict, worst

if TYPE_CHECKING:
    from gasketcut.checks.clearance import Looking
    from gasketcut.cutting.nest.search import OnProgress
    from gasketcut.cutting.nest.sheets import Sheets
    from gasketcut.cutting.quote import Quote
    from gasketcut.engine.ways.result import WaysResult
    from gasketcut.evaluation.grinding import Grinding
    from gasketcut.evaluation.grown import GrownPort
    from gasketcut.evaluation.part_result import JointResult, PartResult
    from gasketcut.measure.pattern import Pattern
    from gasketcut.parts.part import Part
    from gasketcut.parts.words import Drawings


@dataclass(frozen=True, eq=False, repr=False)
class Evaluation:
    """What a job comes to. Raise `JobError`, with all faults, when something is asked for that cannot be drawn.

    job          as it was given, its engine with one deck from whichever way it was measured
    gasket       fitted thickness [mm] for which "after" is wanted, in place of the best choice
    known        parts of an earlier evaluation: those that have not changed keep their results
    on_progress  called with how far a search for a layout has come
    on_looking   called with the names of part and window while the worst motion is looked for
    """

    job: Job
    profiles: Profiles
    gasket: float | None = None
    known: Mapping[str, PartResult] = field(default_factory=dict)
    on_progress: OnProgress | None = None
    on_looking: Looking | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "job", with_one_deck(self.job))

    # -- hole places -------------------------------------------------------------------------------------------

    @cached_property
    def pattern(self) -> Pattern | None:
        """Where the holes of `[measure]` are."""
        if self.job.measure is None:
            return None
        from gasketcut.measure.pattern import solve  # few jobs need it

        return solve(self.job.measure)

    @cached_property
    def specs(self) -> tuple[PartSpec, ...]:
        """The parts with the measured places filled in, the ports as `[[work]]` will make them, and a part for each
        piece of a received drawing."""
        return self._grown[0]

    @cached_property
    def _grown(self) -> tuple[tuple[PartSpec, ...], tuple[GrownPort, ...]]:
        from gasketcut.evaluation.grown import grown_ports
        from gasketcut.evaluation.received import with_drawings
        from gasketcut.measure.placed import with_measured_places

        specs = self.job.parts if self.pattern is None else with_measured_places(self.job, self.pattern)
        return grown_ports(self.job, with_drawings(self.job, specs), self._around)

    @cached_property
    def drawings(self) -> Drawings:
        """The received drawings that the job names."""
        return drawings_of(self.job)

    # -- engine ------------------------------------------------------------------------------------------------

    @cached_property
    def contradictions(self) -> tuple[Contradiction, ...]:
        """What the job says twice, differently."""
        return contradictions(self.job)

    def require(self, *results: Result) -> None:
        """Raise `JobError` with both readings where one of these results depends on what contradicts itself."""
        if wrong := [one for one in self.contradictions if set(one.blocks) & set(results)]:
            said = "keep the one you trust"
            units = self.job.units
            raise self.job.refused(*((one.keys[0], f"{in_order(one.text, units)}; {said}") for one in wrong))

    def is_blocked(self, result: Result) -> bool:
        """Does it depend on what contradicts itself?"""
        return any(result in one.blocks for one in self.contradictions)

    @cached_property
    def unusual(self) -> tuple[Finding, ...]:
        """Values outside their usual range, of which the job does not say that it is sure."""
        return self._in_order(unusual_values(self.job))

    @cached_property
    def about_job(self) -> tuple[Finding, ...]:
        """Contradictions, and values outside their usual range."""
        return (*self._in_order(one.finding() for one in self.contradictions), *self.unusual)

    @cached_property
    def squish(self) -> SquishResult | None:
        """Which base gasket gives the squish that is wanted, and what it does; None without `[squish]`.

        Raise `IncompleteError` where that lacks something, `JobError` with both readings where it depends on what
        contradicts itself.
        """
        self.require("squish")
        running = self.profiles.squish.running_for(self.job.engine.bore if self.job.engine else None)
        result = squish_result_of(self.job, running, self.fitted, self.gasket, self.profiles.ports.time_areas)
        if result is None:
            return None
        more = (*self._joint.agreement, *self.about_job)
        rests_on = assumed(self.job, running, result.band, layers_of(result), self.fitted, result.after)
        return replace(result, findings=self._in_order((*result.findings, *more)), assumed=rests_on)

    @cached_property
    def ways(self) -> WaysResult | None:
        """How the engine comes to what `[wanted]` says, and the errors of `ways_to_wanted`."""
        from gasketcut.evaluation.to_wanted import ways_to_wanted  # few jobs need it

        return ways_to_wanted(self)

    @property
    def known_squish(self) -> SquishResult | None:
        """The same for whoever can do without: None too where `[squish]` lacks something, or depends on what
        contradicts itself."""
        return None if self.is_blocked("squish") or self.job.lacking("squish") else self.squish

    @cached_property
    def fitted(self) -> FittedStocks:
        """How thick each stock is once it is clamped."""
        return fitted_stocks(self.job, self.profiles.sheets, self.clamp)

    @property
    def clamp(self) -> ClampLoad | None:
        """How the base joint is clamped."""
        return self._joint.load

    @cached_property
    def _joint(self) -> BaseJoint:
        return BaseJoint(self.job, self.profiles.fasteners, lambda: self.built)

    @cached_property
    def topend(self) -> TopEndResult:
        """Ring, port width, outlet, key, pressure, cost and trials, as far as the job speaks of them."""
        return topend_result(self.job, self.known_squish, self.prices, self.profiles)

    @property
    def crank(self) -> Crank:
        """Raise `GasketError` with the lines to add if the job has no stroke or no rod."""
        self.require("wheel")
        return need_crank(self.job)[1]

    @cached_property
    def events(self) -> tuple[Event, ...]:
        """Opening and closing of every port, old and new; raise `GasketError` as `crank` does."""
        self.require("wheel")
        return events(self.job, self.known_squish)

    @property
    def exceeded(self) -> tuple[Finding, ...]:
        """Durations that `[[work]]` wants and that are exceeded already."""
        return self._in_order(exceeded_goals(self.job, self.known_squish))

    @cached_property
    def wall(self) -> BoreWall:
        """The bore laid flat; raise `GasketError` with what to add if there is no bore or no window to draw."""
        self.require("stencil")
        return bore_wall(self.job, self.known_squish)

    # -- parts -------------------------------------------------------------------------------------------------

    @cached_property
    def built(self) -> tuple[Part, ...]:
        """Every part as a polygon, in the order of the job."""
        from gasketcut.parts.build import build_parts

        return build_parts(self.specs, self._around, self.job.called(), self._build)

    def _around(self, spec: PartSpec) -> Around:
        if spec.needs_exhaust_port:
            self.require("outlet")
        exhaust = self.job.exhaust_mm2 if spec.needs_exhaust_port else None
        files = {file for shape in spec.shapes() if (file := shape.drawing_file) is not None}
        drawings = {file: self.drawings[file] for file in files}
        return Around(self.job.sheet(spec.stock), exhaust, drawings)

    def _build(self, spec: PartSpec, around: Around) -> Part:
        earlier = self.known.get(spec.name)
        if earlier is not None and earlier.spec == spec and earlier.around == around:
            return earlier.part
        return spec.built(around)

    @cached_property
    def parts(self) -> Mapping[str, PartResult]:
        """Every part that is cut, by name."""
        from gasketcut.evaluation.jobs_findings import jobs_findings
        from gasketcut.evaluation.work_out import part_result

        specs, made = {spec.name: spec for spec in self.specs}, {part.name: part for part in self.built}
        job, profiles, squish, found = self.job, self.profiles, self.known_squish, {}
        for part in self.built:
            spec = specs[part.name]
            around = replace(self._around(spec), built={spec.of: made[spec.of]} if spec.of else {})
            earlier = self.known.get(part.name)
            result = part_result(part, spec, around, job.cutting, profiles, earlier, self.on_looking)
            jobs = jobs_findings(part, self.specs, made, job, profiles, squish, self.grindings[part.name])
            more = (*jobs, *self._layout_stops(part.name))
            own = self._in_order(result.own_findings)
            found[part.name] = result.of_job(job.units, own, self._in_order(more))
        return MappingProxyType(found)

    @cached_property
    def joints(self) -> Mapping[str, JointResult]:
        """Every joint of two faces without a sheet, by name."""
        from gasketcut.evaluation.work_out import joint_result

        return MappingProxyType(
            {
                one.name: joint_result(one, self.drawings, self.grindings[one.name])
                for one in self.specs
                if not one.is_cut
            }
        )

    @cached_property
    def grindings(self) -> Mapping[str, tuple[Grinding, ...]]:
        """What is to be ground off at the flange of each part or joint, by name."""
        from gasketcut.evaluation.grinding import grindings

        return MappingProxyType({spec.name: grindings(spec, self._grown[1], self.drawings) for spec in self.specs})

    # -- findings ----------------------------------------------------------------------------------------------

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """Everything that was found, the gravest first; what a search for a layout found stands with the sheets."""
        from gasketcut.checks.plausible import go_together

        found = [finding for part in self.parts.values() for finding in part.findings]
        own = {name: result.part for name, result in self.parts.items() if result.part.drawn is None}
        found += go_together(own, self.job)
        found += [finding for joint in self.joints.values() for finding in joint.findings]
        if self.known_squish is not None and not any(result.spec.is_base for result in self.parts.values()):
            found += self.known_squish.findings
        found += not_yet(self.job)
        if self.known_squish is None:
            found += (*self.about_job, *self.exceeded)
            found += () if self.is_blocked("squish") else planned_order(self.job)
        found += [finding for finding in self._quick_layout if finding.part not in self.parts]
        return sorted_findings(self._in_order(found))

    def _in_order(self, findings: Iterable[Finding]) -> tuple[Finding, ...]:
        """With the lengths in their texts in the order of the job's unit."""
        return tuple(one.in_order(self.job.units) for one in findings)

    @property
    def verdict(self) -> Verdict:
        """The worst of the parts', and of what concerns no part alone."""
        whole = Verdict.NOT_PROVEN if self.job.lacking("part") else Verdict.FITS
        alone = Verdict.DOES_NOT_FIT if has_stop(self.findings) else whole
        parts, joints = self.parts.values(), self.joints.values()
        return worst([*(one.verdict for one in parts), *(one.verdict for one in joints), alone])

    # -- cutting -----------------------------------------------------------------------------------------------

    @cached_property
    def _quick_layout(self) -> tuple[Finding, ...]:
        """What cannot be laid out at all, which plain rows tell as well as a search does."""
        if self.job.layout is None:
            return ()
        from gasketcut.evaluation.work_out import layout_stops

        return layout_stops(self.built, self.job, self.profiles)

    def _layout_stops(self, part: str) -> tuple[Finding, ...]:
        return tuple(finding for finding in self._quick_layout if finding.part == part)

    @cached_property
    def laid_out(self) -> tuple[tuple[Sheets, ...], tuple[Finding, ...]]:
        """All parts on whole sheets, where the job asks for them, and what the search found."""
        if self.job.layout is None:
            return (), ()
        from gasketcut.evaluation.work_out import on_sheets

        return on_sheets(self.parts, self.job, self._quick_layout, self.on_progress)

    @property
    def sheets(self) -> tuple[Sheets, ...]:
        """All parts on whole sheets."""
        return self.laid_out[0]

    @cached_property
    def quote(self) -> Quote | None:
        """What cutting everything comes to; None where no process is named."""
        from gasketcut.cutting.cut_part import quoted

        used = {name: area for one in self.sheets for name, area in one.used().items()}
        whole = sum(len(one.layout.sheets) for one in self.sheets) if self.job.layout is not None else None
        return quoted([result.cut for result in self.parts.values()], self.job.cutting, used, whole)

    @cached_property
    def prices(self) -> Mapping[str, float]:
        """What one piece of each part costs to cut, where a line of the parts list asks for it."""
        if not any(cost.part and cost.price is None for cost in self.job.topend.costs) or self.quote is None:
            return {}
        return {row.part: row.cost for row in self.quote.rows if row.cost is not None}

    def __repr__(self) -> str:
        return f"<evaluation of '{self.job.title}', {len(self.job.parts)} parts>"
