"""Measured hole places put where a part asks for them."""

from __future__ import annotations

from dataclasses import replace

from gasketcut.errors import Fault, JobError
from gasketcut.job.model import Job
from gasketcut.measure.pattern import Pattern
from gasketcut.parts.holes import Holes
from gasketcut.parts.part_spec import PartSpec

SIGMAS = 2.0
"""A measured place may be off by so many standard errors: 95 in 100 are nearer."""


def with_measured_places(job: Job, pattern: Pattern) -> tuple[PartSpec, ...]:
    """The parts with the places of every `from = [...]` filled in; their uncertainty adds to the studs' own tolerance.

    Raise `JobError` if the readings contradict each other: no part is cut from such a pattern.
    """
    if not any(holes.measured for part in job.parts for holes in _patterns(part)):
        return job.parts
    stops = [finding.text for finding in pattern.findings if finding.weight == "stop"]
    if stops:
        raise JobError(job.called(), tuple(Fault(0, "measure", text) for text in stops))
    return tuple(_part(part, pattern) for part in job.parts)


def _patterns(part: PartSpec) -> tuple[Holes, ...]:
    return (*part.studs, *part.dowels, *part.holes)


def _part(part: PartSpec, pattern: Pattern) -> PartSpec:
    return replace(
        part,
        studs=tuple(_holes(holes, pattern) for holes in part.studs),
        dowels=tuple(_holes(holes, pattern) for holes in part.dowels),
        holes=tuple(_holes(holes, pattern) for holes in part.holes),
    )


def _holes(holes: Holes, pattern: Pattern) -> Holes:
    if not holes.measured:
        return holes
    uncertainty = max(pattern.sigma[name] for name in holes.measured) * SIGMAS
    places = tuple(pattern.holes[name] for name in holes.measured)
    return replace(holes, at=places, tolerance=holes.tolerance + uncertainty)
