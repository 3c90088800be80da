"""One outline laid over another so that what agrees agrees exactly, and what differs shows its whole difference.

Likely ways are tried coarsely; the best are settled by least absolute distances, which follow the many and let the few
stand off, as least squares would not; at the end by least squares over what then agrees, so that noise is averaged.

Source of the weights: E. J. Schlossmacher, An iterative technique for absolute deviations curve fitting, 1973.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from gasketcut.arrays import Array
from gasketcut.comparing.candidates import candidates_of
from gasketcut.comparing.features import Features
from gasketcut.comparing.placing import Placing

_TRIED = 64
"""Points along the line, and round holes, with which a way is tried."""

_LIKELY, _SETTLED = 8, 3
"""How many of the best ways are settled roughly, and how many of these to the last digit."""

_ROUGH, _ROUNDS, _AVERAGED, _NARROWS = 6, 14, 3, 3
_ALL = 10**9
_HOLE = 12.0
"""Points along the outer line that a hole weighs as much as; ours."""

_AS_GOOD = 0.002  # mm
_LEAST = 1e-7
"""mm; what agrees better than this is not weighed more."""

_AGREES = 5.0
"""Times the median distance: what lies nearer agrees. Ours; of normal noise it is all but one in a thousand."""

_LOOSE = 1e-4
"""Of the strongest hold: what holds a turn less than this slows it down, and does not spoil it."""

_EXACT = 2e-4
"""mm within which anything agrees: how far the short lines lie off arcs."""

_FAR = 0.02
"""Of the size: what is farther off than this tells nothing of how to lay it."""


@dataclass(frozen=True, slots=True)
class Laid:
    """A placing of the one onto the other, and how far they are off each other on average [mm], distances cut off."""

    placing: Placing
    off: float


def laid_over(fixed: Features, moved: Features, *, mirrored: bool) -> Laid:
    """The best placing that takes `moved` to `fixed`; of equals the one that turns least."""
    ground, other = _Ground(fixed), _Ground(moved)
    ways = _apart(candidates_of(fixed, moved, mirrored=mirrored), fixed.size)
    tried = [(ground.off(moved, one, _TRIED), one) for one in ways]
    rough = [_settled(ground, moved, one, range(_ROUGH), _TRIED) for one in _best(tried, fixed.size, _LIKELY)]
    tried = [(ground.off(moved, one, _TRIED) + other.off(fixed, one.inverse, _TRIED), one) for one in rough]
    laid = []
    for one in _best(tried, fixed.size, _SETTLED):
        placing = _averaged(ground, moved, _settled(ground, moved, one, range(_ROUGH // 2, _ROUNDS), _ALL))
        off = ground.off(moved, placing) + other.off(fixed, placing.inverse)
        laid.append(Laid(placing, off / 2))
    least = min(one.off for one in laid)
    equal = [one for one in laid if one.off <= least + _EXACT + 0.01 * least]
    best = min(equal, key=lambda one: (round(abs(one.placing.turn), 3), one.off))
    # A ring lies as well in every turn, so in none.
    centre = moved.centre[None, :]
    straight = Placing(mirrored)
    x, y = (best.placing(centre) - straight(centre))[0].tolist()
    straight = replace(straight, shift=(x, y))
    off = (ground.off(moved, straight) + other.off(fixed, straight.inverse)) / 2
    return Laid(straight, off) if off <= best.off + _EXACT else best


@dataclass(frozen=True, slots=True)
class _Offs:
    """Of points of edges how far they are off and along which unit vector; of round holes the ways to go [mm]."""

    points: Array
    edges: Array
    along: Array
    middles: Array
    ways: Array

    @property
    def holes(self) -> Array:
        result: Array = np.hypot(*self.ways.T)
        return result


class _Ground:
    """The outline that stays in place, ready to be asked."""

    def __init__(self, fixed: Features) -> None:
        self.fixed = fixed
        self.cap = _FAR * fixed.size
        self._holes = shapely.STRtree(np.array(shapely.points(fixed.middles))) if len(fixed.middles) else None

    def asked(self, moved: Features, most: int) -> tuple[Array, Array, Array]:
        """So many points along `moved`, middles of its round holes, and what each of these weighs in points. Large and
        small ones weigh the same: so one that moved stands alone against the many."""
        step = -(-len(moved.along) // most)
        few = -(-len(moved.middles) // most) or 1
        middles = moved.middles[::few]
        return moved.along[::step], middles, np.full(len(middles), max(1.0, _HOLE * few / step))

    def offs(self, points: Array, middles: Array) -> _Offs:
        """Where there is no hole at all, a middle is far."""
        edges = self.fixed.edges
        nearest = edges.nearest(points)
        off = points - edges.foot(points, nearest)
        size = np.hypot(*off.T)
        way = edges.end[nearest] - edges.start[nearest]
        square = np.column_stack([-way[:, 1], way[:, 0]]) / np.maximum(np.hypot(*way.T), 1e-12)[:, None]
        along = np.where((size > 1e-9)[:, None], off / np.maximum(size, 1e-12)[:, None], square)
        found = self._nearest(middles)
        ways = np.full(middles.shape, self.cap) if found is None else self.fixed.middles[found] - middles
        return _Offs(points, size, along, middles, ways)

    def _nearest(self, middles: Array) -> Array | None:
        """The number of the round hole nearest to each; None if there is none to ask for."""
        if self._holes is None or not len(middles):
            return None
        _, found = self._holes.query_nearest(np.array(shapely.points(middles)), all_matches=False)
        return np.asarray(found)

    def off(self, moved: Features, placing: Placing, most: int = _ALL) -> float:
        """How far off on average; what has no partner counts as far."""
        points, middles, weights = self.asked(moved, most)
        there = placing(middles)
        offs = self.offs(placing(points), there)
        holes, found = offs.holes, self._nearest(there)
        if found is not None:  # holes in the right places and of the wrong widths are the wrong holes
            few = -(-len(moved.middles) // most) or 1
            holes = holes + np.abs(self.fixed.diameters[found] - moved.diameters[::few]) / 2
        total = np.minimum(offs.edges, self.cap).sum() + weights @ np.minimum(holes, self.cap)
        return float(total / (len(points) + weights.sum()))


def _apart(ways: Iterable[Placing], size: float) -> list[Placing]:
    """One of each that are all but the same."""
    fine = 0.001 * size
    cells = {(round(one.turn / 0.1), round(one.shift[0] / fine), round(one.shift[1] / fine)): one for one in ways}
    return list(cells.values())


def _best(tried: Sequence[tuple[float, Placing]], size: float, most: int) -> list[Placing]:
    """The best ones that are not the same but for a little; and of all that are as good as the best, the one that turns
    least."""
    kept: list[Placing] = []
    for _, one in sorted(tried, key=lambda pair: (pair[0], abs(pair[1].turn))):
        like = any(
            abs((one.turn - other.turn + 180) % 360 - 180) < 0.2
            and np.hypot(one.shift[0] - other.shift[0], one.shift[1] - other.shift[1]) < 0.002 * size
            for other in kept
        )
        if not like:
            kept.append(one)
        if len(kept) == most:
            break
    least = min(off for off, _ in tried)
    straight = min((one for off, one in tried if off <= least + _AS_GOOD + 0.02 * least), key=lambda one: abs(one.turn))
    return kept if straight in kept else [*kept, straight]


def _settled(ground: _Ground, moved: Features, placing: Placing, rounds: range, most: int) -> Placing:
    """By least absolute distances; each round tells apart what agrees a third as well."""
    matrix, shift = placing.matrix, np.array(placing.shift)
    along, middles, weights = ground.asked(moved, most)
    for turn in rounds:
        floor = max(ground.cap / _NARROWS**turn, _LEAST)
        offs = ground.offs(along @ matrix.T + shift, middles @ matrix.T + shift)
        strength = [1 / np.maximum(one, floor) * (one <= ground.cap) for one in (offs.edges, offs.holes)]
        matrix, shift = _moved(matrix, shift, offs, strength[0], strength[1] * weights)
    return Placing.of(matrix, shift)


def _averaged(ground: _Ground, moved: Features, placing: Placing) -> Placing:
    """By least squares over what agrees."""
    matrix, shift = placing.matrix, np.array(placing.shift)
    along, middles, weights = ground.asked(moved, _ALL)
    for _ in range(_AVERAGED):
        offs = ground.offs(along @ matrix.T + shift, middles @ matrix.T + shift)
        every = np.concatenate([offs.edges, np.repeat(offs.holes, weights.astype(int))])
        limit = max(_AGREES * float(np.median(every)), _EXACT)
        agree = [(one <= limit).astype(float) for one in (offs.edges, offs.holes)]
        matrix, shift = _moved(matrix, shift, offs, agree[0], agree[1] * weights)
    return Placing.of(matrix, shift)


def _moved(matrix: Array, shift: Array, offs: _Offs, edges: Array, holes: Array) -> tuple[Array, Array]:
    by, turned = _step(offs, edges, holes)
    centre = offs.points.mean(axis=0)
    return turned @ matrix, turned @ (shift - centre) + centre + by


def _step(offs: _Offs, edge_weights: Array, hole_weights: Array) -> tuple[Array, Array]:
    """The small shift and turn about the points' middle: edges are to go along their normals, holes all the way."""
    centre = offs.points.mean(axis=0)
    arms = offs.points - centre
    lever = offs.along[:, 1] * arms[:, 0] - offs.along[:, 0] * arms[:, 1]
    rows = [np.column_stack([offs.along, lever])]
    wanted, weights = [-offs.edges], [edge_weights]
    if len(offs.middles):
        arms = offs.middles - centre
        ones, zeros = np.ones(len(arms)), np.zeros(len(arms))
        rows += [np.column_stack([ones, zeros, -arms[:, 1]]), np.column_stack([zeros, ones, arms[:, 0]])]
        wanted += [offs.ways[:, 0], offs.ways[:, 1]]
        weights += [hole_weights, hole_weights]
    matrix, target, weight = np.vstack(rows), np.concatenate(wanted), np.concatenate(weights)
    reach = max(float(np.abs(matrix[:, 2]).max()), 1e-9)
    matrix[:, 2] /= reach  # so that a turn counts in mm too
    square = matrix.T @ (weight[:, None] * matrix)
    # What nothing holds, as a ring's turn, stays as it is: chords instead of an arc hold it a little, and wrongly.
    held = square + np.diag([1e-9, 1e-9, _LOOSE]) * max(float(np.abs(np.diag(square)).max()), 1e-30)
    x, y, turn = np.linalg.solve(held, matrix.T @ (weight * target))
    c, s = np.cos(turn / reach), np.sin(turn / reach)
    return np.array([x, y]), np.array([[c, -s], [s, c]])
