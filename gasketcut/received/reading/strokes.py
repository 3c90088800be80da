"""The lines that one entity draws: from its numbers to segments in the plane."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from gasketcut.plane import Point
from gasketcut.received.faults.flaw import DROPPED
from gasketcut.received.reading.curves import (
    Curve,
    arc_segments,
    ellipse_of,
    ellipse_points,
    near,
    polyline_segments,
    spline_of,
    without_repeats,
)
from gasketcut.received.reading.drawn_lines import DrawnLine, Pen
from gasketcut.received.reading.numbers import EntityNumbers
from gasketcut.received.reading.plane import Plane
from gasketcut.received.reading.tags import Entity
from gasketcut.shape.loop import Circle, Segment, circle_of

LINES = ("LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE", "SPLINE", "ELLIPSE")
"""Types of entities that draw lines."""

IN_THE_WORLD = ("LINE", "SPLINE", "ELLIPSE")
"""Those whose points are not counted in the plane they are drawn in; source: DXF reference."""

_TINY = 1e-9

Note = Callable[[str, Point | None, str, str], None]
"""Takes kind, place [mm], text and advice of a fault."""


@dataclass(frozen=True, slots=True)
class Strokes:
    """Reads one entity; what it cannot draw is noted."""

    entity: Entity
    numbers: EntityNumbers
    plane: Plane
    pen: Pen
    note: Note

    def lines(self) -> Iterator[DrawnLine]:
        """Raise ValueError for what is no number."""
        match self.entity.type:
            case "LINE":
                yield from self._line()
            case "CIRCLE" | "ARC":
                yield from self._round()
            case "LWPOLYLINE" | "POLYLINE":
                yield from self._polyline()
            case _:
                yield from self._curve()

    def _line(self) -> Iterator[DrawnLine]:
        numbers = self.numbers
        start, end = self.plane(*numbers.xy(10)), self.plane(*numbers.xy(11))
        heights = {numbers.number(30), numbers.number(31)}
        if abs(start[0] - end[0]) < _TINY and abs(start[1] - end[1]) < _TINY:
            self.note("zero-length", start, "a line without length", "leave it out")
            return
        yield self.pen.line("LINE", (Segment(start, end, 0.0),), heights)

    def _round(self) -> Iterator[DrawnLine]:
        numbers, plane, type_ = self.numbers, self.plane, self.entity.type
        (x, y), radius = numbers.xy(10), numbers.number(40)
        heights = {numbers.number(30)}
        if radius * plane.scale < _TINY:
            self.note("bad-radius", plane(x, y), f"{type_} with radius {radius:g}", "leave it out")
            return
        whole = type_ == "CIRCLE"
        first, last = (0.0, 360.0) if whole else (numbers.number(50), numbers.number(51))
        span = (last - first) % 360 or 360.0
        if not plane.keeps_circles:
            points = ellipse_points((x, y), (radius, 0.0), 1.0, first, first + span)
            yield from self._chords([plane(*point) for point in points], heights, closed=span == 360.0)
            self.note("ellipse", plane(*points[0]), f"{type_} stretched by its block: an ellipse", "use arcs")
            return
        segments = tuple(plane.segment(one) for one in arc_segments((x, y), radius, first, span))
        circle = Circle(plane(x, y), radius * plane.scale) if span == 360.0 else None
        yield self.pen.line(type_, segments, heights, closed=circle is not None, circle=circle)

    def _polyline(self) -> Iterator[DrawnLine]:
        numbers, plane, type_ = self.numbers, self.plane, self.entity.type
        flags = numbers.integer(70) or 0
        vertices, widths, heights = numbers.vertices()
        if type_ == "POLYLINE" and flags & (16 | 64):
            self.note(
                "stray", None, f"a mesh on layer {self.pen.layer}: {DROPPED['stray']}", "--drop stray leaves it out"
            )
            return
        placed = [(*plane(x, y), bulge) for x, y, bulge in vertices]
        if any(widths) and placed:
            self.note("wide", placed[0][:2], f"a line {max(widths):g} wide; its middle is cut", "draw it without width")
        kept = without_repeats(placed, closed=bool(flags & 1))
        if len(kept) < 2:
            at = placed[0][:2] if placed else None
            self.note("zero-length", at, f"a polyline of {len(placed)} vertices without length", "leave it out")
            return
        closed = bool(flags & 1)
        if len(kept) < len(placed):
            self.note("repeated-point", kept[0][:2], "a polyline has the same vertex twice in a row", "drop one")
        if not closed and len(kept) > 2 and near(kept[0], kept[-1]):
            self.note("unflagged", kept[0][:2], "a polyline ends where it starts but is not marked closed", "mark it")
            kept, closed = kept[:-1], True
        ends = [*kept[1:], kept[0]] if closed else kept[1:]
        segments = []
        for (x, y, bulge), end in zip(kept, ends, strict=False):
            segments += polyline_segments((x, y), end[:2], bulge, plane)
        if segments and all(segment.chord < _TINY for segment in segments):
            self.note("zero-length", kept[0][:2], "a polyline without length", "leave it out")
            return
        yield self.pen.line(type_, tuple(segments), heights, closed=closed)

    def _curve(self) -> Iterator[DrawnLine]:
        numbers, plane, entity = self.numbers, self.plane, self.entity
        if entity.type == "SPLINE":
            curve = spline_of(numbers, plane.scale)
            heights = numbers.all(30) | numbers.all(31)
            kind, fix = "spline", "save it as lines and arcs"
        else:
            heights = {numbers.number(30)}
            curve = ellipse_of(numbers)
            kind, fix = "ellipse", "save it as arcs"
        if len(curve.points) < 2:
            self.note("zero-length", None, f"a {kind} at line {entity.line} without length", "leave it out")
            return
        placed = [plane(*point) for point in curve.points]
        if curve.exact and plane.keeps_circles:
            what = "arcs" if any(one.bulge for one in curve.exact) else "straight lines"
            self.note(kind, placed[0], f"a {kind} on layer {self.pen.layer} that is made of {what}", fix)
            yield from self._exact(curve, heights)
            return
        self.note(kind, placed[0], f"a {kind} on layer {self.pen.layer}", fix)
        yield from self._chords(placed, heights, closed=curve.closed)

    def _exact(self, curve: Curve, heights: set[float]) -> Iterator[DrawnLine]:
        segments = [self.plane.segment(one) for one in curve.exact]
        segments = [one for one in segments if one.length > _TINY]
        if curve.closed and segments:
            segments[-1] = Segment(segments[-1].start, segments[0].start, segments[-1].bulge)
        if segments:
            circle = circle_of(segments) if curve.closed else None
            yield self.pen.line(self.entity.type, tuple(segments), heights, closed=curve.closed, circle=circle)

    def _chords(self, points: list[Point], heights: set[float], *, closed: bool) -> Iterator[DrawnLine]:
        kept = [one[:2] for one in without_repeats([(x, y, 0.0) for x, y in points], closed=closed)]
        if len(kept) < 2:
            return
        ends = [*kept[1:], kept[0]] if closed else kept[1:]
        segments = tuple(Segment(start, end, 0.0) for start, end in zip(kept, ends, strict=False))
        yield self.pen.line(self.entity.type, segments, heights, closed=closed, curve=True)
