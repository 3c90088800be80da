"""All that is known of one part, or of one joint of two faces, once a job has been evaluated."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from shapely.geometry import Polygon

from gasketcut.checks.clearance import Clearance
from gasketcut.checks.sealing.lands import Narrowest
from gasketcut.checks.sealing.seal import Seal
from gasketcut.cutting.cut_part import CutPart
from gasketcut.cutting.hand import HandWork
from gasketcut.evaluation.passage_row import PassageRow, passage_row
from gasketcut.finding import Finding, has_stop
from gasketcut.job.cutting import CuttingSpec
from gasketcut.length import Units
from gasketcut.parts.part import Part
from gasketcut.parts.part_spec import Around, PartSpec
from gasketcut.profile.profiles import Profiles
from gasketcut.shape.loop import Outline
from gasketcut.verdict import Verdict


def verdict_of(findings: Iterable[Finding], unsaid: Iterable[str], clearances: Iterable[Clearance]) -> Verdict:
    """What may be said of a part of which all this is known."""
    if has_stop(findings):
        return Verdict.DOES_NOT_FIT
    if any(unsaid):
        return Verdict.NOT_PROVEN
    if any(one.can_shift_in for one in clearances):
        return Verdict.FITS_AS_DRAWN
    return Verdict.FITS


@dataclass(frozen=True, slots=True, kw_only=True)
class PartResult:
    """One part.

    spec, around     what it was worked out from
    clearances       of every port and passage of the metal
    seals            of each against every other gas, bolt's hole and the outside
    unsaid           what has to be said before anything is proven of it
    narrowest        its narrowest land or web, None if nothing is cut out of it
    print_tolerance  share by which a print may be off before the holes miss their studs; None without two studs
    cut              as it is cut, kerf and tool's path included
    hand             how it is cut by hand: steps, punches, drill holes
    units            in which it is answered first
    basis            what else it was worked out from: how it is cut, and the profiles
    """

    spec: PartSpec
    around: Around
    part: Part
    clearances: tuple[Clearance, ...]
    seals: tuple[Seal, ...] = ()
    unsaid: tuple[str, ...]
    narrowest: Narrowest | None
    print_tolerance: float | None
    cut: CutPart
    hand: HandWork
    own_findings: tuple[Finding, ...]
    jobs_findings: tuple[Finding, ...] = ()
    basis: tuple[CuttingSpec, Profiles]
    units: Units = "mm"

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What the part's own checks found, and what the rest of the job has to say of it."""
        return (*self.own_findings, *self.jobs_findings)

    @property
    def name(self) -> str:
        return self.spec.name

    @property
    def polygon(self) -> Polygon:
        """The sheet that is left, holes and openings cut out."""
        return self.part.solid

    @property
    def outline(self) -> Outline:
        """The same as lines, arcs and circles."""
        return self.cut.nominal

    @property
    def clear_mm(self) -> float | None:
        """The least clearance proven over all motions; negative: into the gas; None: nothing to be clear of."""
        known = [one.clear for one in self.clearances if one.clear is not None]
        return min(known) if known else None

    def clearance_of(self, finding: Finding) -> Clearance | None:
        """The clearance of which the finding speaks, if it speaks of a motion."""
        if finding.rule != "worst overhang":
            return None
        known = (one for one in self.clearances if one.worst is not None and one.worst.at == finding.at)
        return next(known, None)

    @property
    def passages(self) -> tuple[PassageRow, ...]:
        """What is proven of each port and passage of the metal, in numbers."""
        return tuple(passage_row(self.name, one, self.seals) for one in self.clearances)

    @property
    def verdict(self) -> Verdict:
        return verdict_of(self.findings, self.unsaid, self.clearances)

    def of_job(self, units: Units, own: tuple[Finding, ...], jobs: tuple[Finding, ...]) -> PartResult:
        """As the job has it: in its unit, its own findings in that unit, and what the rest of the job says of it."""
        if (units, own, jobs) == (self.units, self.own_findings, self.jobs_findings):
            return self
        return replace(self, units=units, own_findings=own, jobs_findings=jobs)

    def without_the_jobs(self) -> PartResult:
        """Without what the rest of the job had to say of it."""
        return replace(self, jobs_findings=()) if self.jobs_findings else self

    def __repr__(self) -> str:
        left, low, right, high = self.outline.bounds
        return f"<{self.spec.kind} '{self.name}', {right - left:.1f} x {high - low:.1f} mm: {self.verdict.value}>"

    def _repr_svg_(self) -> str:
        """The part as a notebook shows it."""
        from gasketcut.output.svg import write_svg  # a value that shows itself asks the writer, and nothing else does

        return write_svg(self.cut.cut, self.cut.path, self.cut.kerf, self.cut.tool).decode()


@dataclass(frozen=True, slots=True)
class JointResult:
    """Two faces without a sheet between them."""

    spec: PartSpec
    findings: tuple[Finding, ...]

    @property
    def name(self) -> str:
        return self.spec.name

    @property
    def verdict(self) -> Verdict:
        return Verdict.DOES_NOT_FIT if has_stop(self.findings) else Verdict.FITS
