"""Sealing lands and webs: the narrowest sheet between any two things that are cut, and between them and the outside.

Land   between what is cut and the outside. Web: between two things that are cut.
Wall   of metal between two windows: where it is narrower than the sheet over it, it is what seals.
Bare   the edge of what is cut where nothing else that it runs into is cut away.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

import shapely
from shapely.geometry import LinearRing, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from gasketcut.checks.sealing.merges import Pair, metal_of, overlapping
from gasketcut.finding import Finding
from gasketcut.length import both
from gasketcut.parts.part import Part
from gasketcut.plane import Point
from gasketcut.profile.sheets import Sheets

if TYPE_CHECKING:
    from gasketcut.checks.subject import Subject


@dataclass(frozen=True, slots=True)
class Narrowest:
    """The narrowest land or web of a part [mm] and its two ends."""

    width: float
    ends: tuple[Point, Point]


def land_limits(part: Part, sheets: Sheets) -> tuple[float, float]:
    """Below the first [mm] a land is worth a look, below the second it will not hold."""
    return max(sheets.land_warn, part.thickness or 0.0), max(sheets.land_stop, part.thickness or 0.0)


def lands(subject: Subject) -> Iterator[Finding]:
    """Every two cuts, and every cut and the outside, that are nearer than the sheet allows but do not meet."""
    part = subject.part
    limits = land_limits(part, subject.profiles.sheets)
    yield from _narrowest(part.name, subject.narrowest, limits[0])
    if not part.cuts:
        return
    # A sheet that has shrunk has narrower lands, too.
    scale = min(1.0, 1.0 + subject.spec.growth_percent / 100)
    reach = limits[0] / scale
    met = overlapping(part)
    edges = [_bare(part, number, met) for number in range(len(part.cuts))]
    tree = shapely.STRtree(edges)
    outside = part.solid.exterior
    for number in sorted(tree.query(outside, predicate="dwithin", distance=reach).tolist()):
        if not part.cuts[number].shape.intersects(outside):
            between = f"{part.cuts[number].says} and the outside"
            yield from _judged(part.name, "land", between, (edges[number], outside), scale, limits)
    near = {(min(pair), max(pair)) for pair in tree.query(edges, predicate="dwithin", distance=reach).T.tolist()}
    walls = _walls(part, reach)
    for first, second in sorted((near | set(walls)) - met):
        one, other = part.cuts[first], part.cuts[second]
        if first == second or (one.way is not None and one.way == other.way):
            continue
        between = f"{one.says} and {other.says}"
        ends, wall = (edges[first], edges[second]), walls.get((first, second))
        if wall is not None and wall[0].distance(wall[1]) < scale * edges[first].distance(edges[second]):
            yield from _judged(part.name, "wall", between, wall, 1.0, limits)
        else:
            yield from _judged(part.name, "web", between, ends, scale, limits)


def _bare(part: Part, number: int, met: set[Pair]) -> BaseGeometry:
    shape = part.cuts[number].shape
    others = [part.cuts[sum(pair) - number].shape for pair in met if number in pair]
    return shape.boundary.difference(shapely.union_all(others)) if others else shape.exterior


def _walls(part: Part, reach: float) -> dict[Pair, tuple[Polygon, Polygon]]:
    """The metal of two ways that is nearer than the reach, by the numbers of their cuts, where it does not meet."""
    found: dict[Pair, tuple[Polygon, Polygon]] = {}
    ways = [(number, cut) for number, cut in enumerate(part.cuts) if cut.way is not None]
    for (first, one), (second, other) in combinations(ways, 2):
        if one.way == other.way:
            continue
        pairs = [
            (a.shape, b.shape)
            for a in metal_of(part, one)
            for b in metal_of(part, other)
            if a.faces(b) and 0 < a.shape.distance(b.shape) < reach
        ]
        if pairs:
            found[first, second] = min(pairs, key=lambda pair: float(pair[0].distance(pair[1])))
    return found


def narrowest(part: Part) -> Narrowest | None:
    """The narrowest land or web of the part, or None if nothing is cut out of it."""
    rings = list(part.solid.interiors)
    found: list[tuple[float, LinearRing, LinearRing]] = [
        (float(ring.distance(part.solid.exterior)), ring, part.solid.exterior) for ring in rings
    ]
    if len(rings) > 1:
        tree = shapely.STRtree(rings)
        least = min(one[0] for one in found)
        for number, ring in enumerate(rings):
            near = tree.query(ring, predicate="dwithin", distance=least)
            more = [(float(ring.distance(rings[at])), ring, rings[at]) for at in near if at != number]
            least = min([least, *(one[0] for one in more)])
            found += more
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


def _judged(
    part: str,
    rule: str,
    between: str,
    ends: tuple[BaseGeometry, BaseGeometry],
    scale: float,
    limits: tuple[float, float],
) -> Iterator[Finding]:
    width, (warn, stop) = scale * float(ends[0].distance(ends[1])), limits
    if width >= warn - 1e-3:
        return
    one, other = nearest_points(*ends)
    limit = stop if width < stop - 1e-3 else warn
    yield Finding(
        rule=rule,
        weight="stop" if limit == stop else "warn",
        part=part,
        at=((one.x + other.x) / 2, (one.y + other.y) / 2),
        found=width,
        wanted=limit,
        text=f"only {both(width)} of {'metal' if rule == 'wall' else 'sheet'} between {between}",
        do=_DEEDS[rule],
    )


_DEEDS = {
    "land": "make the outline larger there",
    "web": "move or shrink one of the two, or join them",
    "wall": "check both in the metal; no sheet seals more than the wall under it",
}
