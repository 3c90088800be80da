"""A part as DXF that a cutter takes without asking.

A contour is one closed polyline with bulges (or, on request, lines and arcs), a round hole a CIRCLE; nothing else lies
on the cut layers. Layers are declared and ASCII, the part stands in the positive quadrant at the origin, and the same
input gives the same bytes.
"""

from __future__ import annotations

import io
import logging
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from math import degrees
from typing import Literal

import ezdxf
from ezdxf.document import Drawing
from ezdxf.layouts import Modelspace

from gasketcut.cutting.path.stroke import INSIDE, LEAD, MARK, OUTSIDE, OVERCUT, TAB, Stroke
from gasketcut.cutting.path.toolpath import ToolPath, bounds_of
from gasketcut.length import IN, Units
from gasketcut.output.drawn import drawn
from gasketcut.output.notes import notes
from gasketcut.parts.part import Part
from gasketcut.plane import Point
from gasketcut.shape.loop import Circle, Contour, Loop, Outline, Segment

Version = Literal["r2000", "r2010", "r12"]
Form = Literal["polyline", "segments"]

_NAMES = {"r2000": "R2000", "r2010": "R2010", "r12": "R12"}
_INSUNITS = {"mm": 4, "in": 1}
_COLOURS: Mapping[str, int] = {
    MARK: 96,
    INSIDE: 32,
    OUTSIDE: 154,
    LEAD: 44,
    OVERCUT: 214,
    TAB: 132,
}  # ours; they mean nothing but "another layer"
_WHITE = 7  # or black: of layers that came from elsewhere
_DECIMALS = {"mm": 6, "in": 8}  # both finer than GRID
_EXPONENT = re.compile(r"^-?\d+(\.\d+)?e-\d+$", re.MULTILINE)  # numbers below 0.0001; some readers stumble over them
_FINE = 12  # bulges, and centres and angles of arcs, so that neighbours still meet


def write_dxf(part: Part, outline: Outline, version: Version = "r2000", form: Form = "polyline",
              units: Units = "mm", kerf: float | None = None, tool: ToolPath | None = None) -> bytes:  # fmt: skip
    """The bytes of the file; all numbers are in `units` and the header says so.

    kerf : what part and outline have been grown for [mm], for the comment
    tool : what the tool does, stroke by stroke, in place of the bare outline
    """
    strokes = drawn(part, outline, tool)
    return write_strokes(strokes, bounds_of(strokes, outline), notes(part, units, kerf), version, form, units)


def write_strokes(
    strokes: Sequence[Stroke],
    box: tuple[float, float, float, float],
    comments: list[str],
    version: Version = "r2000",
    form: Form = "polyline",
    units: Units = "mm",
) -> bytes:
    """The bytes of a file with these strokes in their order; the box (left, low, right, high) comes to the origin."""
    left, low, right, high = box
    pen = _Pen(units, form, old=version == "r12")
    used = {stroke.layer for stroke in strokes}
    layers = [layer for layer in _COLOURS if layer in used]

    def draw(space: Modelspace) -> None:
        for stroke in strokes:
            pen.stroke(space, stroke, (-left, -low))

    size = (pen.number(right - left), pen.number(high - low))
    return _document(version, units, ((0.0, 0.0), size), layers, comments, draw)


def write_contours(
    closed: Sequence[tuple[Contour, str]], open_lines: Sequence[tuple[tuple[Segment, ...], str]], comments: list[str]
) -> bytes:
    """The bytes of an R2000 file in mm with these contours and open lines, each on its layer, where they lie."""
    pen = _Pen("mm", "polyline", old=False)
    xy = [point for contour, _ in closed for point in contour.flattened(0.01)]
    xy += [point for line, _ in open_lines for one in line for point in (one.start, one.end)]
    xs, ys = zip(*(xy or [(0.0, 0.0)]), strict=True)
    layers = list(dict.fromkeys([*(layer for _, layer in closed), *(layer for _, layer in open_lines)]))

    def draw(space: Modelspace) -> None:
        for contour, layer in closed:
            pen.contour(space, contour, layer)
        for line, layer in open_lines:
            pen.open_line(space, line, layer)

    return _document("r2000", "mm", ((min(xs), min(ys)), (max(xs), max(ys))), layers, comments, draw)


def _document(
    version: Version,
    units: Units,
    extents: tuple[Point, Point],
    layers: Sequence[str],
    comments: list[str],
    draw: Callable[[Modelspace], None],
) -> bytes:
    """The bytes of a file whose layers are declared in this order; TAB is off."""
    with _fixed_metadata():
        document = ezdxf.new(_NAMES[version], units=_INSUNITS[units])
        space = document.modelspace()
        _header(document, space, units, extents)
        for layer in layers:
            if layer != "0":  # is in every document
                document.layers.add(layer, color=_COLOURS.get(layer, _WHITE))
        if TAB in layers:  # stays uncut: there to be seen by whoever turns it on
            document.layers.get(TAB).off()
        draw(space)
        return _bytes(document, comments)


class _Pen:
    """Puts contours into a model space, scaled and rounded."""

    def __init__(self, units: Units, form: Form, *, old: bool) -> None:
        self._scale, self._decimals = (1.0 if units == "mm" else 1 / IN), _DECIMALS[units]
        self._form, self._old = form, old

    def number(self, mm: float) -> float:
        return round(mm * self._scale, self._decimals) + 0.0  # no minus zero

    def point(self, place: Point) -> Point:
        return self.number(place[0]), self.number(place[1])

    def line(self, space: Modelspace, start: Point, end: Point, layer: str) -> None:
        space.add_line(self.point(start), self.point(end), dxfattribs={"layer": layer})

    def stroke(self, space: Modelspace, stroke: Stroke, by: Point) -> None:
        """Closed ones as contours, a mark of one line as that line, any other as an open polyline."""
        if stroke.is_closed:
            self.contour(space, stroke.contour().moved(*by), stroke.layer)
            return
        moved = [
            Segment((one.start[0] + by[0], one.start[1] + by[1]), (one.end[0] + by[0], one.end[1] + by[1]), one.bulge)
            for one in stroke.segments
        ]
        self.open_line(space, moved, stroke.layer)

    def open_line(self, space: Modelspace, segments: Sequence[Segment], layer: str) -> None:
        """A single straight one as a line, else an open polyline or single segments."""
        if len(segments) == 1 and segments[0].bulge == 0:
            self.line(space, segments[0].start, segments[0].end, layer)
        elif self._form == "segments":
            for segment in segments:
                self._segment(space, segment, layer)
        else:
            points = (*(one.start for one in segments), segments[-1].end)
            self._polyline(space, Loop(points, (*(one.bulge for one in segments), 0.0)), layer, close=False)

    def contour(self, space: Modelspace, contour: Contour, layer: str) -> None:
        if isinstance(contour, Circle):
            space.add_circle(self.point(contour.center), self.number(contour.radius), dxfattribs={"layer": layer})
        elif self._form == "segments":
            for segment in contour.segments():
                self._segment(space, segment, layer)
        else:
            self._polyline(space, contour, layer)

    def _polyline(self, space: Modelspace, loop: Loop, layer: str, *, close: bool = True) -> None:
        vertices = [
            (*self.point(point), round(bulge, _FINE) + 0.0)
            for point, bulge in zip(loop.points, loop.bulges, strict=True)
        ]
        add = space.add_polyline2d if self._old else space.add_lwpolyline
        add(vertices, format="xyb", close=close, dxfattribs={"layer": layer})

    def _segment(self, space: Modelspace, segment: Segment, layer: str) -> None:
        # The arc runs between the rounded ends, so that it meets its neighbours in the very same numbers.
        rounded = Segment(self.point(segment.start), self.point(segment.end), segment.bulge)
        if rounded.bulge == 0:
            space.add_line(rounded.start, rounded.end, dxfattribs={"layer": layer})
            return
        start = degrees(rounded.start_angle)
        ends = (start, start + rounded.sweep) if rounded.bulge > 0 else (start + rounded.sweep, start)
        space.add_arc(
            (round(rounded.center[0], _FINE) + 0.0, round(rounded.center[1], _FINE) + 0.0),
            round(rounded.radius, _FINE),
            round(ends[0] % 360, _FINE) + 0.0,
            round(ends[1] % 360, _FINE) + 0.0,
            dxfattribs={"layer": layer},
        )


def _header(document: Drawing, space: Modelspace, units: Units, extents: tuple[Point, Point]) -> None:
    document.header["$LUNITS"] = 2
    if document.dxfversion > "AC1009":  # R12 knows neither variable; its units stand in the comment
        document.header["$INSUNITS"] = _INSUNITS[units]
        document.header["$MEASUREMENT"] = 1 if units == "mm" else 0
    low, high = (*extents[0], 0.0), (*extents[1], 0.0)
    space.reset_extents(low, high)
    document.header["$EXTMIN"], document.header["$EXTMAX"] = low, high
    space.reset_limits(*extents)


@contextmanager
def _fixed_metadata() -> Iterator[None]:
    """Dates, identifiers and version marks that do not change; must cover both making and writing a document."""
    log = logging.getLogger("ezdxf")  # it would tell the user that R12 has no place for units; our comment holds them
    before, level = ezdxf.options.write_fixed_meta_data_for_testing, log.level
    ezdxf.options.write_fixed_meta_data_for_testing = True
    log.setLevel(logging.ERROR)
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before
        log.setLevel(level)


def _bytes(document: Drawing, comments: list[str]) -> bytes:
    if document.dxfversion > "AC1009":  # else the order of classes hangs on Python's hash seed
        for name in sorted(document.entitydb.dxf_types_in_use()):
            document.classes.add_class(name)
    stream = io.StringIO(newline="\n")
    document.write(stream)
    plain = [line.encode("ascii", "replace").decode("ascii") for line in comments]
    body = _EXPONENT.sub(lambda number: f"{float(number[0]):.12f}", stream.getvalue())
    text = "".join(f"999\n{line}\n" for line in plain) + body
    return text.replace("\n", "\r\n").encode(document.output_encoding, errors="dxfreplace")
