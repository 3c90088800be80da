"""A part as DXF that a cutter takes without asking.

A contour is one closed polyline with bulges (or, on request, lines and arcs), a round hole a CIRCLE; nothing else lies
on the cut layers. Layers are declared and ASCII, the part stands in the positive quadrant at the origin, and the same
input gives the same bytes.
"""

from __future__ import annotations

import io
import logging
import re
from collections.abc import Iterator
from contextlib import contextmanager
from math import degrees
from typing import Literal

import ezdxf
from ezdxf.document import Drawing
from ezdxf.layouts import Modelspace

from gasketcut.length import IN
from gasketcut.shape.loop import Circle, Contour, Loop, Outline, Point, Segment
from gasketcut.shape.part import Part
from gasketcut.write.marks import INSIDE, MARK, OUTSIDE, notes

Version = Literal["r2000", "r2010", "r12"]
Form = Literal["polyline", "segments"]
Units = Literal["mm", "in"]

_NAMES = {"r2000": "R2000", "r2010": "R2010", "r12": "R12"}
_INSUNITS = {"mm": 4, "in": 1}
_COLOURS = {INSIDE: 32, OUTSIDE: 154, MARK: 96}  # ours; they mean nothing but "another layer"
_DECIMALS = {"mm": 6, "in": 8}  # both finer than GRID
_EXPONENT = re.compile(r"^-?\d+(\.\d+)?e-\d+$", re.MULTILINE)  # numbers below 0.0001; some readers stumble over them
_FINE = 12  # bulges, and centres and angles of arcs, so that neighbours still meet


def write_dxf(part: Part, outline: Outline, version: Version = "r2000", form: Form = "polyline",
              units: Units = "mm", kerf: float | None = None) -> bytes:  # fmt: skip
    """The bytes of the file; all numbers are in `units` and the header says so.

    kerf : what part and outline have been grown for [mm], for the comment
    """
    left, low, right, high = outline.bounds
    at_origin = outline.moved(-left, -low)
    pen = _Pen(units, form, old=version == "r12")
    with _fixed_metadata():
        document = ezdxf.new(_NAMES[version], units=_INSUNITS[units])
        space = document.modelspace()
        _header(document, space, units, (pen.number(right - left), pen.number(high - low)))
        layers = [MARK] * bool(part.marks) + [INSIDE] * bool(outline.inner) + [OUTSIDE]
        for layer in layers:
            document.layers.add(layer, color=_COLOURS[layer])
        for (x0, y0), (x1, y1) in part.marks:
            pen.line(space, (x0 - left, y0 - low), (x1 - left, y1 - low), MARK)
        for contour in at_origin.inner:
            pen.contour(space, contour, INSIDE)
        pen.contour(space, at_origin.outer, OUTSIDE)
        return _bytes(document, notes(part, units, kerf))


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

    def contour(self, space: Modelspace, contour: Contour, layer: str) -> None:
        if isinstance(contour, Circle):
            space.add_circle(self.point(contour.center), self.number(contour.radius), dxfattribs={"layer": layer})
        elif self._form == "segments":
            for segment in contour.segments():
                self._segment(space, segment, layer)
        else:
            self._polyline(space, contour, layer)

    def _polyline(self, space: Modelspace, loop: Loop, layer: str) -> None:
        vertices = [
            (*self.point(point), round(bulge, _FINE) + 0.0)
            for point, bulge in zip(loop.points, loop.bulges, strict=True)
        ]
        add = space.add_polyline2d if self._old else space.add_lwpolyline
        add(vertices, format="xyb", close=True, dxfattribs={"layer": layer})

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


def _header(document: Drawing, space: Modelspace, units: Units, size: Point) -> None:
    document.header["$LUNITS"] = 2
    if document.dxfversion > "AC1009":  # R12 knows neither variable; its units stand in the comment
        document.header["$INSUNITS"] = _INSUNITS[units]
        document.header["$MEASUREMENT"] = 1 if units == "mm" else 0
    low, high = (0.0, 0.0, 0.0), (*size, 0.0)
    space.reset_extents(low, high)
    document.header["$EXTMIN"], document.header["$EXTMAX"] = low, high
    space.reset_limits((0.0, 0.0), size)


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
