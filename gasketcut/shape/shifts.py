"""The shifts that several holes with their studs allow together, for many placings of the sheet at once.

Round hole  allows a disc: every shift that leaves its middle within the play of the stud's.
Slot        allows that disc drawn out along the slot: two ends and two straight sides.
Touching    the shift that reaches farthest in a direction, among all that every hole allows. It stands on the rim of
            one disc, square to the direction, or in a corner where the edges of two holes cross. So the candidates
            are few; those that every hole allows are kept, and the farthest is picked.

Places are complex numbers, x + iy [mm]. Each play is widened by ROUNDING and no more: what just touches still counts.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from gasketcut.arrays import Array

Places = NDArray[np.complex128]
Answers = NDArray[np.bool_]

ROUNDING = 1e-7
"""mm by which every play is widened; a ten-thousandth of what CHORD allows, and a million times what numbers round."""

_SAME = 1e-9
"""mm by which a candidate may stand beyond a play: sums round, and it is itself made from rims."""


class _Ends(NamedTuple):
    """Discs of round holes and of both ends of slots: middles and radii, shape (n, e), and whose hole, shape (e)."""

    middles: Places
    radii: Array
    hole: NDArray[np.int64]


class _Sides(NamedTuple):
    """Straight sides of slots: a point of each and the unit vector along, shape (n, s), and whose hole, shape (s)."""

    points: Places
    along: Places
    hole: NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Shifts:
    """For n placings and m holes, each of shape (n, m).

    middles : the shift that brings the hole's middle onto its stud
    halves  : half the free length of the slot, along it; 0 for a round hole
    plays   : radial play [mm]; a negative one allows no shift
    """

    middles: Places
    halves: Places
    plays: Array

    def any(self) -> Answers:
        """Is there a shift that every hole allows? Shape (n,)."""
        corners = self._corners()
        ends = self._ends()
        # If there is one, then one that reaches farthest to the right.
        found: Answers = np.any(self._allowed(np.concatenate([corners, ends.middles + ends.radii], axis=1)), axis=1)
        return found

    def touching(self, ways: Places) -> Places:
        """The allowed shift that reaches farthest along each unit vector, shape (n, k); nan where there is none."""
        corners, ends = self._corners(), self._ends()
        rims = ends.middles[:, None, :] + ends.radii[:, None, :] * ways[:, :, None]
        on_rims = _dot(rims, ways[:, :, None])
        on_rims[~self._allowed(rims.reshape(len(rims), -1)).reshape(rims.shape)] = -np.inf
        at_corners = _dot(corners[:, None, :], ways[:, :, None])
        at_corners += np.where(self._allowed(corners), 0.0, -np.inf)[:, None, :]
        reach = np.concatenate([on_rims, at_corners], axis=2)
        best = np.argmax(reach, axis=2)[:, :, None]
        count = rims.shape[2]
        rim = np.take_along_axis(rims, np.minimum(best, count - 1), axis=2)
        corner = np.take_along_axis(corners[:, None, :], np.maximum(best - count, 0), axis=2) if corners.size else rim
        touched = np.where(best < count, rim, corner)
        touched[np.isneginf(np.take_along_axis(reach, best, axis=2))] = np.nan
        return touched[:, :, 0]

    def _allowed(self, shifts: Places) -> Answers:
        """Does every hole allow them? Shifts (n, p) to answers (n, p)."""
        good = np.ones(shifts.shape, dtype=bool)
        for middle, half, play in zip(self.middles.T, self.halves.T, self.plays.T, strict=True):
            off = shifts - middle[:, None]
            length = _dot(half, half)
            if length.any():
                share = _dot(off, half[:, None]) / np.maximum(length, 1e-30)[:, None]
                off = off - np.clip(share, -1.0, 1.0) * half[:, None]
            most = np.where(play < 0, -1.0, (play + ROUNDING + _SAME) ** 2)
            good &= _dot(off, off) <= most[:, None]
        return good

    def _ends(self) -> _Ends:
        drawn_out = np.flatnonzero(self._slotted())
        hole = np.concatenate([np.arange(self.plays.shape[1]), drawn_out])
        ways = np.concatenate([self.halves, -self.halves[:, drawn_out]], axis=1)
        return _Ends(self.middles[:, hole] + ways, self.plays[:, hole] + ROUNDING, hole)

    def _sides(self) -> _Sides:
        hole = np.flatnonzero(self._slotted())
        halves = self.halves[:, hole]
        along = halves / np.maximum(np.abs(halves), 1e-30)
        out = 1j * along * (self.plays[:, hole] + ROUNDING)
        middles = self.middles[:, hole]
        both = np.concatenate([middles + out, middles - out], axis=1)
        return _Sides(both, np.concatenate([along, along], axis=1), np.concatenate([hole, hole]))

    def _slotted(self) -> Answers:
        slotted: Answers = np.any(self.halves != 0, axis=0)
        return slotted

    def _corners(self) -> Places:
        """Where the edges of two holes cross, shape (n, c); also some crossings that a third hole does not allow."""
        ends = self._ends()
        crossed = _rims_crossed(ends)
        if not self._slotted().any():
            return crossed
        sides = self._sides()
        return np.concatenate([crossed, _rims_and_sides(ends, sides), _sides_crossed(sides)], axis=1)


def _rims_crossed(ends: _Ends) -> Places:
    first, second = _pairs(ends.hole)
    middle, radius = ends.middles[:, first], ends.radii[:, first]
    way = ends.middles[:, second] - middle
    apart = np.maximum(_dot(way, way), 1e-24)
    along = (1 + (radius**2 - ends.radii[:, second] ** 2) / apart) / 2
    # Rims that only just touch, or fail to by rounding, cross between their middles.
    aside = 1j * np.sqrt(np.maximum(radius**2 / apart - along**2, 0.0))
    return np.concatenate([middle + way * (along + aside), middle + way * (along - aside)], axis=1)


def _rims_and_sides(ends: _Ends, sides: _Sides) -> Places:
    end, side = np.nonzero(ends.hole[:, None] != sides.hole)
    point, along = sides.points[:, side], sides.along[:, side]
    way = ends.middles[:, end] - point
    before = _dot(way, along)
    off = _dot(way, 1j * along)
    aside = np.sqrt(np.maximum(ends.radii[:, end] ** 2 - off**2, 0.0))
    return np.concatenate([point + along * (before + aside), point + along * (before - aside)], axis=1)


def _sides_crossed(sides: _Sides) -> Places:
    first, second = _pairs(sides.hole)
    along, across = sides.along[:, first], 1j * sides.along[:, second]
    slope = _dot(along, across)
    # Of two sides in one line it is the ends that bound what both allow.
    slope = np.where(np.abs(slope) < 1e-12, np.inf, slope)
    share = _dot(sides.points[:, second] - sides.points[:, first], across) / slope
    crossed: Places = sides.points[:, first] + along * share
    return crossed


def _pairs(hole: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Numbers of all pairs that belong to two holes."""
    pairs = [(a, b) for a, b in combinations(range(len(hole)), 2) if hole[a] != hole[b]]
    both = np.array(pairs, dtype=np.int64).reshape(-1, 2)
    return both[:, 0], both[:, 1]


def _dot(first: Places, second: Places) -> Array:
    result: Array = first.real * second.real + first.imag * second.imag
    return result
