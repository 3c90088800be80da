"""What the rest of the job has to say of one part: squish, work on its ports, sheets, the parts it is bolted to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from gasketcut.checks.assembly.muffler import muffler_parts
from gasketcut.checks.assembly.stud_length import stud_length
from gasketcut.checks.plausible import plausible
from gasketcut.checks.thickness import thickness
from gasketcut.engine.squish.result import SquishResult
from gasketcut.evaluation.grinding import Grinding, found_of
from gasketcut.finding import Finding
from gasketcut.job.model import Job
from gasketcut.parts.part import Part
from gasketcut.parts.part_spec import PartSpec
from gasketcut.profile.profiles import Profiles


def jobs_findings(
    part: Part,
    specs: Sequence[PartSpec],
    made: Mapping[str, Part],
    job: Job,
    profiles: Profiles,
    squish: SquishResult | None,
    ground: Sequence[Grinding],
) -> Iterator[Finding]:
    """Everything that concerns the part and that it does not know itself.

    made   : all parts of the job, by name
    squish : the answer, where there is one
    ground : what is ground off at this part's flange
    """
    spec = next(one for one in specs if one.name == part.name)
    if squish is not None and spec.is_base:
        yield from thickness(part, squish)
        yield from squish.for_part(part.name)
    yield from found_of(ground)
    if part.drawn is None:  # a received drawing's size and unit are looked at where it is read
        yield from plausible(part, job)
    yield from muffler_parts(spec, made, job, profiles.outlet.screen)
    spacers = [made[one.name] for one in specs if one.lies_on_original and one.of == spec.name]
    yield from stud_length(spec, part, spacers, profiles.fasteners)
