"""What a template to grind by shows of one port: both edges, the metal between them hatched, arrows with the depth."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, dist, hypot

import shapely
from reportlab.pdfgen.canvas import Canvas
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from gasketcut.evaluation.grinding import Grinding
from gasketcut.length import PT
from gasketcut.pages.fonts import BODY
from gasketcut.pages.paper import FINE_LINE, pen
from gasketcut.plane import Point

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


def arrows(canvas: Canvas, one: Grinding, view: View, length: float, size: float) -> bool:
    """At each look round an arrow of that length [mm] that ends on the old edge and points to what is to be taken; the
    depth stands at its tail where all of them find room. Return whether they did."""
    tails = []
    for depth in (depth for depth in one.depths if depth.mm > 0):
        tip = view.at(depth.start)
        ux, uy = ((end - start) / depth.mm for start, end in zip(depth.start, depth.end, strict=True))
        _arrow(canvas, tip, (ux, uy), length)
        reach = length + 0.25 * size + 1.2 * abs(ux)
        tails.append(((tip[0] - ux * reach, tip[1] - uy * reach), f"{depth.mm:.2f}"))
    wide = max((len(words) for _, words in tails), default=0) * size * _LETTER
    apart = [dist(one, other) for (one, _), (other, _) in pairwise([*tails, *tails[:1]])]
    if not tails or (len(tails) > 1 and min(apart) < wide):
        return False
    canvas.setFillGray(0)
    canvas.setFont(BODY, size)
    for (x, y), words in tails:
        canvas.drawCentredString(x * PT, (y - 0.12 * size) * PT, words)
    return True


def cross(canvas: Canvas, at: Point, radius: float) -> None:
    """Through a stud's hole and a little beyond it."""
    x, y = at
    reach = radius + 2.0
    pen(canvas, FINE_LINE)
    canvas.line((x - reach) * PT, y * PT, (x + reach) * PT, y * PT)
    canvas.line(x * PT, (y - reach) * PT, x * PT, (y + reach) * PT)


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
