"""Groups for laying out: a piece alone, or with smaller ones in its holes.

Guest    a piece that lies in a hole of another, its host; a guest is no host.
Group    what is moved as one: the host at its own origin, its guests where they lie in it.
Spot     where a group lies on a sheet.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, radians, sin

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry import Polygon

from gasketcut.cutting.nest.layout import TURNS, Piece, Placed, Turns
from gasketcut.plane import Point
from gasketcut.shape.outlines import grown, pieces, placed, shrunk_pieces

_GRID = 12  # places tried each way in a hole
_ANGLES = (0.0, 30.0, 60.0, 90.0, 120.0, 150.0, 180.0, 210.0, 240.0, 270.0, 300.0, 330.0)
_SLACK = 0.002  # mm: what chords of offsets may be off, so that the true distance is kept
_FREEDOM: tuple[Turns, ...] = ("none", "half", "quarter", "any")

Guests = list[tuple[int, Placed]]
"""Number of the piece, and where it lies in its host."""


@dataclass(frozen=True, slots=True)
class Group:
    """`guests` as they lie while the host stands at (0, 0), not turned. They may be turned at least as it may."""

    piece: Piece
    guests: tuple[Placed, ...] = ()

    @property
    def turns(self) -> Turns:
        return self.piece.turns

    @property
    def ring(self) -> Polygon:
        """What it takes up of a sheet: the host without its holes."""
        return Polygon(self.piece.outline.exterior)


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a group lies: sheet from 0, then as in `Placed`."""

    group: Group
    sheet: int
    x: float
    y: float
    turn: float

    def placed(self) -> Iterator[Placed]:
        """The host and its guests, all turned about (0, 0) and moved."""
        yield Placed(self.group.piece, self.sheet, self.x, self.y, self.turn)
        c, s = cos_sin(self.turn)
        for guest in self.group.guests:
            x, y = self.x + c * guest.x - s * guest.y, self.y + s * guest.x + c * guest.y
            yield Placed(guest.piece, self.sheet, x, y, guest.turn + self.turn)


def groups_of(wanted: Sequence[Piece], spacing: float, *, in_holes: bool = False) -> list[Group]:
    """All pieces as groups, the largest first; with `in_holes`, small ones go into holes as far as they fit there."""
    order = sorted(range(len(wanted)), key=lambda number: (-Polygon(wanted[number].outline.exterior).area, number))
    left = {number: wanted[number].count for number in order}
    groups: list[Group] = []
    for at, number in enumerate(order):
        host, guests = wanted[number], Guests()
        while left[number]:
            left[number] -= 1
            if in_holes and host.outline.interiors:
                if not guests or not _still_there(guests, left):
                    guests = _guests(host, wanted, order[at + 1 :], left, spacing)
                for one, _ in guests:
                    left[one] -= 1
            groups.append(Group(host, tuple(guest for _, guest in guests)))
    return groups


def _still_there(guests: Guests, left: dict[int, int]) -> bool:
    wanted: dict[int, int] = {}
    for number, _ in guests:
        wanted[number] = wanted.get(number, 0) + 1
    return all(left[number] >= count for number, count in wanted.items())


def _guests(
    host: Piece, wanted: Sequence[Piece], smaller: Sequence[int], left: dict[int, int], spacing: float
) -> Guests:
    """What goes into the holes of one host, largest first, each as low and left as it goes."""
    found: Guests = []
    taken: dict[int, int] = {}
    for hole in sorted(host.outline.interiors, key=lambda ring: -Polygon(ring).area):
        free = shrunk_pieces(Polygon(hole), spacing + _SLACK)
        for number in smaller:
            piece = wanted[number]
            if _FREEDOM.index(piece.turns) < _FREEDOM.index(host.turns):
                continue  # the host may be turned in a way that this one may not
            while free and taken.get(number, 0) < left[number]:
                spot = _spot(piece, free)
                if spot is None:
                    break
                shape = placed(piece.outline, (spot[0], spot[1]), spot[2])
                found.append((number, Placed(piece, 0, *spot)))
                taken[number] = taken.get(number, 0) + 1
                keep_off = grown(Polygon(shape.exterior), spacing + _SLACK)
                free = [rest for region in free for rest in pieces(region.difference(keep_off))]
    return found


def _spot(piece: Piece, free: Sequence[Polygon]) -> tuple[float, float, float] | None:
    """x, y and turn at which the piece lies in one of the free regions."""
    turns = TURNS[piece.turns] or _ANGLES
    for turn in turns:
        shape = Polygon(placed(piece.outline, (0.0, 0.0), turn).exterior)
        left, low, right, top = shape.bounds
        for region in free:
            a, b, c, d = region.bounds
            if right - left > c - a or top - low > d - b or shape.area > region.area:
                continue
            shapely.prepare(region)
            for x, y in _places(shape, region):
                if region.contains(affinity.translate(shape, x, y)):
                    return x, y, turn
    return None


def _places(shape: Polygon, region: Polygon) -> Iterator[Point]:
    """Moves to try: a grid from the lower left, then the middle of the widest circle in the region."""
    left, low, right, top = shape.bounds
    a, b, c, d = region.bounds
    xs, ys = np.linspace(a - left, c - right, _GRID), np.linspace(b - low, d - top, _GRID)
    inside = ShapelyPoint(shape.representative_point())
    for y in ys:
        for x in xs:
            if shapely.contains_xy(region, inside.x + x, inside.y + y):
                yield float(x), float(y)
    spoke = shapely.maximum_inscribed_circle(region, 0.01)
    middle = shapely.minimum_bounding_circle(shape).centroid
    (x0, y0), _ = spoke.coords
    yield float(x0 - middle.x), float(y0 - middle.y)


def cos_sin(turn: float) -> Point:
    """Exact for quarters."""
    quarter = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}
    return quarter.get(turn % 360, (cos(radians(turn)), sin(radians(turn))))
