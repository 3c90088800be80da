"""In which other ways a part goes over its own studs: turned, or turned over."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import atan2, cos, degrees, hypot, pi, sin

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from gasketcut.parts.part import Part, Stud
from gasketcut.plane import Point
from gasketcut.shape.motion import Locator, seat
from gasketcut.shape.nearest import distances, rings_of

SAME = 0.02
"""mm; a way round that moves no edge farther is as good as the right one. Our choice."""


LOOSE = 6.0
"""By how many plays a hole may seem off its stud before a shift and a turn cannot bring all of them on."""


@dataclass(frozen=True, slots=True)
class OtherWay:
    """A way to fit the part wrongly.

    mirrored  turned over, or merely turned in its plane
    turn      degrees about the middle of the studs, after mirroring left to right
    miss      how far the edges then lie from where they belong, at the worst place [mm]
    at        where that is
    """

    mirrored: bool
    turn: float
    miss: float
    at: Point

    def applied(self, shape: BaseGeometry, middle: Point) -> BaseGeometry:
        """The shape fitted that way."""
        return _applied(shape, middle, self.turn, mirrored=self.mirrored)


def other_ways(part: Part) -> tuple[OtherWay, ...]:
    """Every way but the right one in which all holes still go over the studs, the nearest to right first."""
    return _other_ways(part.studs, part.solid) if len(part.studs) > 1 else ()


@lru_cache(maxsize=8)  # asked by the nick and by the check of the same part, one soon after the other
def _other_ways(studs: tuple[Stud, ...], solid: Polygon) -> tuple[OtherWay, ...]:
    middle = _middle(studs)
    arms = np.array([stud.center for stud in studs]) - middle
    found: dict[tuple[bool, float], OtherWay] = {}
    for mirrored in (False, True):
        own = arms * (-1, 1) if mirrored else arms
        longest = int(np.argmax(np.hypot(*own.T)))
        for target in arms:
            turn = atan2(target[1], target[0]) - atan2(own[longest][1], own[longest][0])
            turn = (turn + pi) % (2 * pi) - pi
            key = (mirrored, round(degrees(turn), 2) % 360)
            if key == (False, 0.0) or key in found or not _goes_on(studs, arms, own, turn):
                continue
            found[key] = _way(solid, middle, degrees(turn), mirrored=mirrored)
    return tuple(sorted(found.values(), key=lambda way: way.miss))


def middle_of(part: Part) -> Point:
    """The middle of the studs."""
    return _middle(part.studs)


def _middle(studs: tuple[Stud, ...]) -> Point:
    xs, ys = zip(*(stud.center for stud in studs), strict=True)
    return sum(xs) / len(xs), sum(ys) / len(ys)


def _goes_on(studs: tuple[Stud, ...], arms: np.ndarray, own: np.ndarray, turn: float) -> bool:
    """Does every turned hole go over a stud of its own, with the shift and the little turn that the plays allow?"""
    turned = own @ np.array([[cos(turn), sin(turn)], [-sin(turn), cos(turn)]])
    left = list(range(len(arms)))
    over = []
    for place, stud in zip(turned, studs, strict=True):
        near = min(left, key=lambda at: hypot(*(arms[at] - place)))
        if hypot(*(arms[near] - place)) > LOOSE * (stud.play + stud.slot) + 1e-6:
            return False
        left.remove(near)
        over.append(near)
    if all(hypot(*(arms[at] - place)) <= stud.play for at, place, stud in zip(over, turned, studs, strict=True)):
        return True
    locators = [
        Locator((float(x), float(y)), stud.play, stud.slot, stud.turn)
        for (x, y), stud in zip(turned, studs, strict=True)
    ]
    return seat(locators, [(float(arms[at][0]), float(arms[at][1])) for at in over]) == 0.0


def _way(solid: Polygon, middle: Point, turn: float, *, mirrored: bool) -> OtherWay:
    moved = _applied(solid, middle, turn, mirrored=mirrored)
    places = shapely.get_coordinates(moved)
    off = distances(places, rings_of(solid))
    worst = int(np.argmax(off))
    return OtherWay(mirrored, turn, float(off[worst]), (float(places[worst][0]), float(places[worst][1])))


def _applied(shape: BaseGeometry, middle: Point, turn: float, *, mirrored: bool) -> BaseGeometry:
    flipped = affinity.scale(shape, -1, 1, origin=middle) if mirrored else shape
    turned: BaseGeometry = affinity.rotate(flipped, turn, origin=middle)
    return turned
