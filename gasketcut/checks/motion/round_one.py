"""A sheet on one stud: it turns all round, so its points sweep rings about the stud."""

from __future__ import annotations

from math import atan2

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon

from gasketcut.arrays import Array
from gasketcut.checks.motion.allowed import Allowed, Motions
from gasketcut.shape.outlines import disc
from gasketcut.tolerances import CHORD


def ring(solid: Polygon, allowed: Allowed) -> Polygon:
    """All places that the sheet can cover: from the nearest to the farthest of its points, and the play to either side.

    It is in one piece, so it has a point at every distance between; a slot lets it stand nearer and farther.
    """
    (locator,) = allowed.frees[0].locators
    slot = LineString(_slot(allowed))
    least, most = allowed.span
    corners = shapely.get_coordinates(solid)
    # Grown by a share it is as if the slot had shrunk by as much, and all distances had grown.
    near = (1 + min(least, 0.0)) * float(solid.distance(slot)) - locator.play
    arms = np.max([np.hypot(*(corners - end).T) for end in _slot(allowed)], axis=0)
    far = (1 + max(most, 0.0)) * float(np.max(arms)) + locator.play
    at = (float(allowed.middle[0]), float(allowed.middle[1]))
    outer = disc(at, 2 * (far + 2 * CHORD))
    if near <= CHORD:
        return outer
    return Polygon(outer.exterior, [disc(at, 2 * (near - CHORD)).exterior])


def brought(solid: Polygon, place: Array, allowed: Allowed) -> tuple[Array, Motions]:
    """A point of the sheet as drawn, and the motion that brings it to the place, or as near as it comes."""
    (locator,) = allowed.frees[0].locators
    wanted = float(np.hypot(*(place - allowed.middle)))
    found: list[tuple[float, Array, Array]] = []
    for at in (*_slot(allowed), allowed.middle):
        corners = shapely.get_coordinates(solid)
        near, far = float(solid.distance(shapely.Point(at))), float(np.max(np.hypot(*(corners - at).T)))
        rim = disc((float(at[0]), float(at[1])), 2 * float(np.clip(wanted, near, far))).exterior
        point = shapely.get_coordinates(shapely.shortest_line(solid, rim))[0]
        found.append((abs(wanted - float(np.hypot(*(point - at)))), point, at))
    _, point, at = min(found, key=lambda one: one[0])
    (px, py), (x, y) = point - at, place - allowed.middle
    turn = atan2(y, x) - atan2(py, px)
    turn = (turn + np.pi) % (2 * np.pi) - np.pi
    radius = float(np.hypot(px, py))
    off = float(np.clip(wanted - radius, -locator.play, locator.play)) / max(wanted, 1e-9) * np.array([x, y])
    c, s = np.cos(turn), np.sin(turn)
    sx, sy = at - allowed.middle
    shift = off - np.array([c * sx - s * sy, s * sx + c * sy])
    return point, Motions(np.zeros(1), np.array([turn]), shift[None])


def _slot(allowed: Allowed) -> Array:
    """Both ends of the line on which the stud's middle may stand in the hole, seen from the sheet."""
    (locator,) = allowed.frees[0].locators
    turn = np.radians(locator.turn)
    half = locator.slot * np.array([np.cos(turn), np.sin(turn)])
    ends: Array = allowed.middle + np.array([-half, half])
    return ends
