"""A part as SVG at true size: width and height in mm, one user unit a millimetre, fixed decimals."""

from __future__ import annotations

from collections.abc import Sequence
from xml.sax.saxutils import escape

from gasketcut.cutting.path.stroke import INSIDE, MARK, OUTSIDE
from gasketcut.output.notes import notes
from gasketcut.parts.part import Part
from gasketcut.plane import Point
from gasketcut.shape.loop import Circle, Contour, Outline, Segment

MARGIN = 5.0
_STROKES = {INSIDE: "#a0460a", OUTSIDE: "#14507a", MARK: "#5a7a28"}


def write_svg(
    part: Part, outline: Outline, kerf: float | None = None, letters: Sequence[Sequence[Point]] = ()
) -> bytes:
    """The bytes of the file, UTF-8; `kerf` is what the outline has been grown for [mm], `letters` are marked."""
    left, low, right, high = outline.bounds
    spots = [point for line in letters for point in line]
    left, low = min([left, *(x for x, _ in spots)]), min([low, *(y for _, y in spots)])
    right, high = max([right, *(x for x, _ in spots)]), max([high, *(y for _, y in spots)])
    width, height = right - left + 2 * MARGIN, high - low + 2 * MARGIN
    pen = _Pen(MARGIN - left, high + MARGIN)
    layers = {
        MARK: [pen.line(*line) for line in (*part.marks, *letters)],
        INSIDE: [pen.contour(contour) for contour in outline.inner],
        OUTSIDE: [pen.contour(outline.outer)],
    }
    rows = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.6f}mm" height="{height:.6f}mm" '
        f'viewBox="0 0 {width:.6f} {height:.6f}">',
        f"<title>{escape(part.name)}</title>",
        f"<desc>{escape('; '.join(notes(part, 'mm', kerf)))}</desc>",
    ]
    for layer, shapes in layers.items():
        if shapes:
            rows += [f'<g id="{layer}" fill="none" stroke="{_STROKES[layer]}" stroke-width="0.2">', *shapes, "</g>"]
    return ("\n".join([*rows, "</svg>"]) + "\n").encode()


class _Pen:
    """Job coordinates to the page: y points down there, so an arc's turn is seen from the other side."""

    def __init__(self, dx: float, top: float) -> None:
        self._dx, self._top = dx, top

    def xy(self, place: Point) -> str:
        return f"{place[0] + self._dx:.6f} {self._top - place[1]:.6f}"

    def line(self, *points: Point) -> str:
        return f'<path d="M{" L".join(self.xy(point) for point in points)}"/>'

    def contour(self, contour: Contour) -> str:
        if isinstance(contour, Circle):
            x, y = self.xy(contour.center).split()
            return f'<circle cx="{x}" cy="{y}" r="{contour.radius:.6f}"/>'
        steps = [f"M{self.xy(contour.points[0])}"]
        for segment in contour.segments():
            if segment.bulge == 0:
                steps.append(f"L{self.xy(segment.end)}")
            else:
                steps += [self._arc(half) for half in segment.halves()]
        return f'<path d="{" ".join(steps)} Z"/>'

    def _arc(self, segment: Segment) -> str:
        sweep = 0 if segment.bulge > 0 else 1
        return f"A{segment.radius:.6f} {segment.radius:.6f} 0 0 {sweep} {self.xy(segment.end)}"
