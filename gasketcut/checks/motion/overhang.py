"""The worst overhang over every motion that the studs allow: a bound, not the best of some tries.

Bit      a short straight piece of the sheet's edge.
Hull     a convex polygon that holds wherever any motion brings a bit: as far as motions carry its ends, in WAYS
         directions all round (`allowed.py`). Motions are convex but for the bend of a turn: they hold hardly more.
Bound    no hull reaches deeper into the window (`deepest.py`), so no motion brings any point of the sheet deeper: what
         the sheet can cover at all it covers as it is drawn, or its edge has come over it.
Reached  a motion that comes this deep; bound less reached is all the uncertainty there is. Where it is more than a
         little, the bits that could still be the worst are halved.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import pi

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from gasketcut.arrays import Array
from gasketcut.checks.motion.allowed import Allowed, Motions
from gasketcut.checks.motion.deepest import Shapes, Window, as_shapes
from gasketcut.checks.motion.round_one import brought, ring
from gasketcut.plane import Point
from gasketcut.shape.outlines import pieces, union

SPACING = 0.3
"""mm: no bit is longer at first."""

WAYS = 16, 64
"""Directions of the hulls: few at first, and for those that may be the worst as many as the slices have sides."""

GIVE, SHARE = 0.001, 0.003
"""mm and share of the depth by which the bound may stand above the best motion found."""

SOON, LATER = 1_000, 3
"""After so many hulls that many times as much is given: where all of a long edge comes as deep, it takes too long to be
closer than half of what is promised."""

GROWN = 0.006, 0.006
"""The same where the sheet may have grown: still within what is promised."""

FINER = 3
"""Times the steps of turn and growth are halved."""

MOST = 4_000
"""Hulls looked at; beyond it the bound stays a bound but is not as close."""

_BEYOND = 0.0005  # mm by which a mixed motion may go beyond the play: slices stand out by as much


Looking = Callable[[], None]


@dataclass(frozen=True, slots=True)
class Worst:
    """Depth bound and depth reached [mm]; the motion that reaches it (dx, dy [mm], turn [rad]), growth before it;
    where, the area covered [mm2], the sheet as it stands then, and how many hulls were looked at."""

    bound: float
    reached: float
    motion: tuple[float, float, float]
    growth: float
    at: Point
    area: float
    sheet: Polygon
    looked: int


@dataclass(frozen=True, slots=True)
class _Reached:
    depth: float
    motion: Motions
    at: Array

    def enough(self, allowed: Allowed, looked: int) -> float:
        """The bound that is close enough after so many hulls."""
        # A share of how deep it comes; of a port that stays clear none, however far the sheet is.
        if allowed.span != (0.0, 0.0):
            return self.depth + max(GROWN[0], GROWN[1] * self.depth)
        return self.depth + max(GIVE * (LATER if looked > SOON else 1), SHARE * self.depth)


def worst_overhang(solid: Polygon, polygon: Polygon, allowed: Allowed, looking: Looking | None = None) -> Worst:
    """The worst over all motions.

    looking : called before each round of the work
    """
    window = Window(polygon)
    best = _as_drawn(solid, window)
    if len(allowed.frees[0].locators) == 1:
        return _all_round(solid, window, allowed, best)
    dropped, looked = best.depth, 0
    bits = _near_bits(solid, window, allowed)
    count, finer = WAYS[0], 0
    bound = -np.inf
    while len(bits):
        if looking is not None:
            looking()
        hulls, owner = swept(bits, allowed, count)
        looked += len(hulls)
        bound, number, place = window.deepest(hulls)
        best = max(best, _towards(bits, int(owner[number]), place, window, allowed), key=lambda one: one.depth)
        if bound <= max(best.enough(allowed, looked), dropped) or looked > MOST:
            break
        kept = np.unique(owner[window.reaching(hulls, best.enough(allowed, looked))])
        dropped = max(dropped, best.enough(allowed, looked))
        if not len(kept):
            bound = -np.inf
            break
        if count == WAYS[-1]:
            bits = _halved(bits[kept]) if finer else bits[kept]
            allowed, finer = (allowed.finer(), finer + 1) if finer < FINER else (allowed, finer)
        else:
            bits = bits[kept]
        count = WAYS[-1]
    return _judged(solid, window, allowed, best, max(bound, dropped), looked)


def _all_round(solid: Polygon, window: Window, allowed: Allowed, best: _Reached) -> Worst:
    bound, _, place = window.deepest(as_shapes(ring(solid, allowed)))
    point, motion = brought(solid, place, allowed)
    at = allowed.moved(point[None], motion)
    tried = _Reached(float(window.depths(at)[0]), motion, at[0])
    return _judged(solid, window, allowed, max(best, tried, key=lambda one: one.depth), bound, 1)


def swept(bits: Array, allowed: Allowed, count: int = WAYS[-1]) -> tuple[Shapes, Array]:
    """Convex polygons that hold all places to which motions bring each bit (n, 2, 2), and whose each is.

    Their union holds all that the edge can come over; they are few where the sheet turns little.
    """
    turns = np.arange(count) * (2 * pi / count)
    ways = np.column_stack([np.cos(turns), np.sin(turns)])
    ends, index = np.unique(bits.reshape(-1, 2), axis=0, return_inverse=True)
    reach = allowed.farthest(ends, ways)
    reach = np.max(reach[:, index.reshape(-1, 2)], axis=2)  # ranges, bits, ways
    ranges, number, _ = reach.shape
    reach = reach.reshape(ranges * number, count)
    # Where the line square to each way crosses the next: x = h n + s n', s = (h' - h cos d) / sin d.
    step = 2 * pi / count
    on = (np.roll(reach, -1, axis=1) - reach * np.cos(step)) / np.sin(step)
    aside = np.column_stack([-ways[:, 1], ways[:, 0]])
    corners = reach[..., None] * ways + on[..., None] * aside
    hulls = shapely.convex_hull(shapely.linestrings(corners))
    return np.asarray(hulls), np.tile(np.arange(number), ranges)


def _as_drawn(solid: Polygon, window: Window) -> _Reached:
    """The deepest that the sheet stands in the window as it is, or how far the window's edge is from it."""
    unmoved = Motions(np.zeros(1), np.zeros(1), np.zeros((1, 2)))
    covered = pieces(solid.intersection(window.polygon))
    if covered:
        found = window.deepest(as_shapes(union(covered)))
        return _Reached(float(window.depths(found.place[None])[0]), unmoved, found.place)
    place = shapely.get_coordinates(shapely.shortest_line(solid, window.polygon))[0]
    return _Reached(float(window.depths(place[None])[0]), unmoved, place)


def _near_bits(solid: Polygon, window: Window, allowed: Allowed) -> Array:
    """The bits of the sheet's edge that any motion could make the worst; shape (n, 2, 2)."""
    arm = float(np.max(np.hypot(*(shapely.get_coordinates(window.polygon) - allowed.middle).T)))
    gap = float(solid.distance(window.polygon))
    # What comes near the window comes from no farther out than it moves.
    sway = allowed.sway(arm + gap + 2 * allowed.sway(arm + gap))
    bits = bits_of(solid.boundary)
    away = shapely.distance(window.polygon, shapely.linestrings(bits))
    return bits[away <= gap + 2 * sway]


def bits_of(lines: BaseGeometry, spacing: float = SPACING) -> Array:
    """The lines in bits no longer than the spacing; shape (n, 2, 2)."""
    found = [shapely.get_coordinates(shapely.segmentize(line, spacing)) for line in shapely.get_parts(lines)]
    return np.concatenate([np.stack([coords[:-1], coords[1:]], axis=1) for coords in found])


def _halved(bits: Array) -> Array:
    middle = np.mean(bits, axis=1)
    return np.concatenate([np.stack([bits[:, 0], middle], axis=1), np.stack([middle, bits[:, 1]], axis=1)])


def _towards(bits: Array, number: int, place: Array, window: Window, allowed: Allowed) -> _Reached:
    """The deepest of some motions that bring a bit toward a place that they may reach."""
    turns = np.arange(WAYS[-1]) * (2 * pi / WAYS[-1])
    ways = np.column_stack([np.cos(turns), np.sin(turns)])
    found: list[_Reached] = []
    for point in (*bits[number], np.mean(bits[number], axis=0)):
        motions = allowed.best(point, ways)
        moved = allowed.moved(np.repeat(point[None], len(ways), axis=0), motions)
        weights = _weights(moved, place)
        mixed = motions.mixed(weights)
        if allowed.lack(mixed)[0] <= _BEYOND:
            motions = Motions(*(np.concatenate(pair) for pair in zip(motions, mixed, strict=True)))
            moved = np.vstack([moved, allowed.moved(point[None], mixed)])
        depths = window.depths(moved)
        top = int(np.argmax(depths))
        motion = Motions(*(one[top : top + 1] for one in motions))
        found.append(_Reached(float(depths[top]), motion, moved[top]))
    best = max(found, key=lambda one: one.depth)
    # The same motion may bring another place of the edge deeper.
    near = bits.reshape(-1, 2)
    moved = allowed.moved(near, best.motion)
    depths = window.depths(moved)
    top = int(np.argmax(depths))
    return _Reached(float(depths[top]), best.motion, moved[top]) if depths[top] > best.depth else best


def _weights(corners: Array, place: Array) -> Array:
    """Shares of the corners of a convex polygon that mix to the place, or near it if it lies outside; sum 1."""
    first, second, third = corners[:1], corners[1:-1], corners[2:]
    a, b, to = second - first, third - first, place - corners[0]
    area = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    flat = np.abs(area) < 1e-12
    area = np.where(flat, 1.0, area)
    along = (to[0] * b[:, 1] - to[1] * b[:, 0]) / area
    other = (a[:, 0] * to[1] - a[:, 1] * to[0]) / area
    least = np.where(flat, -np.inf, np.minimum.reduce([along, other, 1 - along - other]))
    best = int(np.argmax(least))
    weights = np.zeros(len(corners))
    if flat[best]:
        weights[int(np.argmin(np.hypot(*(corners - place).T)))] = 1.0
        return weights
    some = np.clip([1 - along[best] - other[best], along[best], other[best]], 0.0, None)
    weights[[0, best + 1, best + 2]] = some / np.sum(some)
    return weights


def _judged(solid: Polygon, window: Window, allowed: Allowed, best: _Reached, bound: float, looked: int) -> Worst:
    """With the area that is covered."""
    share, turn, (dx, dy) = float(best.motion.share[0]), float(best.motion.turn[0]), best.motion.shift[0]
    x, y = allowed.middle
    turned = affinity.rotate(affinity.scale(solid, 1 + share, 1 + share, origin=(x, y)), turn, (x, y), use_radians=True)
    moved = affinity.translate(turned, dx, dy)
    return Worst(
        bound=max(bound, best.depth),
        reached=best.depth,
        motion=(float(dx), float(dy), turn),
        growth=share,
        at=(float(best.at[0]), float(best.at[1])),
        area=float(moved.intersection(window.polygon).area),
        sheet=moved,
        looked=looked,
    )
