"""The worst over all motions by halving, for windows that are not convex.

Cell    a box of motions (turn, shift) with a bit of the sheet's edge; `stray` is how far any of its points can be from
        where its middle motion brings its middle. If the studs refuse the middle by more than the holes can stray, they
        refuse the whole cell.
Foot    the point of the window's edge nearest to the moved middle. Discs of metal touch the window there from outside.
        No point is deeper than it is far from such a disc: along the way inward it comes no farther than any motion can
        carry it, across that way no farther than the cell lets it stray. Both together bound the depth, and closely, as
        the second counts by its square, the less the larger the disc.
Enough  the best motion known and GIVE above it: cells that cannot reach this are dropped, the others are halved.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from gasketcut.arrays import Array
from gasketcut.shape.motion import Free

GIVE, CLEAR = 0.005, 0.1
"""Share of the depth by which the bound may stand above the best motion found: of overhang, of how clear it stays."""

_DISCS = 0.0, 0.5, 2.0, 8.0
"""Radii of the discs tried [mm]; 0 is the foot itself, as at a corner of metal that points into the window."""

MOST = 250_000
"""Cells looked at; beyond it the bound stays a bound but is not as close."""


def enough_for(depth: float) -> float:
    """The bound that is close enough where a motion reaches that depth [mm]."""
    return depth * (1 + GIVE) + 0.001 if depth > 0 else depth * (1 - CLEAR) + 0.001


@dataclass(frozen=True, slots=True)
class Reached:
    """Depth [mm] of the best motion known, that motion (turn [rad], shift [mm]), and where it brings the point."""

    depth: float
    turn: float
    shift: Array
    at: Array

    @property
    def enough(self) -> float:
        return enough_for(self.depth)


@dataclass(frozen=True, slots=True)
class _Cells:
    """Middle and half width of each; `place` and `along` are the middle of the bit of edge and the way to its end."""

    turn: Array
    shift: Array
    place: Array
    turn_half: Array
    shift_half: Array
    along: Array

    def only(self, kept: NDArray[np.bool_]) -> _Cells:
        return _Cells(*(getattr(self, field.name)[kept] for field in fields(self)))

    def strays(self, middle: Array) -> Array:
        """What turn, shift (x, y) and bit let a point stray, shape (n, 4)."""
        bit = np.hypot(*self.along.T)
        arm = np.hypot(*(self.place - middle).T) + bit
        return np.column_stack([arm * self.turn_half, self.shift_half, bit])

    def halved(self, middle: Array) -> _Cells:
        """Each in two, across the way that lets a point stray most."""
        way = np.argmax(self.strays(middle), axis=1)
        turn = np.where(way == 0, self.turn_half / 2, 0.0)
        shift = np.column_stack([way == 1, way == 2]) * self.shift_half / 2
        along = (way == 3)[:, None] * self.along / 2
        halves = (self.turn_half - turn, self.shift_half - shift, self.along - along)
        sides = [(self.turn + k * turn, self.shift + k * shift, self.place + k * along, *halves) for k in (-1, 1)]
        return _Cells(*(np.concatenate(pair) for pair in zip(*sides, strict=True)))


def settle(
    bits: Array,
    best: Reached,
    free: Free,
    feet: Callable[[Array], tuple[Array, Array, Array]],
    carried: Callable[[Array, Array], Array],
) -> tuple[float, Reached]:
    """A bound on the depth [mm], and the best motion found.

    bits    : ends of short bits of the sheet's edge, shape (n, 2, 2)
    feet    : of points (n, 2): depths, feet and directions inward
    carried : of points and directions (n, 2): a bound on how far any motion carries each that way [mm]
    """
    cells = _first(bits, free)
    farthest = float(np.max(np.hypot(*free.arms.T)))
    most_turn = float(np.max(np.abs(free.turns)))
    seen = 0
    while len(cells.turn):
        seen += len(cells.turn)
        lack = free.lack(cells.turn, cells.shift)
        allowed = lack <= np.hypot(*cells.shift_half.T) + farthest * cells.turn_half
        cells, lack = cells.only(allowed), lack[allowed]
        if not len(lack):
            break
        moved = free.moved_each(cells.place, cells.turn, cells.shift)
        depth, foot, inward = feet(moved)
        top = int(np.argmax(np.where(lack <= 0, depth, -np.inf)))
        if lack[top] <= 0 and depth[top] > best.depth:
            best = Reached(float(depth[top]), float(cells.turn[top]), cells.shift[top], moved[top])
        turns, x, y, bit = cells.strays(free.middle).T
        stray = turns + np.hypot(x, y) + bit
        most = depth + stray
        open_yet = most > best.enough
        cells, most, stray, depth = cells.only(open_yet), most[open_yet], stray[open_yet], depth[open_yet]
        if len(most):
            foot, inward, moved = foot[open_yet], inward[open_yet], moved[open_yet]
            bit = free.moved_each(cells.place + cells.along, cells.turn, cells.shift) - moved
            arm = moved - free.middle - cells.shift
            # The bit's ends stand a little farther in, and a turn carries them a little farther than the middle.
            ends = np.abs(np.sum(inward * cells.along, axis=1)) + np.hypot(*bit.T) * most_turn
            most_in = np.sum(inward * (cells.place - foot), axis=1) + carried(cells.place, inward) + ends
            least_in = depth - stray
            aside = np.column_stack([-inward[:, 1], inward[:, 0]])
            sideways = (
                np.abs(np.sum(aside * bit, axis=1))
                + np.abs(np.sum(inward * arm, axis=1)) * cells.turn_half
                + np.sum(np.abs(aside) * cells.shift_half, axis=1)
                + np.hypot(*arm.T) * cells.turn_half**2 / 2
                + np.hypot(*bit.T) * cells.turn_half
            )
            for radius in _DISCS:
                middle = foot - radius * inward
                clear = -feet(middle)[0] if radius else 0.0
                far = np.hypot(np.maximum(most_in + radius, -(least_in + radius)), sideways)
                most = np.minimum(most, far - clear)
        if seen > MOST:
            return max(best.enough, float(np.max(most, initial=-np.inf))), best
        cells = cells.only(most > best.enough).halved(free.middle)
    return best.enough, best


def _first(bits: Array, free: Free) -> _Cells:
    """One cell a bit, of all motions that the studs could allow."""
    count = len(bits)
    low, high = float(free.turns[0]) - 1e-7, float(free.turns[-1]) + 1e-7
    return _Cells(
        turn=np.full(count, (low + high) / 2),
        shift=np.zeros((count, 2)),
        place=np.mean(bits, axis=1),
        turn_half=np.full(count, (high - low) / 2),
        shift_half=np.full((count, 2), free.most_shift(max(-low, high))),
        along=(bits[:, 1] - bits[:, 0]) / 2,
    )
