"""Sealing lands and webs: the narrowest sheet between two edges, all the way round and not only between circles."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import shapely
from shapely.geometry import LinearRing
from shapely.ops import nearest_points

from gasketcut.finding import Finding
from gasketcut.length import both
from gasketcut.parts.part import Part
from gasketcut.plane import Point
from gasketcut.profile.sheets import Sheets

if TYPE_CHECKING:
    from gasketcut.checks.subject import Subject

Named = tuple[str, LinearRing]


@dataclass(frozen=True, slots=True)
class Narrowest:
    """The narrowest land or web of a part [mm] and its two ends."""

    width: float
    ends: tuple[Point, Point]


def land_limits(part: Part, sheets: Sheets) -> tuple[float, float]:
    """Below the first [mm] a land is worth a look, below the second it will not hold."""
    return max(sheets.land_warn, part.thickness or 0.0), max(sheets.land_stop, part.thickness or 0.0)


def lands(subject: Subject) -> Iterator[Finding]:
    """Every pair of edges that is nearer than the sheet allows.

    A land lies between an opening and the outside, a web between two openings.
    """
    part = subject.part
    warn, stop = land_limits(part, subject.profiles.sheets)
    rings = list(_rings(part))
    if not rings:
        return
    yield from _narrowest(part.name, subject.narrowest, warn)
    tree = shapely.STRtree([ring for _, ring in rings])
    outside = part.solid.exterior
    for number in sorted(tree.query(outside, predicate="dwithin", distance=warn).tolist()):
        yield from _judged(part, "land", rings[number], ("the outside", outside), warn, stop)
    near = tree.query([ring for _, ring in rings], predicate="dwithin", distance=warn)
    for first, second in sorted({tuple(sorted(pair)) for pair in near.T.tolist() if pair[0] != pair[1]}):
        yield from _judged(part, "web", rings[first], rings[second], warn, stop)


def narrowest(part: Part) -> Narrowest | None:
    """The narrowest land or web of the part, or None if nothing is cut out of it."""
    rings = [ring for _, ring in _rings(part)]
    found: list[tuple[float, LinearRing, LinearRing]] = [
        (float(ring.distance(part.solid.exterior)), ring, part.solid.exterior) for ring in rings
    ]
    if len(rings) > 1:
        tree = shapely.STRtree(rings)
        for number, ring in enumerate(rings):
            near = tree.query(ring, predicate="dwithin", distance=min(one[0] for one in found))
            found += [(float(ring.distance(rings[at])), ring, rings[at]) for at in near if at != number]
    if not found:
        return None
    width, one, other = min(found, key=lambda item: item[0])
    a, b = nearest_points(one, other)
    return Narrowest(width, ((a.x, a.y), (b.x, b.y)))


def _narrowest(part: str, found: Narrowest | None, warn: float) -> Iterator[Finding]:
    """As a note, when it is wide enough: where the sheet is weakest."""
    if found is not None and found.width >= warn - 1e-3:
        width, ((x0, y0), (x1, y1)) = found.width, found.ends
        yield Finding(
            rule="land",
            weight="note",
            part=part,
            at=((x0 + x1) / 2, (y0 + y1) / 2),
            found=width,
            wanted=warn,
            text=f"the narrowest land is {both(width)} wide",
            do="nothing",
        )


def _rings(part: Part) -> Iterator[Named]:
    """The inner edges with the names of the holes they belong to."""
    holes = [(hole.label, shapely.Point(hole.center), hole.diameter / 2) for hole in part.round_holes]
    numbers = iter(range(1, len(part.solid.interiors) + 1))
    for ring in part.solid.interiors:
        left, low, right, high = ring.bounds
        middle = shapely.Point((left + right) / 2, (low + high) / 2)
        own = [label for label, at, r in holes if at.distance(middle) < 1e-3 and abs((right - left) / 2 - r) < 2e-3]
        yield own[0] if own else f"opening {next(numbers)}", ring


def _judged(part: Part, rule: str, a: Named, b: Named, warn: float, stop: float) -> Iterator[Finding]:
    width = float(a[1].distance(b[1]))
    if width >= warn - 1e-3:
        return
    one, other = nearest_points(a[1], b[1])
    limit = stop if width < stop - 1e-3 else warn
    yield Finding(
        rule=rule,
        weight="stop" if limit == stop else "warn",
        part=part.name,
        at=((one.x + other.x) / 2, (one.y + other.y) / 2),
        found=width,
        wanted=limit,
        text=f"only {both(width)} of sheet between {a[0]} and {b[0]}",
        do="make the outline larger there" if rule == "land" else "move or shrink one of the two, or join them",
    )
