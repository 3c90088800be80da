"""Holes off the sheet or over its edge."""

from __future__ import annotations

from collections.abc import Iterator

from gasketcut.checks.subject import Subject
from gasketcut.finding import Finding
from gasketcut.parts.part import Cut, Part


def holes(subject: Subject) -> Iterator[Finding]:
    """One finding for each hole that is not wholly in the sheet, and for each opening that lies off it."""
    part = subject.part
    for cut in part.cuts:
        if cut.shape.disjoint(part.outer):
            yield _finding(part, cut, "lies off the sheet")
        elif cut.way is None and not cut.shape.within(part.outer):
            yield _finding(part, cut, "breaks out of the sheet's edge")


def _finding(part: Part, cut: Cut, what: str) -> Finding:
    return Finding(
        rule="hole",
        weight="stop",
        part=part.name,
        at=(cut.shape.centroid.x, cut.shape.centroid.y),
        text=f"{cut.says} {what}",
        do="check the place and the diameter of the hole",
    )
