"""Holes off the sheet, over its edge, or into each other."""

from __future__ import annotations

from collections.abc import Iterator

import shapely
from shapely.geometry import Polygon

from gasketcut.checks.subject import Subject
from gasketcut.finding import Finding
from gasketcut.parts.part import Part
from gasketcut.shape.outlines import disc


def holes(subject: Subject) -> Iterator[Finding]:
    """One finding for each hole that is not wholly in the sheet and for each two things that run into each other.

    Two openings may join: that is how a transfer opens into the bore.
    """
    part = subject.part
    discs = [disc(hole.center, hole.diameter) for hole in part.holes]
    for hole, shape in zip(part.holes, discs, strict=True):
        if hole.role != "opening" and not shape.within(part.outer):
            off = "lies off the sheet" if shape.disjoint(part.outer) else "breaks out of the sheet's edge"
            yield _finding(part, hole.label, shape, off)
    rounds = [shape for hole, shape in zip(part.holes, discs, strict=True) if hole.role == "opening"]
    for opening in (*rounds, *part.openings):
        if opening.disjoint(part.outer):
            yield _finding(part, "an opening", opening, "lies off the sheet")
    named = [(hole.label, hole.role == "opening") for hole in part.holes] + [("an opening", True)] * len(part.openings)
    shapes = [*discs, *part.openings]
    if not shapes:
        return
    pairs = shapely.STRtree(shapes).query(shapes, predicate="intersects").T.tolist()
    for first, second in sorted(pair for pair in pairs if pair[0] < pair[1]):
        (one, one_opens), (other, other_opens) = named[first], named[second]
        if not (one_opens and other_opens):
            yield _finding(part, f"{one} and {other}", shapes[first], "run into each other")


def _finding(part: Part, who: str, shape: Polygon, what: str) -> Finding:
    return Finding(
        rule="hole",
        weight="stop",
        part=part.name,
        at=(shape.centroid.x, shape.centroid.y),
        text=f"{who} {what}",
        do="check the place and the diameter of the hole",
    )
