"""All checks, in one call."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from gasketcut.finding import Finding
from gasketcut.fit.clamping import clamping
from gasketcut.fit.faces import faces
from gasketcut.fit.holes import holes
from gasketcut.fit.lands import lands
from gasketcut.fit.overhang import overhangs
from gasketcut.fit.passages import passages
from gasketcut.fit.stock import on_stock
from gasketcut.fit.upside import upside
from gasketcut.fit.worst import worst_findings
from gasketcut.job.model import PartSpec
from gasketcut.shape.joint import Joint
from gasketcut.shape.part import Part


def check(
    part: Part, spec: PartSpec, joint: Joint | None = None, beside: Path | None = None, *, signing_off: bool = True
) -> Iterator[Finding]:
    """Every finding about the part, and about the two faces it lies between where they are known.

    signing_off : a passage that is neither drawn nor declared not to be there is a stop, and how clear a window stays
                  is worked out; otherwise the first is a warning, and a quick bound will do where it shows all is well
    """
    yield from overhangs(part)
    yield from worst_findings(part, spec.growth_percent, precise=signing_off)
    yield from holes(part)
    yield from lands(part, beside)
    yield from passages(spec, beside, "stop" if signing_off else "warn")
    yield from upside(part)
    yield from clamping(part, spec, beside)
    yield from on_stock(part)
    if joint is not None:
        yield from faces(joint)
