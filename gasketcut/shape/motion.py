"""Every way a sheet can move on its studs.

Locator   a hole with what goes through it: how far its middle may stand from the stud's (play), along a slot too.
Motion    a turn about the middle of the locators [rad] and a shift after it [mm].
Slice     the shifts that all locators allow after one turn: a convex polygon. A round hole allows a disc, a slot a disc
          drawn out along it, and what all allow is their intersection.
Free      the whole set of motions, as slices at rising turns.

A slice is drawn round the shifts that are allowed: it touches them in SIDES directions all round, and along each slot.
So the set errs to the large side only, beyond what plays wider by ROUNDING allow by at most OUTSIDE of the largest.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import asin, cos, pi, radians
from typing import NamedTuple

import numpy as np

from gasketcut.arrays import Array, Integers
from gasketcut.plane import Point
from gasketcut.shape.shifts import ROUNDING, Answers, Places, Shifts

SIDES = 64
OUTSIDE = 1 / cos(pi / SIDES) - 1
"""By which share a polygon of SIDES round a disc reaches beyond it: 0.12 %."""

TURNS = 13
"""Turns tried to either side."""

FINER = 9
"""Turns tried at once where the one is looked for that asks the least play."""

SEARCH = 0.05
"""rad about the turn of least squares within which a part is tried onto its studs."""

ALL_ROUND = 181
"""Turns tried where one round locator leaves the turn free."""

AT_ONCE = 48
"""Values tried at once where the last that goes is looked for: few rounds, and arrays that are still small."""

_ALL_ROUND_NORMALS = np.linspace(pi, -pi, SIDES, endpoint=False)[::-1]


class Locator(NamedTuple):
    """Nominal place, radial play [mm], half the free length of a slot [mm] and its direction [deg]; how far the hole's
    middle lies from that place in a sheet that was not cut as drawn [mm]."""

    at: Point
    play: float
    slot: float = 0.0
    turn: float = 0.0
    off: Point = (0.0, 0.0)


class Slice(NamedTuple):
    """Corners of the allowed shifts, counter-clockwise [mm], and the rising directions of the edges' normals [rad]."""

    turn: float
    corners: Array
    normals: Array

    def farthest(self, directions: Array) -> tuple[Array, Integers]:
        """How far the slice reaches in each direction, shape (n, 2) unit vectors, and with which corner."""
        reach, corner = _farthest(self.corners[None], self.normals[None], directions)
        return reach[0], corner[0]


@dataclass(frozen=True, slots=True)
class Free:
    """All motions; `arms` are the locators from the middle, as the (grown) sheet has them, `studs` as the metal has.

    turns, corners, normals : of all slices, shape (t), (t, k, 2) and (t, k)
    """

    locators: tuple[Locator, ...]
    middle: Array
    studs: Array
    arms: Array
    turns: Array
    corners: Array
    normals: Array

    @property
    def slices(self) -> tuple[Slice, ...]:
        each = zip(self.turns, self.corners, self.normals, strict=True)
        return tuple(Slice(float(turn), corners, normals) for turn, corners, normals in each)

    @property
    def sway(self) -> float:
        """The greatest shift [mm]."""
        return float(np.max(np.hypot(self.corners[:, :, 0], self.corners[:, :, 1])))

    def farthest(self, directions: Array) -> tuple[Array, Integers]:
        """How far each slice reaches in each direction, shape (n, 2) to (t, n), and with which corner."""
        return _farthest(self.corners, self.normals, directions)

    def finer(self) -> Free:
        """With one slice more between each two."""
        extra = (self.turns[:-1] + self.turns[1:]) / 2
        new = _slices(self.locators, self.studs, self.arms, np.setdiff1d(extra, self.turns))
        turns, corners, normals = (
            np.concatenate(both) for both in zip((self.turns, self.corners, self.normals), new, strict=True)
        )
        order = np.argsort(turns)
        return replace(self, turns=turns[order], corners=corners[order], normals=normals[order])

    def lack(self, turn: Array, shift: Array, growth: Array | float = 0.0) -> Array:
        """By how much each motion goes beyond the play of the tightest locator [mm]; shapes (n,), (n, 2) to (n,).

        growth : share by which the sheet has grown before each, in place of this one's
        """
        c, s = np.cos(turn) * (1 + np.asarray(growth)), np.sin(turn) * (1 + np.asarray(growth))
        most = np.full(len(turn), -np.inf)
        for locator, (at_x, at_y) in zip(self.locators, self.studs, strict=True):
            x, y = at_x + locator.off[0], at_y + locator.off[1]
            off_x = at_x - (c * x - s * y + shift[:, 0])
            off_y = at_y - (s * x + c * y + shift[:, 1])
            if locator.slot:
                along_x, along_y = np.cos(radians(locator.turn) + turn), np.sin(radians(locator.turn) + turn)
                along = np.clip(off_x * along_x + off_y * along_y, -locator.slot, locator.slot)
                off_x, off_y = off_x - along * along_x, off_y - along * along_y
            most = np.maximum(most, np.hypot(off_x, off_y) - max(locator.play, 1e-9))
        return most


def free_motions(locators: Sequence[Locator], growth: float = 0.0) -> Free | None:
    """All motions that the locators allow, or None if the sheet does not go over its studs at all.

    growth : share by which the sheet has grown about its middle (heat, humidity): its holes then sit elsewhere
    """
    locators = [one._replace(play=max(one.play, 0.0)) for one in locators]
    places = np.array([locator.at for locator in locators])
    middle = places.mean(axis=0)
    studs = places - middle
    arms = (studs + np.array([locator.off for locator in locators])) * (1 + growth)

    start = _goes_at(locators, studs, arms)
    if start is None:
        return None
    if len(locators) == 1 and locators[0].slot == 0:
        turns = np.linspace(-pi, pi, ALL_ROUND)
    else:
        # Nearer to the last turn than that no hole moves by as much as plays are widened.
        close = ROUNDING / (4 * float(np.max(np.hypot(*arms.T), initial=1.0)))
        ways = np.array([-pi, pi])
        low, high = _last(lambda turn: _shifts(locators, studs, arms, start + turn).any(), ways, close)
        # Closer together toward both ends, where the slices shrink fast, and toward no turn, where they are largest.
        spread = np.sin(np.linspace(0, pi / 2, TURNS)) ** 2
        turns = start + np.concatenate([low * spread[:0:-1], high * spread])
    return Free(tuple(locators), middle, studs, arms, *_slices(locators, studs, arms, turns))


def most_growth(locators: Sequence[Locator], most: float) -> float:
    """The share up to `most` by which a sheet may have grown, or have shrunk, and still goes over its studs unturned.

    To a millionth; of both ways the smaller.
    """
    places = np.array([locator.at for locator in locators])
    arms = places - places.mean(axis=0)

    def goes(share: Array) -> Answers:
        return _shifts(locators, arms, arms, np.zeros_like(share), growth=share).any()

    return float(np.min(np.abs(_last(goes, np.array([-most, most]), 1e-6))))


def seat(locators: Sequence[Locator], studs: Sequence[Point]) -> float:
    """How much more play [mm] every hole needs before all of them go over their studs together; 0 if they do already.

    locators : the holes, where they are in the part that is put on
    studs    : where the studs are, one for each hole
    """
    holes, places = np.array([locator.at for locator in locators]), np.array(studs)
    middle, target = holes.mean(axis=0), places.mean(axis=0)
    arms, wanted = holes - middle, places - target
    # The turn that brings the holes nearest to the studs by least squares, then the best one near it: what is lacking
    # is a convex function of the turn, so its least lies beside the least of some turns.
    best = float(np.arctan2(np.sum(arms[:, 0] * wanted[:, 1] - arms[:, 1] * wanted[:, 0]), np.sum(arms * wanted)))
    return _least_lack(locators, wanted, arms, best - SEARCH, best + SEARCH)[1]


def _goes_at(locators: Sequence[Locator], studs: Array, arms: Array) -> float | None:
    """A turn with which the sheet goes over its studs: none, unless slots that lie aslant ask a grown sheet for one, or
    holes that lie off their places."""
    turn = 0.0
    if not _shifts(locators, studs, arms, np.zeros(1)).any()[0] and any(one.slot or any(one.off) for one in locators):
        turn = _least_lack(locators, studs, arms, -SEARCH, SEARCH)[0]
    return turn if _shifts(locators, studs, arms, np.array([turn])).any()[0] else None


def _least_lack(locators: Sequence[Locator], studs: Array, arms: Array, low: float, high: float) -> tuple[float, float]:
    """The turn between two that asks the least extra play of every hole, and how much that is [mm]."""
    while True:
        turns = np.linspace(low, high, FINER)
        lacking = _lacks(locators, studs, arms, turns)
        least = int(np.argmin(lacking))
        if lacking[least] < 1e-4:
            return float(turns[least]), 0.0
        if high - low < 1e-6:
            return float(turns[least]), float(lacking[least])
        low, high = turns[max(least - 1, 0)], turns[min(least + 1, FINER - 1)]


def _lacks(locators: Sequence[Locator], studs: Array, arms: Array, turns: Array) -> Array:
    """The least extra play with which all holes go over their studs after each turn [mm]."""
    plays = np.array([one.play for one in locators])
    unshifted = _shifts(locators, studs, arms, turns)
    enough = np.max(np.maximum(np.abs(unshifted.middles) - plays, 0.0), axis=1)

    def goes(less: Array) -> Answers:
        extra = np.repeat(enough, less.size // len(turns)) - less
        return _shifts(locators, studs, arms, np.repeat(turns, less.size // len(turns)), extra=extra).any()

    least: Array = enough - _last(goes, enough, 1e-6)
    return least


def widest_turn(radius: float, play: float) -> float:
    """The turn [rad] that equal holes on a circle allow: the chord between hole and stud is the play.

    >>> round(widest_turn(30.0, 0.25), 6)
    0.008333
    """
    return 2 * asin(play / (2 * radius))


def _shifts(
    locators: Sequence[Locator],
    studs: Array,
    arms: Array,
    turns: Array,
    *,
    growth: Array | float = 0.0,
    extra: Array | float = 0.0,
) -> Shifts:
    """What the locators allow after each turn; with that much more growth of the sheet, or play of every hole."""
    turned = np.exp(1j * turns)[:, None]
    slots = np.array([one.slot * np.exp(1j * radians(one.turn)) for one in locators])
    plays = np.array([one.play for one in locators])
    scale = np.broadcast_to(1 + np.asarray(growth), turns.shape)[:, None]
    more = np.broadcast_to(extra, turns.shape)[:, None]
    return Shifts(_places(studs) - _places(arms) * turned * scale, slots * turned, plays + more)


def _places(points: Array) -> Places:
    places: Places = points[:, 0] + 1j * points[:, 1]
    return places


def _slices(locators: Sequence[Locator], studs: Array, arms: Array, turns: Array) -> tuple[Array, Array, Array]:
    """Turns, corners and normals of the slices, those left out that allow no shift."""
    square = [radians(one.turn) + side * pi / 2 + turns for one in locators if one.slot for side in (-1, 1)]
    all_round = np.broadcast_to(_ALL_ROUND_NORMALS, (len(turns), SIDES))
    normals = np.sort(np.column_stack([all_round, *(pi - (pi - angle) % (2 * pi) for angle in square)]), axis=1)
    ways = np.exp(1j * normals)
    touched = _shifts(locators, studs, arms, turns).touching(ways)
    some = ~np.isnan(touched[:, 0])
    turns, normals, ways, touched = turns[some], normals[some], ways[some], touched[some]
    # Each corner lies on the edge before it, as far along as the next edge crosses, and no farther than it touches.
    before, along = np.roll(touched, 1, axis=1), 1j * np.roll(ways, 1, axis=1)
    step = touched - before
    crossed = (step * ways.conj()).real / np.maximum((along * ways.conj()).real, 1e-30)
    corners = before + along * np.clip(crossed, 0.0, np.maximum((step * along.conj()).real, 0.0))
    return turns, np.stack([corners.real, corners.imag], axis=2), normals


def _farthest(corners: Array, normals: Array, directions: Array) -> tuple[Array, Integers]:
    angles = np.arctan2(directions[:, 1], directions[:, 0])
    count = normals.shape[1]
    if count == SIDES:  # round holes only: the same normals in every slice
        corner = np.broadcast_to(np.searchsorted(normals[0], angles) % count, (len(normals), len(angles)))
    else:
        corner = np.stack([np.searchsorted(row, angles) for row in normals]) % count
    number = corner + count * np.arange(len(normals))[:, None]
    x, y = (corners[:, :, axis].ravel()[number] for axis in (0, 1))
    return x * directions[:, 0] + y * directions[:, 1], corner


def _last(goes: Callable[[Array], Answers], far: Array, close: float) -> Array:
    """The last values on the ways from 0 to each of `far` up to which all go; to `close`.

    goes : asked of the same number of values on each way, all in one row
    """
    low, high = np.zeros_like(far), far
    ways = np.arange(len(far))
    while np.max(np.abs(high - low)) > close:
        tried = np.linspace(low, high, AT_ONCE + 1, axis=1)
        good = goes(tried[:, 1:].ravel()).reshape(len(far), AT_ONCE)
        last = np.sum(np.logical_and.accumulate(good, axis=1), axis=1)
        low, high = tried[ways, last], tried[ways, np.minimum(last + 1, AT_ONCE)]
    return low
