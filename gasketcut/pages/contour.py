"""Lines, arcs and circles on a page at full size.

Curves are cubics of at most 45 degrees: at r = 32 mm they are 0.14 um off, where quarter circles would be 8.7 um off.
"""

from __future__ import annotations

from math import ceil, cos, radians, sin, tan

from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from gasketcut.length import PT
from gasketcut.shape.loop import Circle, Contour


def stroke_contour(canvas: Canvas, contour: Contour) -> None:
    """With the pen that is set."""
    canvas.drawPath(contour_path(canvas, contour), stroke=1, fill=0)


def contour_path(canvas: Canvas, contour: Contour) -> PDFPathObject:
    """To stroke, to fill, or to clip by."""
    loop = contour.halves() if isinstance(contour, Circle) else contour
    path = canvas.beginPath()
    path.moveTo(loop.points[0][0] * PT, loop.points[0][1] * PT)
    for segment in loop.segments():
        if segment.bulge == 0:
            path.lineTo(segment.end[0] * PT, segment.end[1] * PT)
            continue
        (x, y), radius, first = segment.center, segment.radius, segment.start_angle
        count = max(1, ceil(abs(segment.sweep) / 45 - 1e-9))
        step = radians(segment.sweep) / count
        reach = 4 / 3 * tan(step / 4) * radius
        for number in range(count):
            a, b = first + number * step, first + (number + 1) * step
            end = (x + radius * cos(b), y + radius * sin(b)) if number < count - 1 else segment.end
            path.curveTo(
                (x + radius * cos(a) - reach * sin(a)) * PT,
                (y + radius * sin(a) + reach * cos(a)) * PT,
                (x + radius * cos(b) + reach * sin(b)) * PT,
                (y + radius * sin(b) - reach * cos(b)) * PT,
                end[0] * PT,
                end[1] * PT,
            )
    path.close()
    return path
