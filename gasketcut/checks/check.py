"""All checks, in one call."""

from __future__ import annotations

from collections.abc import Iterator

from gasketcut.checks.clamping import clamping
from gasketcut.checks.faces import faces
from gasketcut.checks.holes import holes
from gasketcut.checks.lands import lands
from gasketcut.checks.orientation import orientation
from gasketcut.checks.overhang import overhangs
from gasketcut.checks.passages import passages
from gasketcut.checks.stock import on_stock
from gasketcut.checks.worst import worst_findings
from gasketcut.finding import Finding
from gasketcut.job.model import PartSpec
from gasketcut.parts.faces import Joint
from gasketcut.parts.part import Part
from gasketcut.profile.profiles import Profiles


def check(
    part: Part, spec: PartSpec, profiles: Profiles, joint: Joint | None = None, *, signing_off: bool = True
) -> Iterator[Finding]:
    """Every finding about the part, and about the two faces it lies between where they are known.

    signing_off : a passage that is neither drawn nor declared not to be there is a stop, and how clear a window stays
                  is worked out; otherwise the first is a warning, and a quick bound will do where it shows all is well
    """
    yield from overhangs(part)
    yield from worst_findings(part, spec.growth_percent, precise=signing_off)
    yield from holes(part)
    yield from lands(part, profiles.sheets)
    yield from passages(spec, profiles.joints, "stop" if signing_off else "warn")
    yield from orientation(part)
    yield from clamping(part, spec, profiles.sheets)
    yield from on_stock(part)
    if joint is not None:
        yield from faces(joint)
