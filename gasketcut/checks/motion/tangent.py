"""How far motions bring points of the sheet behind tangents of a window.

Tangent   a point of the window's edge (foot) and the direction inward there. Nothing stands deeper in a convex window
          than behind a tangent of it.
Blend     of two tangents, as beside a corner: a point cannot be deep behind both. Any mean of the two depths is a bound
          as well, and the right weights make it as close as a bound can be.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from gasketcut.arrays import Array, Integers
from gasketcut.shape.motion import Free

_BLENDS = 10  # times the weights are halved


class Tangents(NamedTuple):
    """One for each point: feet and directions inward, shape (n, 2)."""

    foot: Array
    inward: Array

    def depths(self, points: Array) -> Array:
        depths: Array = np.sum(self.inward * (points - self.foot), axis=1)
        return depths

    def only(self, kept: Integers) -> Tangents:
        return Tangents(self.foot[kept], self.inward[kept])


def behind(points: Array, tangents: Tangents, free: Free) -> tuple[Array, Array, Array]:
    """How far motions bring each point behind its tangent: a bound [mm]; turn and shift that come nearest to it."""
    gain, turn, shift = farthest(points, tangents.inward, free)
    return tangents.depths(points) + gain, turn, shift


def behind_both(points: Array, first: Tangents, second: Tangents, free: Free) -> tuple[Array, Array, Array]:
    """A bound on the lesser of the depths behind two tangents [mm]; turn and shift that come near to it."""
    count = len(points)
    bound = np.full(count, np.inf)
    low, high = np.zeros(count), np.ones(count)  # weight of the second
    _, *one = farthest(points, first.inward, free)
    _, *other = farthest(points, second.inward, free)
    # Motions that favour the first and the second tangent: turn, x, y.
    for_first, for_second = np.column_stack(one), np.column_stack(other)

    def lead(motions: Array) -> Array:
        """How much deeper behind the first than behind the second."""
        moved = free.moved_each(points, motions[:, 0], motions[:, 1:])
        return first.depths(moved) - second.depths(moved)

    for _ in range(_BLENDS):
        weight = (low + high) / 2
        gain, *best = farthest(points, (1 - weight[:, None]) * first.inward + weight[:, None] * second.inward, free)
        motion = np.column_stack(best)
        bound = np.minimum(bound, (1 - weight) * first.depths(points) + weight * second.depths(points) + gain)
        leads = lead(motion) > 0
        low, high = np.where(leads, weight, low), np.where(leads, high, weight)
        for_first = np.where(leads[:, None], motion, for_first)
        for_second = np.where(leads[:, None], for_second, motion)
    # Between the two lies the motion that is as deep behind both.
    ahead, back = np.maximum(lead(for_first), 0.0), np.maximum(-lead(for_second), 0.0)
    share = (ahead / np.maximum(ahead + back, 1e-12))[:, None]
    even = for_first + share * (for_second - for_first)
    return bound, even[:, 0], even[:, 1:]


def farthest(points: Array, directions: Array, free: Free) -> tuple[Array, Array, Array]:
    """How far motions can carry each point in its direction: a bound, and turn and shift of the best slice's corner.

    directions : shape (n, 2); how far is in units of their lengths
    """
    arms = points - free.middle
    along = np.sum(directions * arms, axis=1)
    across = directions[:, 1] * arms[:, 0] - directions[:, 0] * arms[:, 1]
    reach, corner = free.farthest(directions)
    turns = free.turns
    # n . ((R - 1) a + t) for every point and slice
    gains = np.outer(along, np.cos(turns) - 1) + np.outer(across, np.sin(turns)) + reach.T
    best = np.argmax(gains, axis=1)
    shift = free.corners[best, corner[best, np.arange(len(points))]]
    return _between(gains, turns), turns[best], shift


def _between(gains: Array, turns: Array) -> Array:
    """The most that a concave function can reach that is known at the turns.

    Between two turns it lies under the line through the two before and under the line through the two after; the lines
    meet at the most it can be. In the first and last interval only one of the lines is there.
    """
    most: Array = np.max(gains, axis=1)
    if len(turns) < 4:
        return most
    width = np.diff(turns)
    slope = np.diff(gains, axis=1) / width
    left, right, gap = gains[:, 1:-2], gains[:, 2:-1], width[1:-1]
    before, after = slope[:, :-2], slope[:, 2:]
    meet = np.clip((right - after * gap - left) / np.maximum(before - after, 1e-15), 0.0, gap)
    inner = left + before * meet
    peak = np.where((before > 0) & (after < 0), inner, np.maximum(left, right))
    first = gains[:, 1] - np.minimum(slope[:, 1], 0.0) * width[0]
    last = gains[:, -2] + np.maximum(slope[:, -2], 0.0) * width[-1]
    return np.asarray(np.maximum.reduce([most, np.max(peak, axis=1), first, last]))
