"""What is drawn, in the plane and in mm: every line, arc, circle and curve of a drawing, blocks taken apart.

DrawnLine   one drawn thing: segments end to end, or chords of a curve, on a layer.
"""

from __future__ import annotations

from collections.abc import Container, Iterator
from dataclasses import dataclass, field

from gasketcut.plane import Point
from gasketcut.received.drop import Drop, Dropped
from gasketcut.received.faults.flaw import DROPPED, Flaw
from gasketcut.received.reading.curves import (
    arc_segments,
    ellipse_of,
    ellipse_points,
    near,
    polyline_segments,
    spline_of,
    without_repeats,
)
from gasketcut.received.reading.linetypes import linetype_of
from gasketcut.received.reading.not_cut import NotCut, not_cut_of
from gasketcut.received.reading.numbers import EntityNumbers
from gasketcut.received.reading.plane import BELOW, Plane, inserted
from gasketcut.received.reading.tags import CONTINUOUS, Entity, TaggedDrawing
from gasketcut.shape.loop import Circle, Segment

_LINES = ("LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE", "SPLINE", "ELLIPSE")
_FROM = {"LWPOLYLINE": 1014, "SPLINE": 1012, "ELLIPSE": 1012, "MTEXT": 1012, "HATCH": 1012}
_MARKERS = {"LWPOLYLINE", "SPLINE", "ELLIPSE"}
MOST_LINES = 100_000
"""That may come out of blocks: a short file can hold blocks of blocks of blocks without end."""

BRIDGE = "TAB"
"""The layer, off, on which our own files show what is left standing."""

_DEEPEST = 300
_Z = 1e-6
_TINY = 1e-9


@dataclass(frozen=True, slots=True)
class DrawnLine:
    """Segments end to end; `circle` for a whole one; `curve` if they are chords of a spline or an ellipse [mm].

    number : counts all that is drawn, what has no line too, in the order of the file; the same in every unit
    """

    type: str
    layer: str
    segments: tuple[Segment, ...]
    closed: bool = False
    curve: bool = False
    circle: Circle | None = None
    linetype: str = CONTINUOUS
    number: int = 0

    @property
    def place(self) -> Point:
        """A point on it."""
        return self.segments[0].start


@dataclass(slots=True)
class DrawnLines:
    """All lines, what is drawn beside them, what was left out as asked, and what was found on the way."""

    lines: list[DrawnLine] = field(default_factory=list)
    others: list[NotCut] = field(default_factory=list)
    dropped: list[Dropped] = field(default_factory=list)
    flaws: list[Flaw] = field(default_factory=list)
    heights: set[float] = field(default_factory=set)
    layers: dict[str, str] = field(default_factory=dict)
    commas: int = 0


def lines_of(
    drawing: TaggedDrawing, plane: Plane, drop: Drop = Drop(), without: Container[int] = frozenset()
) -> DrawnLines:
    """Every line of the model space; `plane` leads from the file's numbers to mm.

    drop    : layers and line types that are left out
    without : numbers of single things that are left out

    A block that contains itself, or holds more than MOST_LINES in the end, is named and left out.
    """
    reader = _Reader(drawing, plane, drop, without)
    for entity in drawing.entities:
        reader.read(entity, plane, None, ())
    found = reader.found
    if len(found.heights) > 1 or any(abs(z) > _Z for z in found.heights):
        where = ", ".join(f"{z:g}" for z in sorted(found.heights)[:4])
        found.flaws.append(Flaw("off-plane", None, f"lies at z = {where}", "draw it in the plane z = 0"))
    if found.commas:
        text = f"{found.commas} numbers have a decimal comma"
        found.flaws.append(Flaw("comma-decimal", None, text, "save it with decimal points"))
    return found


class _Reader:
    """Reads entity after entity; what it cannot read becomes a flaw."""

    def __init__(self, drawing: TaggedDrawing, plane: Plane, drop: Drop, without: Container[int]) -> None:
        self.drawing, self.base, self.found = drawing, plane, DrawnLines()
        self.drop, self.without = drop, without
        self._around, self._linetype, self._number = CONTINUOUS, CONTINUOUS, 0
        version = drawing.version or ""
        self._version = int(version[2:]) if version.startswith("AC1") and version[2:].isdigit() else None
        self._budget = MOST_LINES
        self._reported: set[tuple[str, str]] = set()

    def flaw(self, kind: str, at: Point | None, text: str, fix: str) -> None:
        """`at` in mm; the flaw has it in the file's own numbers."""
        self.found.flaws.append(Flaw(kind, self.base.back(at) if at else None, text, fix))

    def once(self, kind: str, key: str, text: str, fix: str) -> None:
        """A flaw of the whole file."""
        if (kind, key) not in self._reported:
            self._reported.add((kind, key))
            self.flaw(kind, None, text, fix)

    def read(self, entity: Entity, plane: Plane, owner: str | None, within: tuple[str, ...]) -> None:
        """owner : layer of the block reference; within : the blocks it stands in."""
        numbers = EntityNumbers(self.drawing, entity)
        try:
            self._read_entity(entity, numbers, plane, owner, within)
        except ValueError as error:
            if not within:
                text = f"{entity.type} at line {entity.line}: {str(error)[:40] or 'nothing'} is not a usable number"
                self.flaw("bad-number", None, text, "draw it again")
        self.found.commas += numbers.commas

    def _read_entity(
        self, entity: Entity, numbers: EntityNumbers, plane: Plane, owner: str | None, within: tuple[str, ...]
    ) -> None:
        layer = numbers.text(8) or "0"
        layer = owner if owner is not None and layer == "0" else layer
        self._number += 1
        if numbers.integer(67) == 1:
            self.once("paper-space", "", f"{entity.type} and perhaps more lies on a layout page", "leave it there")
            return
        self._linetype = linetype_of(self.drawing, numbers, layer, self._around)
        if self._number in self.without or self._is_dropped(entity, numbers, plane, layer):
            return
        self._check_entity(entity, numbers, layer)
        if entity.type == "INSERT":
            around, self._around = self._around, self._linetype
            self._insert(numbers, plane, layer, within)
            self._around = around
            return
        extrusion = numbers.xyz(210, (0.0, 0.0, 1.0))
        if not numbers.is_flat:
            self.flaw("tilted", None, f"{entity.type} at line {entity.line} lies in a tilted plane", "draw it flat")
            return
        below = extrusion[2] < 0
        if entity.type not in _LINES:
            other = not_cut_of(entity.type, numbers, plane, layer, self._linetype, self._number)
            self.found.others.append(other)
            text = f"{entity.type} on layer {layer}: {DROPPED[other.kind]}"
            self.flaw(other.kind, next(iter(other.points), None), text, f"--drop {other.kind} leaves it out")
            return
        if below and entity.type not in ("LINE", "SPLINE", "ELLIPSE"):  # those are in world coordinates anyway
            plane = plane.after(BELOW)
        if self._hidden(entity, numbers, layer):
            return
        for line in self._lines(entity, numbers, plane, layer):
            if below and entity.type not in ("LINE", "SPLINE"):
                self.flaw("mirrored", line.place, f"{entity.type} is drawn from below", "draw it from above")
            self.found.lines.append(line)

    def _is_dropped(self, entity: Entity, numbers: EntityNumbers, plane: Plane, layer: str) -> bool:
        word = self.drop.selects(layer, self._linetype)
        if word is not None:
            at = self.base.back(plane(*numbers.xy(10))) if numbers.text(10) else None
            self.found.dropped.append(Dropped(word, at, f"{entity.type} on layer {layer}"))
        return word is not None

    def _drawn(
        self, type_: str, layer: str, segments: tuple[Segment, ...], *,
        closed: bool = False, curve: bool = False, circle: Circle | None = None,
    ) -> DrawnLine:  # fmt: skip
        return DrawnLine(type_, layer, segments, closed, curve, circle, self._linetype, self._number)

    def _check_entity(self, entity: Entity, numbers: EntityNumbers, layer: str) -> None:
        drawing = self.drawing
        self.found.layers.setdefault(layer.upper(), layer)
        if layer != "0" and layer.upper() not in drawing.layers:
            self.once("undeclared-layer", layer, f"layer {layer} is used but not declared", "declare it")
        if not layer.isascii():
            self.once(
                "encoding", layer, f"layer {layer} has letters outside ASCII", "keep layer names to plain letters"
            )
        since = _FROM.get(entity.type)
        if since and (self._version is None or self._version < since):
            says = drawing.version or "none, which is R12"
            self.once("version", entity.type, f"holds {entity.type}, but its version is {says}", "save it as R2000")
        elif entity.type in _MARKERS and numbers.text(100) is None:
            self.once("version", "100", f"{entity.type} lacks its subclass marker", "save it again as R2000")

    def _hidden(self, entity: Entity, numbers: EntityNumbers, layer: str) -> bool:
        row = self.drawing.layers.get(layer.upper())
        if row is not None and row.off and layer.upper() == BRIDGE:
            return False  # whether it is a tab that stays, only its neighbours show
        why = None
        if numbers.integer(60) == 1:
            why = "is marked invisible"
        elif row is not None and (row.off or row.frozen or row.unprinted):
            why = f"lies on layer {layer}, which is " + (
                "off" if row.off else "frozen" if row.frozen else "not printed"
            )
        if why is None:
            return False
        at = self.base(*numbers.xy(10)) if numbers.text(10) else None
        self.flaw("hidden", at, f"{entity.type} {why}: would it be cut?", "--drop hidden leaves it out")
        return True

    def _insert(self, numbers: EntityNumbers, plane: Plane, layer: str, within: tuple[str, ...]) -> None:
        name = numbers.text(2) or ""
        block, at = self.drawing.blocks.get(name.upper()), numbers.xy(10)
        if not within:
            more = "" if block else ", which is not in the file"
            kind = "block" if block else "damaged"
            self.flaw(kind, plane(*at), f"reference to block {name}{more}", "take it apart into single lines")
        if block is None:
            return
        if name.upper() in within or len(within) > _DEEPEST:
            self.once("damaged", name, f"block {name} contains itself", "ask for the file again")
            return
        numbers.xyz(210, (0.0, 0.0, 1.0))
        if not numbers.is_flat:
            self.flaw("tilted", None, f"block {name} lies in a tilted plane", "draw it flat")
            return
        if numbers.below:
            plane = plane.after(BELOW)
        scale = numbers.scale(41), numbers.scale(42)
        base = EntityNumbers(self.drawing, block.head).xy(10)
        columns, rows = max(1, numbers.integer(70) or 1), max(1, numbers.integer(71) or 1)
        if columns * rows > MOST_LINES:
            self.once("crowded", name, f"block {name} stands {columns * rows} times", "ask for the file again")
            return
        turned = inserted((0.0, 0.0), (1.0, 1.0), numbers.number(50), (0.0, 0.0))
        for row in range(rows):
            for column in range(columns):
                dx, dy = turned(column * numbers.number(44), row * numbers.number(45))
                inner = plane.after(inserted((at[0] + dx, at[1] + dy), scale, numbers.number(50), base))
                for each in block.entities:
                    if self._budget <= 0:
                        text = f"holds blocks of more than {MOST_LINES} lines"
                        self.once("crowded", "", text, "ask for the file again")
                        return
                    self._budget -= 1
                    self.read(each, inner, layer, (*within, name.upper()))

    def _lines(self, entity: Entity, numbers: EntityNumbers, plane: Plane, layer: str) -> Iterator[DrawnLine]:
        match entity.type:
            case "LINE":
                yield from self._line(numbers, plane, layer)
            case "CIRCLE" | "ARC":
                yield from self._round(entity, numbers, plane, layer)
            case "LWPOLYLINE" | "POLYLINE":
                yield from self._polyline(entity, numbers, plane, layer)
            case _:
                yield from self._curve(entity, numbers, plane, layer)

    def _line(self, numbers: EntityNumbers, plane: Plane, layer: str) -> Iterator[DrawnLine]:
        start, end = plane(*numbers.xy(10)), plane(*numbers.xy(11))
        self.found.heights |= {numbers.number(30), numbers.number(31)}
        if abs(start[0] - end[0]) < _TINY and abs(start[1] - end[1]) < _TINY:
            self.flaw("zero-length", start, "a line without length", "leave it out")
            return
        yield self._drawn("LINE", layer, (Segment(start, end, 0.0),))

    def _round(self, entity: Entity, numbers: EntityNumbers, plane: Plane, layer: str) -> Iterator[DrawnLine]:
        (x, y), radius = numbers.xy(10), numbers.number(40)
        self.found.heights.add(numbers.number(30))
        if radius * plane.scale < _TINY:
            self.flaw("bad-radius", plane(x, y), f"{entity.type} with radius {radius:g}", "leave it out")
            return
        whole = entity.type == "CIRCLE"
        first, last = (0.0, 360.0) if whole else (numbers.number(50), numbers.number(51))
        span = (last - first) % 360 or 360.0
        if not plane.keeps_circles:
            points = ellipse_points((x, y), (radius, 0.0), 1.0, first, first + span)
            yield from self._chords(entity, [plane(*point) for point in points], layer, closed=span == 360.0)
            self.flaw("ellipse", plane(*points[0]), f"{entity.type} stretched by its block: an ellipse", "use arcs")
            return
        segments = tuple(plane.segment(one) for one in arc_segments((x, y), radius, first, span))
        circle = Circle(plane(x, y), radius * plane.scale) if span == 360.0 else None
        yield self._drawn(entity.type, layer, segments, closed=circle is not None, circle=circle)

    def _polyline(self, entity: Entity, numbers: EntityNumbers, plane: Plane, layer: str) -> Iterator[DrawnLine]:
        flags = numbers.integer(70) or 0
        vertices, widths, heights = numbers.vertices()
        if entity.type == "POLYLINE" and flags & (16 | 64):
            self.flaw("stray", None, f"a mesh on layer {layer}: {DROPPED['stray']}", "--drop stray leaves it out")
            return
        self.found.heights |= heights
        placed = [(*plane(x, y), bulge) for x, y, bulge in vertices]
        if any(widths) and placed:
            self.flaw("wide", placed[0][:2], f"a line {max(widths):g} wide; its middle is cut", "draw it without width")
        kept = without_repeats(placed, closed=bool(flags & 1))
        if len(kept) < 2:
            at = placed[0][:2] if placed else None
            self.flaw("zero-length", at, f"a polyline of {len(placed)} vertices without length", "leave it out")
            return
        closed = bool(flags & 1)
        if len(kept) < len(placed):
            self.flaw("repeated-point", kept[0][:2], "a polyline has the same vertex twice in a row", "drop one")
        if not closed and len(kept) > 2 and near(kept[0], kept[-1]):
            self.flaw("unflagged", kept[0][:2], "a polyline ends where it starts but is not marked closed", "mark it")
            kept, closed = kept[:-1], True
        ends = [*kept[1:], kept[0]] if closed else kept[1:]
        segments = []
        for (x, y, bulge), end in zip(kept, ends, strict=False):
            segments += polyline_segments((x, y), end[:2], bulge, plane)
        if segments and all(segment.chord < _TINY for segment in segments):
            self.flaw("zero-length", kept[0][:2], "a polyline without length", "leave it out")
            return
        yield self._drawn(entity.type, layer, tuple(segments), closed=closed)

    def _curve(self, entity: Entity, numbers: EntityNumbers, plane: Plane, layer: str) -> Iterator[DrawnLine]:
        if entity.type == "SPLINE":
            points, closed = spline_of(numbers, plane.scale)
            self.found.heights |= numbers.all(30) | numbers.all(31)
            kind, fix = "spline", "save it as lines and arcs"
        else:
            self.found.heights.add(numbers.number(30))
            points, closed = ellipse_of(numbers)
            kind, fix = "ellipse", "save it as arcs"
        if len(points) < 2:
            self.flaw("zero-length", None, f"a {kind} at line {entity.line} without length", "leave it out")
            return
        placed = [plane(*point) for point in points]
        self.flaw(kind, placed[0], f"a {kind} on layer {layer}", fix)
        yield from self._chords(entity, placed, layer, closed=closed)

    def _chords(self, entity: Entity, points: list[Point], layer: str, *, closed: bool) -> Iterator[DrawnLine]:
        kept = [one[:2] for one in without_repeats([(x, y, 0.0) for x, y in points], closed=closed)]
        if len(kept) < 2:
            return
        ends = [*kept[1:], kept[0]] if closed else kept[1:]
        segments = tuple(Segment(start, end, 0.0) for start, end in zip(kept, ends, strict=False))
        yield self._drawn(entity.type, layer, segments, closed=closed, curve=True)
