"""How much metal a ground port leaves to threads, dowels, other passages and the outside.

Wall   from the new edge of the port to what is next to it; below zero the port has broken into it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import dist

from shapely.geometry import Point as ShapelyPoint
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from gasketcut.finding import Finding, Weight
from gasketcut.length import both, span
from gasketcut.parts.part import FlangeOpening, Stud
from gasketcut.plane import Point

BESIDE_THREAD = (1.0, 1.5)
"""Metal beside a thread in cast aluminium, in diameters of the thread: from a hole's centre to the edge 1.5 to 2 d are
asked (one page of an engineers' forum, eng-tips.com 512429). Many small flanges have less: it is said, and stops
nothing; that is our choice."""

OUTSIDE = "the outside"


@dataclass(frozen=True, slots=True)
class Wall:
    """`mm` of metal towards `to`, between `ends`; `thread` is the diameter of what goes through, if anything does."""

    to: str
    mm: float
    ends: tuple[Point, Point]
    thread: float | None = None


def walls(
    new: Polygon,
    old: Polygon,
    holes: Sequence[tuple[str, Stud]],
    others: Sequence[FlangeOpening],
    flange: Polygon | None,
) -> tuple[Wall, ...]:
    """All of them, the least first; what the old port had run into already is not asked about.

    holes : studs and dowels by name; each may stand off its place by its tolerance, which counts against the wall
    """
    found = [_to_hole(new, name, stud) for name, stud in holes]
    for other in others:
        if old.distance(other.shape) > 0:
            found.append(_to_line(new, other.name, other.shape, float(new.distance(other.shape))))
    if flange is not None:
        found.append(_to_line(new, OUTSIDE, flange.exterior, float(new.exterior.distance(flange.exterior))))
    return tuple(sorted(found, key=lambda wall: wall.mm))


def _to_hole(new: Polygon, name: str, stud: Stud) -> Wall:
    middle, reach = ShapelyPoint(stud.center), stud.diameter / 2 + stud.tolerance
    apart = float(new.exterior.distance(middle)) * (-1.0 if new.contains(middle) else 1.0)
    near, _ = nearest_points(new.exterior, middle)
    place, length = (near.x, near.y), dist((near.x, near.y), stud.center)
    share = reach / length if length > reach else 0.0
    rim = tuple(one + (other - one) * share for one, other in zip(stud.center, place, strict=True))
    return Wall(name, apart - reach, (place, (rim[0], rim[1])), stud.diameter)


def _to_line(new: Polygon, name: str, other: BaseGeometry, mm: float) -> Wall:
    one, two = nearest_points(new.exterior, other)
    return Wall(name, mm, ((one.x, one.y), (two.x, two.y)))


def wall_findings(part: str, port: str, found: Sequence[Wall], limit: float | None) -> Iterator[Finding]:
    """The least wall is told; each that is below the user's limit is a warning, each that is gone a stop."""
    for number, wall in enumerate(found):
        weight: Weight = "stop" if wall.mm <= 0 else "warn" if limit is not None and wall.mm < limit else "note"
        if number == 0 or weight != "note":
            (x0, y0), (x1, y1) = wall.ends
            yield Finding(
                rule="wall",
                weight=weight,
                part=part,
                at=((x0 + x1) / 2, (y0 + y1) / 2),
                found=wall.mm,
                wanted=limit,
                text=_says(port, wall, limit, weight),
                do=_do(wall, limit, weight),
            )


def _says(port: str, wall: Wall, limit: float | None, weight: Weight) -> str:
    if weight == "stop":
        deep = f" by {both(-wall.mm)}" if wall.mm < 0 else ""
        return f"port '{port}' as it is to be ground breaks into {wall.to}{deep}"
    says = f"port '{port}' as it is to be ground leaves {both(wall.mm)} of metal to {wall.to}"
    return (
        f"{says}; least_wall asks for {both(limit)}" if weight == "warn" and limit is not None else f"{says}: the least"
    )


def _do(wall: Wall, limit: float | None, weight: Weight) -> str:
    if weight != "note":
        return "take off less there"
    asked = "it is as much as least_wall asks for" if limit is not None else "write least_wall to have it judged"
    if wall.thread is None:
        return asked
    low, high = (share * wall.thread for share in BESIDE_THREAD)
    return (
        f"{asked}; beside a thread in cast aluminium {span(low, high)} are asked (1 to 1.5 diameters, one page of an "
        "engineers' forum), and many small flanges have less"
    )
