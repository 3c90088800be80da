"""The edges of a thick part as they would be seen if it were flat: its upper edge looks nearer, so larger.

Foot    of the camera: the place on the sheet straight under it.
Upper   an edge of the material that faces away from the foot: there the part's upper edge is seen; elsewhere, and so
        round most of a hole, its lower one, with the wall above that.

A section of the part at height z falls on the sheet as the section itself, grown about the foot by
height / (height - z). What is seen is all sections together. So points of upper edges are shrunk about the foot by as
much as these have grown, and the others stay. What is seen, cut by the same shrunk, is the section itself but for short
ways where the two edges of a hole take turns and its edge is nowhere seen: that says in which order the points follow,
and which of them lie beyond where the edges of the outline take turns.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import LinearRing, Polygon

from gasketcut.arrays import Array
from gasketcut.capture.edges.rings import Silhouette
from gasketcut.capture.scale.camera import Camera
from gasketcut.capture.scale.photo import Photo

UPRIGHT = 0.05
"""mm by which a thickness as measured may be off. Our choice: a caliper on soft sheet."""

_BESIDE = 0.03
"""mm by which a point may lie off the section, and be noise of its edge. Our choice."""

_NEIGHBOUR = 3
"""Points of a ring on either side of one that give the way of the edge there."""

_ROUNDED = 1
"""Points to either side of such a corner that blur moves."""

_SHARP = 0.1
"""Cosine that an edge must reach on both sides of where it turns from upper to lower, to have a corner there."""


def flattened(photo: Photo, silhouettes: tuple[Silhouette, ...], thickness: float) -> tuple[Silhouette, ...]:
    """The silhouettes, in pixels, of a part of that thickness [mm] as if it had none."""
    return tuple(_flat(photo, one, thickness) for one in silhouettes)


def share_unsure(camera: Camera, thickness: float) -> float:
    """Of a length on the upper edge, by which it is unsure as height and thickness are."""
    height = camera.at[2]
    return float(((thickness / height * camera.sigma) ** 2 + (UPRIGHT / height) ** 2) ** 0.5)


def outwards(ring: Array, *, hole: bool) -> Array:
    """Unit vectors out of the material at each point of a ring, shape (n, 2)."""
    ways = np.roll(ring, -_NEIGHBOUR, axis=0) - np.roll(ring, _NEIGHBOUR, axis=0)
    right = np.column_stack([ways[:, 1], -ways[:, 0]]) / np.maximum(np.hypot(*ways.T), 1e-12)[:, None]
    result: Array = right if LinearRing(ring).is_ccw != hole else -right
    return result


def _in_corner(away: Array) -> NDArray[np.bool_]:
    """Where the two edges of a hole take turns: blur rounds the corner in which they meet.

    away : cosine between the way from the foot and the way out of the material, shape (n,)
    """
    before, after = np.roll(away, 2 * _NEIGHBOUR - 1), np.roll(away, -2 * _NEIGHBOUR)
    turns = (away > 0) != (np.roll(away, -1) > 0)
    turns &= (before * after < 0) & (np.abs(before) > _SHARP) & (np.abs(after) > _SHARP)
    result = np.zeros(len(away), dtype=bool)
    for step in range(1 - _ROUNDED, _ROUNDED + 1):
        result |= np.roll(turns, step)
    return result


def _begun_seen(ring: Array) -> Array:
    """The ring begun where its points are close: what is nowhere seen lies a quarter on, or three."""
    steps = np.hypot(*(np.roll(ring, -1, axis=0) - ring).T)
    return np.roll(ring, len(ring) // 4 - int(np.argmax(steps)), axis=0)


def _flat(photo: Photo, silhouette: Silhouette, thickness: float) -> Silhouette:
    foot, height = photo.camera.at[:2], photo.camera.at[2]
    outer, *inner = (photo.mm(ring) for ring in silhouette.rings)
    seen = Polygon(outer, inner)
    less = (height - thickness) / height
    both = shapely.intersection(seen, affinity.scale(seen, less, less, origin=foot))
    section = max(shapely.get_parts(both), key=lambda one: float(one.area))
    edges = [section.exterior, *section.interiors]
    done = []
    for ring in (outer, *inner):
        way = ring - foot
        away = np.sum(way * outwards(ring, hole=ring is not outer), axis=1) / np.maximum(np.hypot(*way.T), 1e-12)
        made = np.where(away[:, None] > 0, foot + way * less, ring)
        if ring is not outer:
            made = made[~_in_corner(away)]
        points = np.asarray(shapely.points(made))
        edge = min(edges, key=lambda one: float(np.median(shapely.distance(one, points))))
        near = shapely.distance(edge, points) <= _BESIDE
        along = shapely.line_locate_point(edge, points[near])
        done.append(photo.pixels(_begun_seen(made[near][np.argsort(along, kind="stable")])))
    return Silhouette(done[0], tuple(done[1:]))
