"""A part as SVG at true size: width and height in mm, one user unit a millimetre, fixed decimals.

The strokes are those of the DXF. Each layer is one group, in the order in which the layers first come, and its strokes
follow in the order in which to make them; the order across layers is the DXF's to say.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from xml.sax.saxutils import escape

from gasketcut.cutting.path.stroke import INSIDE, LEAD, MARK, OUTSIDE, OVERCUT, TAB, Stroke
from gasketcut.cutting.path.toolpath import ToolPath, bounds_of
from gasketcut.output.drawn import drawn
from gasketcut.output.notes import notes
from gasketcut.parts.part import Part
from gasketcut.plane import Point
from gasketcut.shape.loop import Circle, Contour, Outline, Segment

MARGIN = 5.0
_LOOKS = {
    MARK: ("#5a7a28", "0.2", ""),
    INSIDE: ("#a0460a", "0.2", ""),
    OUTSIDE: ("#14507a", "0.2", ""),
    LEAD: ("#8a6d12", "0.1", ""),
    OVERCUT: ("#7a2a6e", "0.4", ""),
    TAB: ("#1f6f6b", "0.2", ' stroke-dasharray="0.1 0.1"'),
}
"""Colour, width [mm] and dashes: no two kinds of what is beside the contours differ by colour alone, and a tab of half
a millimetre still shows its dashes."""


def write_svg(part: Part, outline: Outline, kerf: float | None = None, tool: ToolPath | None = None) -> bytes:
    """The bytes of the file, UTF-8.

    kerf : what part and outline have been grown for [mm], for the description
    tool : what the tool does, stroke by stroke, in place of the bare outline
    """
    strokes = drawn(part, outline, tool)
    left, low, right, high = bounds_of(strokes, outline)
    width, height = right - left + 2 * MARGIN, high - low + 2 * MARGIN
    rows = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.6f}mm" height="{height:.6f}mm" '
        f'viewBox="0 0 {width:.6f} {height:.6f}">',
        f"<title>{escape(part.name)}</title>",
        f"<desc>{escape('; '.join(notes(part, 'mm', kerf)))}</desc>",
        *groups(strokes, (MARGIN - left, high + MARGIN)),
    ]
    return ("\n".join([*rows, "</svg>"]) + "\n").encode()


def groups(strokes: Sequence[Stroke], at: Point) -> Iterator[str]:
    """Rows of SVG, a group a layer; `at` is how far the job's origin lies right of and below the upper left corner."""
    pen = _Pen(*at)
    for layer in dict.fromkeys(stroke.layer for stroke in strokes):
        colour, width, dash = _LOOKS[layer]
        yield f'<g id="{layer}" fill="none" stroke="{colour}" stroke-width="{width}"{dash}>'
        yield from (pen.stroke(stroke) for stroke in strokes if stroke.layer == layer)
        yield "</g>"


class _Pen:
    """Job coordinates to the page: y points down there, so an arc's turn is seen from the other side."""

    def __init__(self, dx: float, top: float) -> None:
        self._dx, self._top = dx, top

    def xy(self, place: Point) -> str:
        return f"{place[0] + self._dx:.6f} {self._top - place[1]:.6f}"

    def stroke(self, stroke: Stroke) -> str:
        if stroke.is_closed:
            return self._contour(stroke.contour())
        return self._path(stroke.segments, "")

    def _contour(self, contour: Contour) -> str:
        if isinstance(contour, Circle):
            x, y = self.xy(contour.center).split()
            return f'<circle cx="{x}" cy="{y}" r="{contour.radius:.6f}"/>'
        return self._path(tuple(contour.segments()), " Z")

    def _path(self, segments: Sequence[Segment], end: str) -> str:
        steps = [f"M{self.xy(segments[0].start)}"]
        for segment in segments:
            if segment.bulge == 0:
                steps.append(f"L{self.xy(segment.end)}")
            else:
                steps += [self._arc(half) for half in segment.halves()]
        return f'<path d="{" ".join(steps)}{end}"/>'

    def _arc(self, segment: Segment) -> str:
        sweep = 0 if segment.bulge > 0 else 1
        return f"A{segment.radius:.6f} {segment.radius:.6f} 0 0 {sweep} {self.xy(segment.end)}"
