"""How one part's result comes about: clearances, checks, how it is cut."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from gasketcut.checks.check import checked
from gasketcut.checks.clearance import Looking, clearances
from gasketcut.checks.faces import faces
from gasketcut.checks.motion.printed import print_tolerance
from gasketcut.checks.passages import unsaid
from gasketcut.checks.sealing.lands import narrowest
from gasketcut.checks.sealing.seal import seals
from gasketcut.checks.subject import Subject
from gasketcut.cutting.cut_part import cut_findings, cut_part
from gasketcut.cutting.hand import hand_work
from gasketcut.cutting.nest.search import OnProgress
from gasketcut.cutting.nest.sheets import Sheets, laid_out
from gasketcut.evaluation.grinding import Grinding, found_of
from gasketcut.evaluation.part_result import JointResult, PartResult
from gasketcut.finding import Finding
from gasketcut.job.cutting import CuttingSpec
from gasketcut.job.model import Job
from gasketcut.parts.faces import faces_of
from gasketcut.parts.part import Part
from gasketcut.parts.part_spec import Around, PartSpec
from gasketcut.parts.words import Drawings
from gasketcut.profile.profiles import Profiles
from gasketcut.verdict import Verdict


def part_result(
    part: Part,
    spec: PartSpec,
    around: Around,
    cutting: CuttingSpec,
    profiles: Profiles,
    earlier: PartResult | None,
    looking: Looking | None = None,
) -> PartResult:
    """Everything about one part; what an earlier evaluation found, if nothing that it depends on has changed."""
    if earlier is not None and earlier.part is part and earlier.spec == spec and earlier.basis == (cutting, profiles):
        return earlier.without_the_jobs()
    subject = subject_of(part, spec, around, profiles, looking)
    ready = cut_part(part, cutting, profiles.cutters)
    found = (*checked(subject), *cut_findings(ready, cutting, profiles.cutters))
    return PartResult(
        spec=spec,
        around=around,
        part=part,
        clearances=subject.clearances,
        seals=subject.seals,
        unsaid=unsaid(part, spec, profiles.joints),
        narrowest=subject.narrowest,
        print_tolerance=print_tolerance(part),
        cut=ready,
        hand=hand_work(part, ready.nominal, profiles.punches),
        own_findings=found,
        basis=(cutting, profiles),
    )


def subject_of(
    part: Part, spec: PartSpec, around: Around, profiles: Profiles, looking: Looking | None = None
) -> Subject:
    """The part with all that the checks look at."""
    clear = clearances(part, spec.growth_percent, looking)
    sealed = seals(part, spec.growth_percent, profiles.sheets.seal(around.stock.material if around.stock else None))
    return Subject(part, spec, faces_of(spec, around.drawings), clear, narrowest(part), profiles, sealed)


def joint_result(spec: PartSpec, drawings: Drawings, ground: Sequence[Grinding]) -> JointResult:
    """The two faces against each other, and what is to be ground off them."""
    pair = faces_of(spec, drawings)
    return JointResult(spec, (*(faces(pair) if pair else ()), *found_of(ground)))


def layout_stops(parts: Sequence[Part], job: Job, profiles: Profiles) -> tuple[Finding, ...]:
    """What finds no place on its sheet: plain rows show that without a search."""
    if job.layout is None:
        return ()
    ready = [cut_part(part, job.cutting, profiles.cutters) for part in parts]
    found = laid_out(ready, job.layout, job.cutting, quick=True)[1]
    return tuple(one for one in found if one.weight != "note")  # how it was laid out is for the search to say


def on_sheets(
    parts: Mapping[str, PartResult], job: Job, said: Sequence[Finding], on_progress: OnProgress | None
) -> tuple[tuple[Sheets, ...], tuple[Finding, ...]]:
    """All parts on whole sheets, and what the search found besides what was `said` already."""
    if job.layout is None:
        return (), ()
    ready = [result.cut for result in parts.values()]
    sheets, findings = laid_out(ready, job.layout, job.cutting, on_progress)
    unfit = frozenset(name for name, one in parts.items() if one.verdict is Verdict.DOES_NOT_FIT)
    return tuple(replace(one, unfit=unfit) for one in sheets), tuple(one for one in findings if one not in said)
