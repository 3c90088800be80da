"""Every way a sheet can move on its studs.

Locator   a hole with what goes through it: how far its middle may stand from the stud's (play), along a slot too.
Motion    a turn about the middle of the locators [rad] and a shift after it [mm].
Slice     the shifts that all locators allow after one turn: a convex polygon. A round hole allows a disc, a slot a disc
          drawn out along it, and what all allow is their intersection.
Free      the whole set of motions, as slices at rising turns.

Discs are taken as polygons drawn round them, so the set errs to the large side by at most OUTSIDE of the play.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import asin, cos, pi, radians, sin
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry import Polygon

from gasketcut.arrays import Array, Integers
from gasketcut.plane import Point

SIDES = 64
OUTSIDE = 1 / cos(pi / SIDES) - 1
"""By which share a polygon of SIDES round a disc reaches beyond it: 0.12 %."""

TURNS = 13
"""Turns tried to either side."""

FINER = 9
"""Turns tried between the neighbours of the worst one, each time it is looked at again."""

SEARCH = 0.05
"""rad about the turn of least squares within which a part is tried onto its studs."""

ALL_ROUND = 181
"""Turns tried where one round locator leaves the turn free."""


class Locator(NamedTuple):
    """Nominal place, radial play [mm], half the free length of a slot [mm] and its direction [deg]."""

    at: Point
    play: float
    slot: float = 0.0
    turn: float = 0.0


class Slice(NamedTuple):
    """Corners of the allowed shifts, counter-clockwise [mm], and the rising directions of the edges' normals [rad]."""

    turn: float
    corners: Array
    normals: Array

    def farthest(self, directions: Array) -> tuple[Array, Integers]:
        """How far the slice reaches in each direction, shape (n, 2) unit vectors, and with which corner."""
        angles = np.arctan2(directions[:, 1], directions[:, 0])
        corner = np.searchsorted(self.normals, angles) % len(self.corners)
        reach: Array = np.sum(self.corners[corner] * directions, axis=1)
        return reach, corner


@dataclass(frozen=True, slots=True)
class Free:
    """All motions; `arms` are the locators from the middle, as the (grown) sheet has them, `studs` as the metal has."""

    locators: tuple[Locator, ...]
    middle: Array
    studs: Array
    arms: Array
    slices: tuple[Slice, ...]

    @property
    def turns(self) -> Array:
        return np.array([one.turn for one in self.slices])

    @property
    def sway(self) -> float:
        """The greatest shift [mm]."""
        return max(float(np.max(np.hypot(*one.corners.T))) for one in self.slices)

    def refined(self, turn: float) -> Free:
        """With more slices between those beside the turn."""
        turns = self.turns
        at = int(np.searchsorted(turns, turn))
        low, high = turns[max(at - 1, 0)], turns[min(at + 1, len(turns) - 1)]
        extra = np.setdiff1d(np.linspace(low, high, FINER), turns)
        new = [one for value in extra if (one := _slice(self.locators, self.studs, self.arms, float(value)))]
        slices = sorted([*self.slices, *new], key=lambda one: one.turn)
        return replace(self, slices=tuple(slices))

    def most_shift(self, turn: float) -> float:
        """A bound on the shift [mm] of every motion with at most that turn."""
        plays = np.array([one.play * (1 + OUTSIDE) + one.slot for one in self.locators])
        grown = np.hypot(*(self.arms - self.studs).T)
        return float(np.min(plays + grown + np.hypot(*self.arms.T) * min(turn, 2.0)))

    def lack(self, turn: Array, shift: Array) -> Array:
        """By how much each motion goes beyond the play of the tightest locator [mm]; shapes (n,), (n, 2) to (n,)."""
        c, s = np.cos(turn), np.sin(turn)
        most = np.full(len(turn), -np.inf)
        for locator, stud, (x, y) in zip(self.locators, self.studs, self.arms, strict=True):
            off_x = stud[0] - (c * x - s * y + shift[:, 0])
            off_y = stud[1] - (s * x + c * y + shift[:, 1])
            if locator.slot:
                along_x, along_y = np.cos(radians(locator.turn) + turn), np.sin(radians(locator.turn) + turn)
                along = np.clip(off_x * along_x + off_y * along_y, -locator.slot, locator.slot)
                off_x, off_y = off_x - along * along_x, off_y - along * along_y
            most = np.maximum(most, np.hypot(off_x, off_y) - max(locator.play, 1e-9))
        return most

    def moved_each(self, points: Array, turn: Array, shift: Array) -> Array:
        """Each point after its own motion."""
        arms = points - self.middle
        c, s = np.cos(turn), np.sin(turn)
        turned = np.column_stack([c * arms[:, 0] - s * arms[:, 1], s * arms[:, 0] + c * arms[:, 1]])
        result: Array = turned + self.middle + shift
        return result

    def moved(self, points: Array, turn: float, shift: Array) -> Array:
        """The points after one motion."""
        result: Array = (points - self.middle) @ _rotation(turn) + self.middle + shift
        return result


def free_motions(locators: Sequence[Locator], growth: float = 0.0) -> Free | None:
    """All motions that the locators allow, or None if the sheet does not go over its studs at all.

    growth : share by which the sheet has grown about its middle (heat, humidity): its holes then sit elsewhere
    """
    places = np.array([locator.at for locator in locators])
    middle = places.mean(axis=0)
    studs, arms = places - middle, (places - middle) * (1 + growth)

    def at(turn: float) -> Slice | None:
        return _slice(locators, studs, arms, turn)

    if at(0.0) is None:
        return None
    if len(locators) == 1 and locators[0].slot == 0:
        turns = np.linspace(-pi, pi, ALL_ROUND)
    else:
        low, high = _most_turn(at, -1), _most_turn(at, 1)
        # Closer together toward both ends, where the slices shrink fast, and toward no turn, where they are largest.
        spread = np.sin(np.linspace(0, pi / 2, TURNS)) ** 2
        turns = np.concatenate([-low * spread[:0:-1], high * spread])
    slices = tuple(one for turn in turns if (one := at(float(turn))) is not None)
    return Free(tuple(locators), middle, studs, arms, slices)


def seat(locators: Sequence[Locator], studs: Sequence[Point]) -> float:
    """How much more play [mm] every hole needs before all of them go over their studs together; 0 if they do already.

    locators : the holes, where they are in the part that is put on
    studs    : where the studs are, one for each hole
    """
    holes, places = np.array([locator.at for locator in locators]), np.array(studs)
    middle, target = holes.mean(axis=0), places.mean(axis=0)
    arms, wanted = holes - middle, places - target
    # The turn that brings the holes nearest to the studs by least squares, then the best one near it: what is lacking
    # is a convex function of the turn, so halving by thirds finds its least.
    best = float(np.arctan2(np.sum(arms[:, 0] * wanted[:, 1] - arms[:, 1] * wanted[:, 0]), np.sum(arms * wanted)))
    low, high = best - SEARCH, best + SEARCH
    while high - low > 1e-6:
        third = (high - low) / 3
        if _lacks(locators, wanted, arms, low + third) < _lacks(locators, wanted, arms, high - third):
            high -= third
        else:
            low += third
    lacking = _lacks(locators, wanted, arms, (low + high) / 2)
    return lacking if lacking > 1e-4 else 0.0


def _lacks(locators: Sequence[Locator], studs: Array, arms: Array, turn: float) -> float:
    """The least extra play with which all holes go over their studs after that turn [mm]."""

    def goes(extra: float) -> bool:
        wider = [locator._replace(play=locator.play + extra) for locator in locators]
        return all(one.play > 0 for one in wider) and _slice(wider, studs, arms, turn) is not None

    if goes(0.0):
        return 0.0
    low, high = 0.0, 1e-3
    while not goes(high):
        low, high = high, high * 2
    while high - low > 1e-5:
        tried = (low + high) / 2
        low, high = (low, tried) if goes(tried) else (tried, high)
    return high


def widest_turn(radius: float, play: float) -> float:
    """The turn [rad] that equal holes on a circle allow: the chord between hole and stud is the play.

    >>> round(widest_turn(30.0, 0.25), 6)
    0.008333
    """
    return 2 * asin(play / (2 * radius))


def _slice(locators: Sequence[Locator], studs: Array, arms: Array, turn: float) -> Slice | None:
    turned = arms @ _rotation(turn)
    shape: Polygon | None = None
    for locator, stud, arm in zip(locators, studs, turned, strict=True):
        one = Polygon(_cell(locator, turn) + (stud - arm))
        left = one if shape is None else shape.intersection(one)
        if not isinstance(left, Polygon) or left.is_empty:
            return None
        shape = left
    if shape is None:
        return None
    corners = np.asarray(shape.exterior.coords)[:-1]
    corners = corners if shape.exterior.is_ccw else corners[::-1]
    edges = np.roll(corners, -1, axis=0) - corners
    normals = np.arctan2(-edges[:, 0], edges[:, 1])
    first = int(np.argmin(normals))
    return Slice(turn, np.roll(corners, -first, axis=0), np.roll(normals, -first))


def _rotation(turn: float) -> Array:
    """To be multiplied from the right onto rows of points."""
    return np.array([[cos(turn), sin(turn)], [-sin(turn), cos(turn)]])


def _cell(locator: Locator, turn: float) -> Array:
    """Shifts that one locator allows, about its own centre: a disc, or a disc drawn out along the slot."""
    radius = max(locator.play, 1e-9) * (1 + OUTSIDE)
    around = np.linspace(0, 2 * pi, SIDES, endpoint=False) + pi / SIDES
    disc = radius * np.column_stack([np.cos(around), np.sin(around)])
    if locator.slot == 0:
        return disc
    along = np.array([cos(radians(locator.turn) + turn), sin(radians(locator.turn) + turn)]) * locator.slot
    both_ends = shapely.MultiPoint(np.vstack([disc + along, disc - along]))
    return shapely.get_coordinates(both_ends.convex_hull)[:-1]


def _most_turn(at: object, side: int) -> float:
    """The greatest turn that still leaves a shift, by halving."""
    low, high = 0.0, pi
    while high - low > 1e-8:
        middle = (low + high) / 2
        if at(side * middle) is not None:  # type: ignore[operator]
            low = middle
        else:
            high = middle
    return low
