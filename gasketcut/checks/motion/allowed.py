"""All motions of a sheet that its studs allow, growth included, and how far they carry points of it.

Motion   a share of growth about the middle of the locators, a turn about it [rad], and a shift after that [mm].
Shares   growth is looked at in a few steps from none to the most with which the sheet still goes over its studs.
Concave  how far motions carry a point one way is a concave function of the turn, and the most over all turns one of the
         share: whoever is free between two motions is free at them. So between the steps it lies under the straight
         lines through its neighbours; what a turn's bend adds to that is `_bend`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from gasketcut.arrays import Array, Integers
from gasketcut.shape.motion import Free, Locator, free_motions

SHARES = 7
"""Steps of growth that are looked at; concave functions need four."""

FLAT = 0.001
"""mm by which the arc that a turn draws may stand off its chord before turns are looked at in several ranges."""

_AT_ONCE = 200_000  # numbers in one array


class Motions(NamedTuple):
    """Growth, turn [rad] and shift [mm] of each; shapes (n,), (n,) and (n, 2)."""

    share: Array
    turn: Array
    shift: Array

    def mixed(self, weights: Array) -> Motions:
        """One motion, of each so much."""
        return Motions((weights @ self.share)[None], (weights @ self.turn)[None], (weights @ self.shift)[None])


@dataclass(frozen=True, slots=True)
class Allowed:
    """All motions, as slices of turns at rising shares of growth.

    span : the least and the most share that count; one more to either side only says how it goes on there
    """

    shares: Array
    frees: tuple[Free, ...]
    span: tuple[float, float]

    @property
    def middle(self) -> Array:
        """What the sheet grows and turns about."""
        return self.frees[0].middle

    def sway(self, arm: float) -> float:
        """A bound on how far any motion carries a point that stands so far from the middle [mm]."""
        share = max(map(abs, self.span))
        turn = max(float(np.max(np.abs(free.turns))) for free in self.frees)
        return max(free.sway for free in self.frees) + arm * ((1 + share) * min(turn, 2.0) + share) + self._bend(arm)

    def moved(self, points: Array, motions: Motions) -> Array:
        """Each point after its own motion, or all after the only one."""
        arms = (points - self.middle) * (1 + motions.share[:, None])
        c, s = np.cos(motions.turn), np.sin(motions.turn)
        turned = np.column_stack([c * arms[:, 0] - s * arms[:, 1], s * arms[:, 0] + c * arms[:, 1]])
        result: Array = turned + self.middle + motions.shift
        return result

    def lack(self, motions: Motions) -> Array:
        """By how much each goes beyond the play of the tightest locator [mm]."""
        return self.frees[0].lack(motions.turn, motions.shift, motions.share)

    def farthest(self, points: Array, ways: Array) -> Array:
        """A bound on how far along each way any motion brings each point; ways (k, 2) of length 1, to (g, n, k).

        By ranges of the turn, g of them: one, unless the turn is so large that points move in arcs.
        """
        found = np.concatenate([self._farthest(some, ways) for some in _in_bits(points, self._cost(ways))], axis=1)
        result: Array = found + (ways @ self.middle)[None, None, :]
        return result

    def best(self, point: Array, ways: Array) -> Motions:
        """The motions that bring the point farthest along each way, one of all slices; n of them for n ways."""
        gains, motions = [], []
        counted = self._counted(self.shares)
        for share, free in [pair for pair, good in zip(self._pairs, counted, strict=True) if good]:
            gain, corner = _gains(free, share, point[None], ways)
            first = np.argmax(gain[0], axis=1)
            each = np.arange(len(ways))
            gains.append(gain[0, each, first])
            shift = free.corners[first, corner[first, each]]
            motions.append(Motions(np.full(len(ways), share), free.turns[first], shift))
        which, each = np.argmax(gains, axis=0), np.arange(len(ways))
        return Motions(*(np.stack(parts)[which, each] for parts in zip(*motions, strict=True)))

    def finer(self) -> Allowed:
        """With one turn more between each two, and one share."""
        more = (self.shares[:-1] + self.shares[1:]) / 2
        new = [(float(one), free_motions(self.frees[0].locators, float(one))) for one in more]
        pairs = [(share, free) for share, free in [*self._pairs, *new] if free is not None]
        pairs.sort(key=lambda pair: pair[0])
        count = 2 * len(self.frees[0].turns) - 1
        frees = tuple(_with_turns(free, count) for _, free in pairs)
        return Allowed(np.array([share for share, _ in pairs]), frees, self.span)

    @property
    def _pairs(self) -> list[tuple[float, Free]]:
        return [(float(share), free) for share, free in zip(self.shares, self.frees, strict=True)]

    def _counted(self, shares: Array) -> NDArray[np.bool_]:
        least, most = self.span
        counted: NDArray[np.bool_] = (shares >= least - 1e-12) & (shares <= most + 1e-12)
        return counted

    def _cost(self, ways: Array) -> int:
        return len(ways) * max(len(free.turns) for free in self.frees)

    def _farthest(self, points: Array, ways: Array) -> Array:
        arms = [np.hypot(*(points - self.middle).T), np.hypot(*self.frees[0].arms.T)]
        arm = float(max(np.max(one, initial=0.0) for one in arms))
        uppers, lowers = [], []
        for share, free in self._pairs:
            gains = _gains(free, share, points, ways)[0]
            over = between(gains, gains, free.turns)
            if len(self.frees) == 1:
                starts = _ranges(free.turns, arm)
                ranged: Array = np.maximum.reduceat(over, starts, axis=2).transpose(2, 0, 1)
                return ranged + self._bend(arm)
            uppers.append(np.max(over, axis=2))
            lowers.append(np.max(gains, axis=2))
        gaps = between(np.stack(uppers, axis=2), np.stack(lowers, axis=2), self.shares)
        if gaps.shape[2] == len(self.shares) - 1:
            gaps = gaps[:, :, self._counted((self.shares[:-1] + self.shares[1:]) / 2)]
        upper: Array = np.max(gaps, axis=2)[None] + self._bend(arm)
        return upper

    def _bend(self, arm: float) -> float:
        """What the bend of a turn, and turn and growth together, add to straight lines between the steps [mm]."""
        turn = max((float(np.max(np.diff(free.turns), initial=0.0)) for free in self.frees), default=0.0)
        share = float(np.max(np.diff(self.shares), initial=0.0))
        return turn * (turn / 4 + share) * arm


def allowed_motions(locators: Sequence[Locator], most_growth: float = 0.0) -> Allowed | None:
    """Every motion the locators allow a sheet that has grown by any share up to that one, negative for shrinking.

    None if the sheet does not go over its studs as it is.
    """
    as_it_is = free_motions(locators)
    if as_it_is is None:
        return None
    if most_growth == 0:
        return Allowed(np.zeros(1), (as_it_is,), (0.0, 0.0))
    last = most_growth
    if free_motions(locators, last) is None:
        fits, fails = 0.0, last
        for _ in range(24):
            last = (fits + fails) / 2
            fits, fails = (fits, last) if free_motions(locators, last) is None else (last, fails)
        last = fits
    step = last / (SHARES - 1)
    shares = np.sort(np.linspace(-step, last + step, SHARES + 2))
    pairs = [(share, free) for share in shares if (free := free_motions(locators, float(share))) is not None]
    span = (min(0.0, last), max(0.0, last))
    return Allowed(np.array([share for share, _ in pairs]), tuple(free for _, free in pairs), span)


def between(upper: Array, lower: Array, nodes: Array) -> Array:
    """The most that a concave function can reach between each two nodes, known at the nodes to lie between two bounds.

    Between two nodes it lies under the line through the two before and under the line through the two after; the lines
    meet at the most it can be. In the first and last gap only one of the lines is there. Of t nodes: t - 1 gaps.
    """
    if len(nodes) < 4:
        most: Array = np.max(upper, axis=-1, keepdims=True)
        return most
    width = np.maximum(np.diff(nodes), 1e-15)
    before = (upper[..., 1:] - lower[..., :-1]) / width  # of the line that goes on to the right
    after = before if lower is upper else (lower[..., 1:] - upper[..., :-1]) / width  # that goes on to the left
    result: Array = np.maximum(upper[..., :-1], upper[..., 1:])
    inner = result[..., 1:-1]
    # Only where it may rise from the one node and fall to the other can it be more in between.
    peaks = np.nonzero((before[..., :-2] > 0) & (after[..., 2:] < 0))
    left, right, gap = upper[..., 1:-2][peaks], upper[..., 2:-1][peaks], width[1:-1][peaks[-1]]
    rise, fall = before[..., :-2][peaks], after[..., 2:][peaks]
    meet = np.clip((right - fall * gap - left) / np.maximum(rise - fall, 1e-15), 0.0, gap)
    inner[peaks] = left + rise * meet
    np.maximum(result[..., 0], upper[..., 1] - np.minimum(after[..., 1], 0.0) * width[0], out=result[..., 0])
    np.maximum(result[..., -1], upper[..., -2] + np.maximum(before[..., -2], 0.0) * width[-1], out=result[..., -1])
    return result


def _gains(free: Free, share: float, points: Array, ways: Array) -> tuple[Array, Integers]:
    """How far each slice brings each point along each way, seen from the middle: (n, k, t); which corners: (t, k)."""
    arms = (points - free.middle) * (1 + share)
    along = arms @ ways.T
    across = arms[:, :1] * ways[:, 1] - arms[:, 1:] * ways[:, 0]
    reach, corner = free.farthest(ways)
    gains = along[..., None] * np.cos(free.turns) + across[..., None] * np.sin(free.turns) + reach.T
    return gains, corner


def _ranges(turns: Array, arm: float) -> Integers:
    """The first gap of each range of turns within which an arc of that arm is flat."""
    span = float(turns[-1] - turns[0])
    count = min(max(1, ceil(span / sqrt(8 * FLAT / max(arm, 1e-9)))), len(turns) - 1)
    if count <= 1 or len(turns) < 4:
        return np.zeros(1, dtype=np.int64)
    edges = np.searchsorted(turns, np.linspace(turns[0], turns[-1], count, endpoint=False))
    return np.unique(np.minimum(edges, len(turns) - 2)).astype(np.int64)


def _with_turns(free: Free, count: int) -> Free:
    """The same with at least about so many turns."""
    while len(free.turns) < 0.9 * count:
        free = free.finer()
    return free


def _in_bits(points: Array, cost: int) -> list[Array]:
    return np.array_split(points, max(1, ceil(len(points) * cost / _AT_ONCE)))
