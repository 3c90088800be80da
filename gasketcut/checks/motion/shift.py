"""The worst overhang over every motion that the studs allow: a bound, not the best of some tries.

Depth     how far a point of the sheet stands inside a window, from the window's edge [mm]; negative outside.
Bound     no motion brings any point of the sheet deeper than this.
Reached   a motion that brings one this deep; bound less reached is all the uncertainty there is.

Why it is a bound: a point cannot stand deeper in a convex window than behind any of its tangents. For each point of the
sheet's edge a tangent is chosen; how far motions carry the point behind it is a concave function of the turn, known
exactly at the turns of the slices and bounded between them by the straight lines through its neighbours. The tangent
is then moved to where the worst motion brings the point, and so on; every tangent gives a bound and the least counts.
Where the last tangent touches the window next to the moved point, bound and depth are the same.

A window that is not convex is bounded by its hull. Where bound and reached then differ by more than a little,
the question is settled by halving (cells.py).
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cached_property
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from gasketcut.arrays import Array
from gasketcut.checks.motion.cells import Reached, settle
from gasketcut.checks.motion.tangent import Tangents, behind, behind_both, farthest
from gasketcut.plane import Point
from gasketcut.shape.motion import Free
from gasketcut.shape.outlines import grown
from gasketcut.tolerances import CHORD

SPACING = 0.25
"""mm between points of the sheet's edge at first, FINE in the end round the worst of them."""

FINE = 0.01
SETTLED = CHORD / 50
"""A point whose bound stands no more than that above the best motion found is not looked at again."""

_KEPT = 6  # worst places that are looked at again, finer
_FIRST = 48  # points with the highest bounds, moved first: mostly they show that the others need no look
_ROUNDS = 4  # tangents tried for each point
_PASSES = 3  # each with finer turns about the worst so far


@dataclass(frozen=True, slots=True)
class Worst:
    """Depth bound and depth reached [mm]; the motion that reaches it (dx, dy [mm], turn [rad]); where, the area covered
    [mm2], and the sheet as it stands then."""

    bound: float
    reached: float
    motion: tuple[float, float, float]
    at: Point
    area: float
    sheet: Polygon


@dataclass(frozen=True, slots=True)
class _Found:
    """For each point: the bound, the depth reached, and the motion that reaches it."""

    points: Array
    bound: Array
    reached: Array
    turn: Array
    shift: Array

    @property
    def best(self) -> float:
        return float(np.max(self.reached, initial=-np.inf))

    def only(self, kept: NDArray[np.bool_]) -> _Found:
        return _Found(*(getattr(self, field.name)[kept] for field in fields(self)))

    def joined(self, other: _Found) -> _Found:
        pairs = ((getattr(self, field.name), getattr(other, field.name)) for field in fields(self))
        return _Found(*(np.concatenate(pair) for pair in pairs))


def worst_overhang(solid: Polygon, window: Polygon, free: Free) -> Worst | None:
    """The worst over all motions, or None if no edge of the sheet can come near the window."""
    sway = _sway(window, free)
    near = solid.boundary.intersection(grown(window, sway + SPACING))
    points = _with_middles(near, SPACING)
    if len(points) == 0:
        return None
    target = _Window(window)
    found, refined = target.search(points, free, sway), free
    for number in range(_PASSES):
        unsettled = found.bound > found.best + CHORD / 4
        if number and not unsettled.any():
            break
        refined = refined.refined(float(found.turn[np.argmax(found.bound)]))
        fresh = np.vstack([found.points[unsettled], _with_middles(near.intersection(_beside(found)), FINE)])
        kept = found.only(~unsettled)
        found = kept.joined(target.search(fresh, refined, sway, kept.best))
    first = int(np.argmax(found.reached))
    turn, shift = float(found.turn[first]), found.shift[first]
    at = refined.moved(found.points[first : first + 1], turn, shift)[0]
    best = Reached(float(found.reached[first]), turn, shift, at)
    bound = target.at_most(float(np.max(found.bound)) + CHORD / 2 + _curvature(window, refined))
    if best.enough < bound:
        open_yet = shapely.MultiPoint(found.points[found.bound > best.enough])
        bits = _bits(near)
        bits = bits[shapely.distance(shapely.points(np.mean(bits, axis=1)), open_yet) <= SPACING]

        def carried(places: Array, ways: Array) -> Array:
            return farthest(places, ways, refined)[0]

        settled, best = settle(bits, best, refined, target.depths, carried)
        bound = min(bound, settled + CHORD / 2 + _curvature(window, refined))
    return _judged(solid, target, best, bound, free)


def _judged(solid: Polygon, window: _Window, best: Reached, bound: float, free: Free) -> Worst:
    """With the area that is covered."""
    moved = shapely.transform(solid, lambda coords: free.moved(coords, best.turn, best.shift))
    reached = max(best.depth, window.covered(moved, bound))
    return Worst(
        bound=max(bound, reached),
        reached=reached,
        motion=(float(best.shift[0]), float(best.shift[1]), best.turn),
        at=(float(best.at[0]), float(best.at[1])),
        area=float(moved.intersection(window.polygon).area),
        sheet=moved,
    )


def _bits(lines: BaseGeometry) -> Array:
    """The lines in bits no longer than SPACING; shape (n, 2, 2)."""
    fine = [shapely.get_coordinates(shapely.segmentize(line, SPACING)) for line in shapely.get_parts(lines)]
    return np.concatenate([np.stack([coords[:-1], coords[1:]], axis=1) for coords in fine if len(coords) > 1])


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
    # Of the edge no place is farther than that from a point that was looked at, so none is worse by more.
    left = found.points[np.argsort(-found.bound)][: int(np.sum(found.bound >= found.best - SPACING / 4))]
    boxes: list[Any] = []
    while len(left) and len(boxes) < _KEPT:
        boxes.append(shapely.box(*(left[0] - SPACING), *(left[0] + SPACING)))
        left = left[np.max(np.abs(left - left[0]), axis=1) > SPACING]
    return shapely.union_all(boxes)


class _Window:
    """A window with what is needed to ask for depths again and again."""

    def __init__(self, polygon: Polygon) -> None:
        hull = polygon.convex_hull
        self.polygon = polygon
        bays = hull.area - polygon.area > 1e-6 * polygon.area
        self.hull = _Window(hull) if bays and isinstance(hull, Polygon) else None
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

    @cached_property
    def _spoke(self) -> BaseGeometry:
        """The radius from the innermost point to the edge."""
        return shapely.maximum_inscribed_circle(self.polygon, tolerance=CHORD)

    @cached_property
    def _inside(self) -> tuple[Array, float]:
        """The centre of area and its depth. Of a window with bays it says nothing: its depth is no bound there."""
        centre = shapely.get_coordinates(self.polygon.centroid)
        return centre, float(self.depths(centre)[0][0]) if self.hull is None else -np.inf

    def at_most(self, bound: float) -> float:
        """The bound, or the depth of the innermost point if that is less: nothing stands deeper."""
        return bound if bound <= self._inside[1] else min(bound, float(self._spoke.length) + CHORD)

    def covered(self, sheet: BaseGeometry, bound: float) -> float:
        """The depth of the innermost point if the sheet covers it, else minus infinity; its edges are within the bound.

        All places deeper than a bound lie together, covered or not, in a window without bays: then one stands for all.
        """
        centre, depth = self._inside
        if bound < depth and not shapely.intersects_xy(sheet, *centre[0]):
            return -np.inf
        innermost = shapely.Point(shapely.get_coordinates(self._spoke)[0])
        return float(self._spoke.length) if sheet.intersects(innermost) else -np.inf

    def search(self, points: Array, free: Free, sway: float, best: float = -np.inf) -> _Found:
        """Bound and depth reached of each point, none of which moves farther than `sway`.

        best : depth known to be reached; what stays below is not looked at closely
        """
        if self.hull is None:
            return self._by_tangents(points, free, self, best)
        found = self.hull._by_tangents(points, free, self, best)
        best = max(best, found.best)
        open_yet = np.flatnonzero(found.bound > best + SETTLED)
        plain = np.isin(np.arange(len(points)), open_yet[self._bulges_out(points[open_yet], 2 * (sway + SPACING))])
        return found.only(~plain).joined(self._by_tangents(points[plain], free, self, best))

    def _bulges_out(self, points: Array, reach: float) -> NDArray[np.bool_]:
        """Is the window convex as far as `reach` about each point? Its tangents there hold for all that comes there."""
        boxes: Any = shapely.box(*(points - reach).T, *(points + reach).T)
        parts = shapely.intersection(self.polygon, boxes)
        convex: NDArray[np.bool_] = shapely.area(shapely.convex_hull(parts)) - shapely.area(parts) < CHORD * CHORD
        return convex

    def _by_tangents(self, points: Array, free: Free, judge: _Window, best: float) -> _Found:
        """With tangents of this window, which must be convex; depths reached are those in the judge's window."""
        count = len(points)
        reached, best_turn, best_shift = np.full(count, -np.inf), np.zeros(count), np.zeros((count, 2))
        if count == 0:
            return _Found(points, reached, reached, best_turn, best_shift)
        tangents = Tangents(*self.depths(points)[1:])
        before = Tangents(tangents.foot.copy(), tangents.inward.copy())
        bound, turn, shift = behind(points, tangents, free)
        fresh = np.ones(count, dtype=bool)  # moved otherwise than before: the same motion gives the same tangent
        for number in range(_ROUNDS):
            open_yet = np.flatnonzero(fresh & (bound > np.maximum(best, reached) + SETTLED))
            if number == 0:
                open_yet = open_yet[np.argsort(-bound[open_yet])[:_FIRST]]
            if not len(open_yet):
                break
            tried = points[open_yet]
            moved = free.moved_each(tried, turn[open_yet], shift[open_yet])
            depth, foot, inward = self.depths(moved)
            depth = depth if judge is self else judge.depths(moved)[0]
            better = depth > reached[open_yet]
            at = open_yet[better]
            reached[at], best_turn[at], best_shift[at] = depth[better], turn[at], shift[at]
            best = max(best, float(np.max(depth)))
            for old, now, new in zip(before, tangents, (foot, inward), strict=True):
                old[open_yet], now[open_yet] = now[open_yet], new
            tighter, next_turn, next_shift = behind(tried, tangents.only(open_yet), free)
            fresh[open_yet] = (next_turn != turn[open_yet]) | np.any(next_shift != shift[open_yet], axis=1)
            turn[open_yet], shift[open_yet] = next_turn, next_shift
            bound[open_yet] = np.minimum(bound[open_yet], tighter)
        corner = np.any(np.abs(before.inward - tangents.inward) > 1e-9, axis=1)
        open_yet = np.flatnonzero(corner & (bound > np.maximum(best, reached) + SETTLED))
        if len(open_yet):
            tried = points[open_yet]
            tighter, turn, shift = behind_both(tried, before.only(open_yet), tangents.only(open_yet), free)
            depth = judge.depths(free.moved_each(tried, turn, shift))[0]
            better = depth > reached[open_yet]
            at = open_yet[better]
            reached[at], best_turn[at], best_shift[at] = depth[better], turn[better], shift[better]
            bound[open_yet] = np.minimum(bound[open_yet], tighter)
        return _Found(points, bound, reached, best_turn, best_shift)
