"""Do two things that are cut, or two windows of the metal, run into each other?

Found from the single shapes before they become one opening: afterwards nobody sees that there were two. What is meant
to meet is said in the job (`joins`), as where a transfer opens into the bore; a bolt's hole is never meant to.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import TYPE_CHECKING

import shapely
from shapely.geometry.base import BaseGeometry

from gasketcut.finding import Finding
from gasketcut.length import both
from gasketcut.parts.part import Cut, FlangeOpening, Part

if TYPE_CHECKING:
    from gasketcut.checks.subject import Subject

Pair = tuple[int, int]
"""Numbers of two cuts of a part, the lower first."""


def overlapping(part: Part) -> set[Pair]:
    """The pairs of cuts that meet or touch."""
    shapes = [cut.shape for cut in part.cuts]
    if not shapes:
        return set()
    return {
        (first, second)
        for first, second in shapely.STRtree(shapes).query(shapes, predicate="intersects").T.tolist()
        if first < second
    }


def metal_of(part: Part, cut: Cut) -> list[FlangeOpening]:
    """The windows of the metal whose way it is."""
    return [window for window in part.flange_openings if cut.way is not None and window.way == cut.way]


def may_meet(part: Part, one: int | None, other: int | None) -> bool:
    """Are they one way, or does the job say that they join?"""
    return one is not None and other is not None and (one == other or frozenset((one, other)) in part.joined)


def merges(subject: Subject) -> Iterator[Finding]:
    """Stops: two that run into each other and were not meant to, and for a cut that breaks out of the edge."""
    part = subject.part
    met: set[frozenset[str]] = set()
    for first, second in sorted(overlapping(part)):
        one, other = part.cuts[first], part.cuts[second]
        if not may_meet(part, one.way, other.way):
            met.add(frozenset((one.says, other.says)))
            yield _merge(part, one, other)
    for window, beside in combinations(part.flange_openings, 2):
        apart = window.way is None or not may_meet(part, window.way, beside.way)
        known = frozenset((window.says, beside.says)) in met
        if apart and not known and window.faces(beside) and window.shape.intersects(beside.shape):
            yield _finding(
                part,
                f"{window.says} and {beside.says} run into each other as they are in the metal",
                window.shape.intersection(beside.shape),
                "check the places and sizes of both; where they are meant to be one, say so with joins",
            )
    for cut in part.cuts:
        if cut.way is not None and cut.shape.intersects(part.outer.exterior):
            edge = cut.shape.intersection(part.outer.exterior)
            yield _finding(part, f"{cut.says} breaks out of the sheet's edge", edge, "make the outline larger there")


def _merge(part: Part, one: Cut, other: Cut) -> Finding:
    text = f"{one.says} and {other.says} run into each other"
    walls = [float(a.shape.distance(b.shape)) for a in metal_of(part, one) for b in metal_of(part, other) if a.faces(b)]
    if walls and min(walls) > 0:
        text += f", though the metal keeps {both(min(walls))} between them"
    if one.way is None or other.way is None:
        do = "check the places and sizes of both: a bolt's hole joins nothing"
    elif metal_of(part, one) or metal_of(part, other):
        do = "less set_back, or move or shrink one of the two; where they are meant to be one, say so with joins"
    else:
        do = "move or shrink one of the two"
    return _finding(part, text, one.shape.intersection(other.shape), do)


def _finding(part: Part, text: str, where: BaseGeometry, do: str) -> Finding:
    at = where.representative_point()
    return Finding(rule="merge", weight="stop", part=part.name, at=(at.x, at.y), text=text, do=do)
