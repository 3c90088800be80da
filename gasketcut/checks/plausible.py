"""Is a part of a size that a small engine has, and do parts and bore go together? A slip of the unit shows here."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from gasketcut.described import Usual
from gasketcut.finding import Finding
from gasketcut.job.model import Job
from gasketcut.job.usual import PART_SIZE
from gasketcut.length import IN, both
from gasketcut.parts.part import Part

SIZE = Usual(8.0, 400.0)
"""Longer side of a part of a small engine [mm]."""

MIXED = 20.0
"""Times by which the largest part of one job may exceed the smallest: a washer and a flange do, beyond it one of them
was most likely typed in the other unit. Our choice."""

OF_BORE = (0.5, 2.0)
"""A base gasket's opening against the bore. Our choice."""

SWALLOWED = 0.4
"""Share of a part's lesser side beyond which one of its bolt holes swallows it. Our choice."""


def plausible(part: Part, job: Job) -> Iterator[Finding]:
    """A warning for a size, or for bolt holes, that no part of a small engine has; silent where the job is sure."""
    if PART_SIZE in job.sure:
        return
    x, y = _size(part)
    usual = SIZE
    if max(x, y) > usual.high or max(x, y) < usual.low:
        yield _warn(part.name, f"in mm this is {x:,.0f} x {y:,.0f}{_meant(max(x, y), job)}", max(x, y))
    spec = job.part(part.name)
    bolts = (*spec.studs, *spec.dowels, *spec.holes) if spec else ()
    largest = max((holes.diameter for holes in bolts if holes.face is None), default=0.0)
    if largest > SWALLOWED * min(x, y):
        text = f"a hole of {both(largest)} swallows a part of {both(x, 1)} x {both(y, 1)}; is its diameter right?"
        yield _warn(part.name, text, largest)


def go_together(parts: Mapping[str, Part], job: Job) -> Iterator[Finding]:
    """One warning where the parts of a job, or a base gasket and the bore, are of different magnitudes."""
    sizes = {name: max(_size(part)) for name, part in parts.items()}
    if PART_SIZE in job.sure or not sizes:
        return
    small, large = min(sizes, key=lambda name: sizes[name]), max(sizes, key=lambda name: sizes[name])
    if sizes[large] > MIXED * sizes[small]:
        text = f"'{large}' is {both(sizes[large], 1)} long and '{small}' {both(sizes[small], 1)}"
        yield _warn(None, f"{text}; was one of them typed in another unit?", sizes[large])
        return
    bore = job.engine.bore if job.engine else None
    for spec in job.parts:
        opening = spec.opening.circle() if spec.opening is not None and spec.is_base else None
        if bore is not None and opening is not None and not OF_BORE[0] <= 2 * opening.radius / bore <= OF_BORE[1]:
            text = f"its opening of {both(2 * opening.radius)} does not go with a bore of {both(bore)}"
            yield _warn(spec.name, f"{text}; was one of them typed in another unit?", 2 * opening.radius)


def _size(part: Part) -> tuple[float, float]:
    left, low, right, high = part.outer.bounds
    return right - left, high - low


def _meant(largest: float, job: Job) -> str:
    """The unit that would make it an ordinary part."""
    usual = SIZE
    if job.units == "in" and usual.low <= largest / IN <= usual.high:
        return '; did you mean units = "mm"?'
    if job.units == "mm" and usual.low <= largest * IN <= usual.high:
        return '; did you mean units = "in"?'
    return "; are its numbers and their units right?"


def _warn(part: str | None, text: str, found: float) -> Finding:
    do = f'check the numbers and their unit; if they are right, write sure = ["{PART_SIZE}"] at the top of the job'
    return Finding(rule="unusual", weight="warn", part=part, text=text, do=do, found=found)
