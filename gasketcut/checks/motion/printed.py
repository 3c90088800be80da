"""How wrong a print may be before the holes no longer go over the studs."""

from __future__ import annotations

from gasketcut.checks.clearance import locators
from gasketcut.parts.part import Part
from gasketcut.shape.motion import free_motions

WIDEST = 0.05
"""Beyond this share nobody prints; a single stud allows any."""


def print_tolerance(part: Part) -> float | None:
    """The share by which a print may be too large or too small and still go over its studs; None without two studs.

    Of both the smaller. A hole moves by no more if only one direction of the print is off.
    """
    if len(part.studs) < 2:
        return None
    return min(_most(part, 1), _most(part, -1))


def _most(part: Part, side: int) -> float:
    studs = locators(part.studs)
    low, high = 0.0, WIDEST
    while high - low > 1e-5:
        tried = (low + high) / 2
        low, high = (tried, high) if free_motions(studs, side * tried) is not None else (low, tried)
    return low
