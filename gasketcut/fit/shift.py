"""The worst overhang over every motion that the studs allow: a bound, not the best of some tries.

Depth     how far a point of the sheet stands inside a window, from the window's edge [mm]; negative outside.
Bound     no motion brings any point of the sheet deeper than this.
Reached   a motion that brings one this deep; bound less reached is all the doubt there is.

Why it is a bound: a point cannot stand deeper in a convex window than behind any of its tangents. For each point of the
sheet's edge a tangent is chosen; how far motions carry the point behind it is a concave function of the turn, known
exactly at the turns of the slices and bounded between them by the straight lines through its neighbours. The tangent
is then moved to where the worst motion brings the point, and so on; every tangent gives a bound and the least counts.
Where the last tangent touches the window next to the moved point, bound and depth are the same.

A window that is not convex is bounded by its hull and, in its bays, by trying the corners of the slices.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from gasketcut.job.shapes import Point
from gasketcut.shape.motion import Array, Free
from gasketcut.shape.outlines import grown
from gasketcut.tolerances import CHORD

SPACING = 0.25
"""mm between points of the sheet's edge at first, FINE in the end round the worst of them."""

FINE = 0.01
_KEPT = 6  # worst places that are looked at again, finer
_ROUNDS = 4  # tangents tried for each point
_PASSES = 3  # each with finer turns about the worst so far


@dataclass(frozen=True, slots=True)
class Worst:
    """Depth bound and depth reached [mm], the motion that reaches it (dx, dy [mm], turn [rad]), where, and the area."""

    bound: float
    reached: float
    motion: tuple[float, float, float]
    at: Point
    area: float


@dataclass(frozen=True, slots=True)
class _Found:
    """For each point: the bound, the depth reached, and the motion that reaches it."""

    points: Array
    bound: Array
    reached: Array
    turn: Array
    shift: Array

    def without(self, left_out: NDArray[np.bool_]) -> _Found:
        keep = ~left_out
        return _Found(self.points[keep], self.bound[keep], self.reached[keep], self.turn[keep], self.shift[keep])

    def joined(self, other: _Found) -> _Found:
        return _Found(
            np.concatenate([self.points, other.points]),
            np.concatenate([self.bound, other.bound]),
            np.concatenate([self.reached, other.reached]),
            np.concatenate([self.turn, other.turn]),
            np.concatenate([self.shift, other.shift]),
        )


def worst_overhang(solid: Polygon, window: Polygon, free: Free) -> Worst | None:
    """The worst over all motions, or None if no edge of the sheet can come near the window."""
    near = solid.boundary.intersection(grown(window, _sway(window, free) + SPACING))
    points = _with_middles(near, SPACING)
    if len(points) == 0:
        return None
    target = _Window(window)
    found = target.search(points, free)
    for _ in range(_PASSES):
        free = free.refined(float(found.turn[np.argmax(found.bound)]))
        doubtful = found.bound > np.max(found.reached) + CHORD / 4
        fresh = np.vstack([found.points[doubtful], _with_middles(near.intersection(_beside(found)), FINE)])
        found = found.without(doubtful).joined(target.search(fresh, free))
    best = int(np.argmax(found.reached))
    turn, shift = float(found.turn[best]), found.shift[best]
    moved = shapely.transform(solid, lambda coords: free.moved(coords, turn, shift))
    x, y = free.moved(found.points[best : best + 1], turn, shift)[0]
    reached = float(found.reached[best])
    # Nothing stands deeper in a window than its innermost point does.
    spoke = shapely.maximum_inscribed_circle(window, tolerance=CHORD)
    innermost, place = spoke.length + CHORD, shapely.get_coordinates(spoke)[0]
    covered = moved.intersects(shapely.Point(place))
    reached = max(reached, spoke.length) if covered else reached
    bound = float(np.max(found.bound)) + CHORD / 2 + _curvature(window, free)
    return Worst(
        bound=max(min(bound, innermost), reached),
        reached=reached,
        motion=(float(shift[0]), float(shift[1]), turn),
        at=(float(x), float(y)),
        area=float(moved.intersection(window).area),
    )


def _with_middles(lines: BaseGeometry, spacing: float) -> Array:
    """Vertices of the lines no farther apart than the spacing, and the middles of all edges: chords bulge there."""
    found = []
    for line in shapely.get_parts(shapely.line_merge(lines) if lines.geom_type == "MultiLineString" else lines):
        if line.geom_type == "LineString":
            coords = shapely.get_coordinates(shapely.segmentize(line, spacing))
            found += [coords, (coords[:-1] + coords[1:]) / 2]
    return np.concatenate(found) if found else np.empty((0, 2))


def _sway(window: Polygon, free: Free) -> float:
    """The farthest that any motion carries a point near the window."""
    arm = float(np.max(np.hypot(*(shapely.get_coordinates(window) - free.middle).T)))
    return free.sway + arm * min(float(np.max(np.abs(free.turns))), 2.0)


def _curvature(window: Polygon, free: Free) -> float:
    """What the bend of a turn adds to the straight lines between slices: a quarter step squared times the arm."""
    turns = free.turns
    if len(turns) < 2:
        return 0.0
    arm = float(np.max(np.hypot(*(shapely.get_coordinates(window) - free.middle).T)))
    return float(np.max(np.diff(turns))) ** 2 * arm / 4


def _beside(found: _Found) -> BaseGeometry:
    """Boxes round the worst places, no two of them close together."""
    kept: list[Array] = []
    for number in np.argsort(found.bound)[::-1]:
        place = found.points[number]
        if all(np.max(np.abs(place - other)) > SPACING for other in kept):
            kept.append(place)
        if len(kept) == _KEPT:
            break
    places = np.array(kept)
    return shapely.union_all(shapely.box(*(places - SPACING).T, *(places + SPACING).T))


class _Window:
    """A window with what is needed to ask for depths again and again."""

    def __init__(self, polygon: Polygon) -> None:
        hull = polygon.convex_hull
        self.polygon, self.hull = polygon, hull if isinstance(hull, Polygon) else polygon
        self.is_convex = self.hull.area - polygon.area < 1e-6 * polygon.area
        ring = np.asarray(polygon.exterior.coords)[:, :2]
        self._starts, self._edges = ring[:-1], np.diff(ring, axis=0)
        lines: Any = shapely.linestrings(np.stack([ring[:-1], ring[1:]], axis=1))
        self._tree = shapely.STRtree(lines)
        side = 1.0 if polygon.exterior.is_ccw else -1.0
        lengths = np.maximum(np.hypot(*self._edges.T), 1e-12)[:, None]
        self._normals = side * np.column_stack([-self._edges[:, 1], self._edges[:, 0]]) / lengths
        shapely.prepare(polygon)

    def depths(self, points: Array) -> tuple[Array, Array, Array]:
        """Depth of each point, the nearest point of the window's edge, and the direction inward there."""
        edge = np.asarray(self._tree.nearest(shapely.points(points)))
        start, along = self._starts[edge], self._edges[edge]
        share = np.sum((points - start) * along, axis=1) / np.maximum(np.sum(along * along, axis=1), 1e-18)
        foot = start + np.clip(share, 0.0, 1.0)[:, None] * along
        away = points - foot
        distance = np.hypot(away[:, 0], away[:, 1])
        sign = np.where(shapely.contains_xy(self.polygon, points[:, 0], points[:, 1]), 1.0, -1.0)
        inward = (sign / np.maximum(distance, 1e-9))[:, None] * away
        lost = distance <= 1e-6  # on the edge: straight inward from it
        inward[lost] = self._normals[edge[lost]]
        return sign * distance, foot, inward

    def search(self, points: Array, free: Free) -> _Found:
        """Bound and depth reached of each point."""
        return self._by_tangents(points, free) if self.is_convex else self._by_corners(points, free)

    def _by_tangents(self, points: Array, free: Free) -> _Found:
        count = len(points)
        bound, reached = np.full(count, np.inf), np.full(count, -np.inf)
        best_turn, best_shift = np.zeros(count), np.zeros((count, 2))
        _, foot, inward = self.depths(points)
        for _ in range(_ROUNDS):
            behind = np.sum(inward * (points - foot), axis=1)  # of the unmoved point, behind the tangent at `foot`
            gain, turn, shift = _farthest(points, inward, free)
            bound = np.minimum(bound, behind + gain)
            depth, foot, inward = self.depths(_moved_each(points, turn, shift, free))
            better = depth > reached
            reached = np.where(better, depth, reached)
            best_turn, best_shift = np.where(better, turn, best_turn), np.where(better[:, None], shift, best_shift)
        return _Found(points, bound, reached, best_turn, best_shift)

    def _by_corners(self, points: Array, free: Free) -> _Found:
        """A window of any shape: its hull bounds it from outside; depth at the corners of the slices, and half the way
        between corners (no point gains more than it moves), bounds it from inside. The lesser counts."""
        outer = _Window(self.hull)._by_tangents(points, free)
        count, step = len(points), 0.0
        reached, best_turn, best_shift = np.full(count, -np.inf), np.zeros(count), np.zeros((count, 2))
        turns = free.turns
        arm = float(np.max(np.hypot(*(points - free.middle).T)))
        for one in free.slices:
            some = one.corners[:: max(1, len(one.corners) // 12)]
            step = max(step, float(np.max(np.hypot(*(np.roll(some, 1, axis=0) - some).T))))
            for shift in some:
                depth, _, _ = self.depths(free.moved(points, one.turn, shift))
                better = depth > reached
                reached, best_turn = np.where(better, depth, reached), np.where(better, one.turn, best_turn)
                best_shift = np.where(better[:, None], shift, best_shift)
        between = step / 2 + (float(np.max(np.diff(turns))) * arm / 2 if len(turns) > 1 else 0.0)
        return _Found(points, np.minimum(outer.bound, reached + between), reached, best_turn, best_shift)


def _farthest(points: Array, directions: Array, free: Free) -> tuple[Array, Array, Array]:
    """How far motions can carry each point in its direction: a bound, and turn and shift of the best slice's corner.

    directions : unit vectors, shape (n, 2)
    """
    arms = points - free.middle
    along = np.sum(directions * arms, axis=1)
    across = directions[:, 1] * arms[:, 0] - directions[:, 0] * arms[:, 1]
    reach, corner = zip(*(one.farthest(directions) for one in free.slices), strict=True)
    turns = free.turns
    # n . ((R - 1) a + t) for every point and slice
    gains = np.outer(along, np.cos(turns) - 1) + np.outer(across, np.sin(turns)) + np.column_stack(reach)
    best = np.argmax(gains, axis=1)
    rows = np.arange(len(points))
    corners = np.column_stack(corner)[rows, best]
    shift = np.array([free.slices[at].corners[number] for at, number in zip(best, corners, strict=True)])
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


def _moved_each(points: Array, turn: Array, shift: Array, free: Free) -> Array:
    arms = points - free.middle
    c, s = np.cos(turn), np.sin(turn)
    turned = np.column_stack([c * arms[:, 0] - s * arms[:, 1], s * arms[:, 0] + c * arms[:, 1]])
    result: Array = turned + free.middle + shift
    return result
