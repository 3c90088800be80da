"""In which other ways a part goes over its own studs: turned, or turned over."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, degrees, hypot, pi, sin

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from gasketcut.job.model import Point
from gasketcut.shape.nearest import distances, rings_of
from gasketcut.shape.part import Part

SAME = 0.02
"""mm; a way round that moves no edge farther is as good as the right one. Our choice."""


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
    if len(part.studs) < 2:
        return ()
    middle = middle_of(part)
    arms = np.array([stud.center for stud in part.studs]) - middle
    found: dict[tuple[bool, float], OtherWay] = {}
    for mirrored in (False, True):
        own = arms * (-1, 1) if mirrored else arms
        longest = int(np.argmax(np.hypot(*own.T)))
        for target in arms:
            turn = atan2(target[1], target[0]) - atan2(own[longest][1], own[longest][0])
            turn = (turn + pi) % (2 * pi) - pi
            key = (mirrored, round(degrees(turn), 2) % 360)
            if key == (False, 0.0) or key in found or not _goes_on(part, arms, own, turn):
                continue
            found[key] = _way(part, middle, degrees(turn), mirrored=mirrored)
    return tuple(sorted(found.values(), key=lambda way: way.miss))


def middle_of(part: Part) -> Point:
    """The middle of the studs."""
    xs, ys = zip(*(stud.center for stud in part.studs), strict=True)
    return sum(xs) / len(xs), sum(ys) / len(ys)


def _goes_on(part: Part, arms: np.ndarray, own: np.ndarray, turn: float) -> bool:
    """Does every turned hole lie over a stud, within that hole's play?"""
    turned = own @ np.array([[cos(turn), sin(turn)], [-sin(turn), cos(turn)]])
    left = list(range(len(arms)))
    for place, stud in zip(turned, part.studs, strict=True):
        near = [at for at in left if hypot(*(arms[at] - place)) <= stud.play + stud.slot + 1e-6]
        if not near:
            return False
        left.remove(near[0])
    return True


def _way(part: Part, middle: Point, turn: float, *, mirrored: bool) -> OtherWay:
    moved = _applied(part.solid, middle, turn, mirrored=mirrored)
    places = shapely.get_coordinates(moved)
    off = distances(places, rings_of(part.solid))
    worst = int(np.argmax(off))
    return OtherWay(mirrored, turn, float(off[worst]), (float(places[worst][0]), float(places[worst][1])))


def _applied(shape: BaseGeometry, middle: Point, turn: float, *, mirrored: bool) -> BaseGeometry:
    flipped = affinity.scale(shape, -1, 1, origin=middle) if mirrored else shape
    turned: BaseGeometry = affinity.rotate(flipped, turn, origin=middle)
    return turned
