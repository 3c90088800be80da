"""How wrong a print may be before the holes no longer go over the studs."""

from __future__ import annotations

from gasketcut.checks.clearance import locators
from gasketcut.parts.part import Part
from gasketcut.shape.motion import most_growth

WIDEST = 0.05
"""Beyond this share nobody prints; a single stud allows any."""


def print_tolerance(part: Part) -> float | None:
    """The share by which a print may be too large or too small and still go over its studs; None without two studs.

    Of both the smaller. A hole moves by no more if only one direction of the print is off.
    """
    if len(part.studs) < 2:
        return None
    return most_growth(locators(part.studs), WIDEST)
