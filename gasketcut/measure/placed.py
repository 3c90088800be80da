"""Measured hole places put where a part asks for them."""

from __future__ import annotations

from dataclasses import replace

from gasketcut.errors import GasketError
from gasketcut.job.model import Holes, Job, PartSpec
from gasketcut.measure.pattern import Pattern, solve

SIGMAS = 2.0
"""A measured place may be off by so many standard errors: 95 in 100 are nearer."""


def with_measured_places(job: Job) -> Job:
    """The job with the places of every `from = [...]` filled in; their uncertainty adds to the studs' own tolerance.

    Raise `GasketError` if the readings contradict each other: no part is cut from such a pattern.
    """
    asked = [part for part in job.parts if any(holes.measured for holes in _patterns(part))]
    if not asked or job.measure is None:
        return job
    pattern = solve(job.measure)
    stops = [finding.text for finding in pattern.findings if finding.weight == "stop"]
    if stops:
        raise GasketError(f"[measure]: {'; '.join(stops)}")
    return replace(job, parts=tuple(_part(part, pattern) for part in job.parts))


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
