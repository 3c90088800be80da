"""Every polygon is made here; nothing else calls shapely's buffer.

Round things become polygons whose chords stay within CHORD of the true curve, whatever their size.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import acos, atan2, ceil, cos, dist, hypot, pi, sin, sqrt, tan
from typing import Any

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import LineString, MultiPolygon, Polygon
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from gasketcut.errors import ShapeError
from gasketcut.plane import Point
from gasketcut.shape.loop import Loop, chords_needed
from gasketcut.tolerances import CHORD, GRID


def quarter_segments(radius: float, chord: float = CHORD) -> int:
    """Chords per quarter circle so that none is more than `chord` off the arc."""
    if radius <= chord:
        return 2
    return max(2, ceil(pi / 4 / acos(1 - chord / radius)))


def disc(center: Point, diameter: float) -> Polygon:
    """A round shape."""
    return _polygon(ShapelyPoint(center).buffer(diameter / 2, quad_segs=quarter_segments(diameter / 2)))


def slot(length: float, width: float) -> Polygon:
    """Round ends, lying along x."""
    if length <= width:
        return disc((0.0, 0.0), width)
    half = (length - width) / 2
    return _polygon(LineString([(-half, 0), (half, 0)]).buffer(width / 2, quad_segs=quarter_segments(width / 2)))


def oval(length: float, width: float) -> Polygon:
    """An ellipse with these full axes.

    The sagitta of a step dt of the parameter is at most max(a, b) dt^2 / 8, |r''| being at most the longer half.
    """
    a, b = length / 2, width / 2
    # Chords a quarter of CHORD off: where the curvature changes fast, an arc needs vertices close together to be found.
    count = max(16, ceil(2 * pi / sqrt(2 * CHORD / max(a, b, CHORD))))
    return Polygon([(a * cos(2 * pi * step / count), b * sin(2 * pi * step / count)) for step in range(count)])


def rectangle(width: float, height: float, corner: float = 0.0) -> Polygon:
    """About its middle, with rounded corners."""
    half_x, half_y = width / 2, height / 2
    return rounded([(-half_x, -half_y), (half_x, -half_y), (half_x, half_y), (-half_x, half_y)], corner)


def rounded(points: Sequence[Point], corner: float = 0.0) -> Polygon:
    """A polygon through the points with every corner, outward and inward, rounded to the radius.

    Raise `ShapeError` if the points cross themselves or a corner does not fit between its neighbours.
    """
    polygon = Polygon(points)
    if not polygon.is_valid or polygon.area == 0:
        reason = shapely.is_valid_reason(polygon)
        raise ShapeError(f"the points do not go round once without crossing ({reason.lower()})")
    if corner == 0:
        return polygon
    corners = _turning_corners(polygon)
    reaches = [corner * tan(abs(turn) / 2) for _, turn, _ in corners]
    ring: list[Point] = []
    for number, ((x, y), turn, (ux, uy)) in enumerate(corners):
        after = (number + 1) % len(corners)
        side = dist((x, y), corners[after][0])
        if reaches[number] + reaches[after] > side * (1 + 1e-9):
            most = corner * side / (reaches[number] + reaches[after])
            raise ShapeError(
                f"a corner radius of {corner:g} mm does not fit beside ({x:g}, {y:g}); the most there is {most:.2f} mm"
            )
        sign = 1.0 if turn > 0 else -1.0
        x0, y0 = x - ux * reaches[number], y - uy * reaches[number]
        cx, cy = x0 - sign * uy * corner, y0 + sign * ux * corner
        count = chords_needed(corner, abs(turn), CHORD)
        for step in range(count + 1):
            c, s = cos(turn * step / count), sin(turn * step / count)
            ring.append((cx + c * (x0 - cx) - s * (y0 - cy), cy + s * (x0 - cx) + c * (y0 - cy)))
    apart = [place for place, before in zip(ring, ring[-1:] + ring[:-1], strict=True) if dist(place, before) > 1e-9]
    result = Polygon(apart)
    if not result.is_valid:
        raise ShapeError(f"a corner radius of {corner:g} mm does not fit between these points")
    return result


def from_loop(points: Sequence[Point], bulges: Sequence[float], what: str) -> Polygon:
    """The polygon of lines and arcs; raise `ShapeError` if they do not go round once."""
    polygon = Polygon(Loop(tuple(points), tuple(bulges)).flattened())
    if not polygon.is_valid:
        reason = shapely.is_valid_reason(polygon)
        raise ShapeError(f"the {what} does not go round once without crossing ({reason.lower()})")
    return one_piece(polygon, what)


def _turning_corners(polygon: Polygon) -> list[tuple[Point, float, Point]]:
    """Each corner that is one: place, turn [rad, positive to the left] and direction of the side that leads to it."""
    simple = shapely.simplify(polygon, 0.0)
    ring = shapely.get_coordinates(simple.exterior)[:-1].tolist()
    found = []
    for number, (x, y) in enumerate(ring):
        (px, py), (nx, ny) = ring[number - 1], ring[(number + 1) % len(ring)]
        ux, uy, vx, vy = x - px, y - py, nx - x, ny - y
        turn = atan2(ux * vy - uy * vx, ux * vx + uy * vy)
        length = hypot(ux, uy)
        if abs(turn) > 1e-9:
            found.append(((x, y), turn, (ux / length, uy / length)))
    return found


def placed(polygon: Polygon, at: Point, turn: float) -> Polygon:
    """Turned about its own origin by `turn` degrees, then moved."""
    turned = affinity.rotate(polygon, turn, origin=(0, 0)) if turn else polygon
    return _polygon(affinity.translate(turned, at[0], at[1])) if at != (0.0, 0.0) else turned


def grown(shape: Polygon, margin: float) -> Polygon:
    """Every edge moved outward by `margin` (inward if negative), corners rounded.

    Raise `ShapeError` if nothing, or more than one piece, is left.
    """
    return one_piece(_buffer(shape, margin), f"grown by {margin:g} mm")


def swept(shape: Polygon, along: Point) -> Polygon:
    """Everything that the shape passes over while it is moved by `along`, without turning.

    Each edge passes over a parallelogram, so it is exact; raise `ShapeError` for a shape that closes a ring on its way.
    """
    if along == (0.0, 0.0):
        return shape
    dx, dy = along
    ring = shapely.get_coordinates(shape.exterior)
    moved = affinity.translate(shape, dx, dy)
    if shape.convex_hull.area - shape.area < GRID:  # needs no union, whose crossings would be found with rounding
        return _polygon(unary_union([shape, moved]).convex_hull)
    quads: Any = shapely.polygons(np.stack([ring[:-1], ring[1:], ring[1:] + along, ring[:-1] + along], axis=1))
    return one_piece(unary_union([shape, moved, *quads[shapely.area(quads) > 0]]), "moved")


def shrunk_pieces(shape: Polygon, margin: float) -> list[Polygon]:
    """What is left when every edge moves inward by `margin`: no piece, one or several."""
    return pieces(_buffer(shape, -margin))


def hull(shapes: Iterable[BaseGeometry], margin: float) -> Polygon:
    """The convex line round everything, `margin` away from it."""
    return grown(_polygon(unary_union(list(shapes)).convex_hull), margin)


def filled_corners(shape: BaseGeometry, radius: float) -> BaseGeometry:
    """Inward corners and narrow gaps filled with the radius; outward corners stay as they are.

    The way out is mitred: round joins would shave outward corners by up to a chord.
    """
    return _buffer(_buffer(shape, radius, mitre=True), -radius) if radius else shape


def union(shapes: Iterable[BaseGeometry]) -> BaseGeometry:
    """All of them together, in one piece or several."""
    return unary_union(list(shapes))


def one_piece(shape: BaseGeometry, what: str) -> Polygon:
    """The shape as the single polygon it has to be, or a `ShapeError` that says what it is instead."""
    found = pieces(shape)
    if len(found) == 1:
        return found[0]
    raise ShapeError(f"{what} it is {'nothing' if not found else f'{len(found)} separate pieces'}")


def pieces(shape: BaseGeometry) -> list[Polygon]:
    """The polygons of a shape, without slivers that are only rounding."""
    parts = shape.geoms if isinstance(shape, MultiPolygon) or hasattr(shape, "geoms") else [shape]
    return [part for part in parts if isinstance(part, Polygon) and part.area > GRID]


def _buffer(shape: BaseGeometry, margin: float, *, mitre: bool = False) -> BaseGeometry:
    # The library rounds the count for each small join, by half at worst: chords half as long again.
    return shape.buffer(
        margin,
        quad_segs=quarter_segments(abs(margin), CHORD / 2.25),
        join_style="mitre" if mitre else "round",
        mitre_limit=10.0,
    )


def _polygon(shape: BaseGeometry) -> Polygon:
    if not isinstance(shape, Polygon):
        raise ShapeError(f"is no single closed line but a {shape.geom_type}")
    return shape
