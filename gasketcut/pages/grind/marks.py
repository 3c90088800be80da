"""What a template to grind by shows of one port: both edges, the metal between them hatched, arrows with the depth."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, hypot

import shapely
from reportlab.pdfgen.canvas import Canvas
from shapely.geometry import LineString, MultiLineString, box
from shapely.geometry.base import BaseGeometry

from gasketcut.evaluation.grinding import Grinding
from gasketcut.length import IN, PT, Units
from gasketcut.pages.fonts import BODY
from gasketcut.pages.paper import FINE_LINE, pen
from gasketcut.plane import Point
from gasketcut.shape.loop import Circle, Contour

_HEAD = 1.1  # mm, of an arrow
_LETTER = 0.19  # mm of width a point of type has for each letter of a number


@dataclass(frozen=True, slots=True)
class View:
    """Where a place of the part comes to lie on the page, `scale` times as large."""

    scale: float
    dx: float
    dy: float

    def at(self, place: Sequence[float]) -> Point:
        return place[0] * self.scale + self.dx, place[1] * self.scale + self.dy


def hatched(canvas: Canvas, metal: BaseGeometry, view: View, apart: float) -> None:
    """Light lines at 45 degrees through the metal to take, so far apart on the page [mm]."""
    pen(canvas, FINE_LINE, 0.45)
    step = apart / view.scale * 2**0.5
    for piece in shapely.get_parts(metal):
        if piece.geom_type != "Polygon":
            continue
        left, low, right, high = piece.bounds
        for number in range(ceil((right - left + high - low) / step)):
            x = left - (high - low) + (number + 0.5) * step
            line = LineString([(x, low), (x + high - low, high)]).intersection(piece)
            for stretch in shapely.get_parts(line):
                if stretch.geom_type == "LineString" and not stretch.is_empty:
                    (x0, y0), (x1, y1) = (view.at(place) for place in stretch.coords)
                    canvas.line(x0 * PT, y0 * PT, x1 * PT, y1 * PT)


def arrows(
    canvas: Canvas, one: Grinding, view: View, units: Units, length: float, size: float, lines: BaseGeometry
) -> None:
    """At each look round an arrow of that length [mm] that ends on the old edge and points to what is to be taken; the
    depth stands beyond the new edge or at the arrow's tail, where it lies on no line of the part and no other number.
    """
    half = (0.5 * size * _LETTER * len(amount(0.0, units)), 0.16 * size)
    taken = [lines]
    for depth in (depth for depth in one.depths if depth.mm > 0):
        ux, uy = ((end - start) / depth.mm for start, end in zip(depth.start, depth.end, strict=True))
        tip = view.at(depth.start)
        _arrow(canvas, tip, (ux, uy), length)
        reach = 0.25 * size + half[0] * abs(ux)
        outside = tuple(at + way * reach for at, way in zip(view.at(depth.end), (ux, uy), strict=True))
        inside = tuple(at - way * (length + reach) for at, way in zip(tip, (ux, uy), strict=True))
        for x, y in (outside, inside):
            room = box(x - half[0], y - half[1], x + half[0], y + half[1])
            if not any(room.intersects(other) for other in taken):
                taken.append(room)
                canvas.setFillGray(0)
                canvas.setFont(BODY, size)
                canvas.drawCentredString(x * PT, (y - 0.12 * size) * PT, amount(depth.mm, units))
                break


def lines_of(contours: Sequence[Contour], holes: Sequence[Circle], view: View) -> BaseGeometry:
    """As they lie on the page, with the crosses of the holes."""
    rings = [contour.flattened(0.05) for contour in contours]
    lines = [[view.at(place) for place in (*ring, ring[0])] for ring in rings]
    for hole in holes:
        lines += [[view.at(place) for place in arm] for arm in _arms(hole.center, hole.radius)]
    return MultiLineString(lines)


def amount(mm: float, units: Units, sign: str = "") -> str:
    """A bare number in the job's unit."""
    number, places = (mm, 2) if units == "mm" else (mm / IN, 3)
    return format(round(number, places) + 0.0, f"{sign}.{places}f")  # no minus zero


def cross(canvas: Canvas, hole: Circle, view: View) -> None:
    """Through a stud's hole and a little beyond it."""
    pen(canvas, FINE_LINE)
    for (x0, y0), (x1, y1) in (tuple(view.at(place) for place in arm) for arm in _arms(hole.center, hole.radius)):
        canvas.line(x0 * PT, y0 * PT, x1 * PT, y1 * PT)


def _arms(at: Point, radius: float) -> tuple[tuple[Point, Point], tuple[Point, Point]]:
    (x, y), reach = at, radius + 2.0
    return ((x - reach, y), (x + reach, y)), ((x, y - reach), (x, y + reach))


def _arrow(canvas: Canvas, tip: Point, way: Point, length: float) -> None:
    (x, y), (ux, uy) = tip, way
    scale = hypot(ux, uy)
    ux, uy = ux / scale, uy / scale
    pen(canvas, FINE_LINE)
    canvas.line((x - ux * length) * PT, (y - uy * length) * PT, (x - ux * _HEAD) * PT, (y - uy * _HEAD) * PT)
    path = canvas.beginPath()
    path.moveTo(x * PT, y * PT)
    for side in (0.4, -0.4):
        path.lineTo((x - ux * _HEAD - uy * side) * PT, (y - uy * _HEAD + ux * side) * PT)
    path.close()
    canvas.setFillGray(0)
    canvas.drawPath(path, stroke=0, fill=1)
