"""Everything that stands in the drawing itself, block after block taken apart, and what is wrong with how it stands."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass, replace

from gasketcut.plane import Point
from gasketcut.received.drop import Drop, Dropped
from gasketcut.received.faults.flaw import Flaw
from gasketcut.received.faults.layer_names import refused_in
from gasketcut.received.reading.block_sizes import DEEPEST, MOST_LINES, BlockSizes, grid_of
from gasketcut.received.reading.drawn_lines import BRIDGE, BlockReference, DrawnLines, Pen
from gasketcut.received.reading.linetypes import linetype_of
from gasketcut.received.reading.not_cut import fault_of, not_cut_of
from gasketcut.received.reading.numbers import EntityNumbers
from gasketcut.received.reading.plane import BELOW, Plane, inserted
from gasketcut.received.reading.strokes import IN_THE_WORLD, LINES, Strokes
from gasketcut.received.reading.tags import CONTINUOUS, LARGEST_NUMBER, Entity, TaggedDrawing

_FROM = {"LWPOLYLINE": 1014, "SPLINE": 1012, "ELLIPSE": 1012, "MTEXT": 1012, "HATCH": 1012}
_MARKERS = {"LWPOLYLINE", "SPLINE", "ELLIPSE"}


@dataclass(frozen=True, slots=True)
class _Stand:
    """Where an entity stands: what leads to mm, and what the block reference around it hands on.

    owner  : its layer
    around : its line type
    lift   : from z within to z in the file: scale and shift
    """

    plane: Plane
    owner: str | None = None
    around: str = CONTINUOUS
    lift: tuple[float, float] = (1.0, 0.0)


def lines_of(
    drawing: TaggedDrawing, plane: Plane, drop: Drop = Drop(), without: Container[int] = frozenset()
) -> DrawnLines:
    """Every line of the model space; `plane` leads from the file's numbers to mm.

    drop    : layers and line types that are left out
    without : numbers of single things that are left out

    A block that contains itself is named and left out; all are, if more than MOST_LINES would come out of them.
    """
    reader = _Reader(drawing, plane, drop, without)
    for entity in drawing.entities:
        reader.read(entity, _Stand(plane))
    reader.check_layers()
    found = reader.found
    if found.commas:
        text = f"{found.commas} numbers have a decimal comma"
        found.flaws.append(Flaw("comma-decimal", None, text, "save it with decimal points"))
    return found


class _Reader:
    """Reads entity after entity; what it cannot read becomes a flaw."""

    def __init__(self, drawing: TaggedDrawing, plane: Plane, drop: Drop, without: Container[int]) -> None:
        self.drawing, self.base, self.found = drawing, plane, DrawnLines()
        self.drop, self.without = drop, without
        self._number = 0
        version = drawing.version or ""
        self._version = int(version[2:]) if version.startswith("AC1") and version[2:].isdecimal() else None
        self._layers: set[str] = set()
        self._reported: set[tuple[str, str]] = set()
        self._sizes = BlockSizes(drawing)
        self._too_many = self._sizes.in_all() > MOST_LINES

    def flaw(self, kind: str, at: Point | None, text: str, fix: str) -> None:
        """`at` in mm; the flaw has it in the file's own numbers."""
        self.found.flaws.append(Flaw(kind, self.base.back(at) if at else None, text, fix))

    def once(self, kind: str, key: str, text: str, fix: str) -> None:
        """A flaw of the whole file."""
        if (kind, key) not in self._reported:
            self._reported.add((kind, key))
            self.flaw(kind, None, text, fix)

    def read(self, entity: Entity, stand: _Stand) -> None:
        """One entity, and all that is in it."""
        numbers = EntityNumbers(self.drawing, entity)
        try:
            self._read_entity(entity, numbers, stand)
        except ValueError as error:
            text = f"{entity.type} at line {entity.line}: {str(error)[:40] or 'nothing'} is not a usable number"
            self.once("bad-number", str(entity.line), text, "draw it again")
        self.found.commas += numbers.commas

    def _read_entity(self, entity: Entity, numbers: EntityNumbers, stand: _Stand) -> None:
        plane = stand.plane
        layer = numbers.text(8) or "0"
        layer = stand.owner if stand.owner is not None and layer == "0" else layer
        self._number += 1
        if numbers.integer(67) == 1:
            self.once("paper-space", "", f"{entity.type} and perhaps more lies on a layout page", "leave it there")
            return
        linetype = linetype_of(self.drawing, numbers, layer, stand.around)
        gone = self._number in self.without
        # What stands in a reference that goes is counted all the same.
        if (gone and entity.type != "INSERT") or self._is_dropped(entity, numbers, plane, layer, linetype):
            return
        if not gone:
            self._check_entity(entity, numbers, layer)
        if entity.type == "INSERT":
            number = self._number
            self._insert(numbers, stand, layer, linetype)
            self._refer(number, numbers, plane)
            return
        if not numbers.is_flat:
            self.flaw("tilted", None, f"{entity.type} at line {entity.line} lies in a tilted plane", "draw it flat")
            return
        if entity.type not in LINES:
            other = not_cut_of(entity.type, numbers, plane, layer, linetype, self._number)
            self.found.others.append(other)
            self.flaw(other.kind, next(iter(other.points), None), *fault_of(other))
            return
        below, lift = numbers.below, stand.lift
        if below and entity.type not in IN_THE_WORLD:
            plane, lift = plane.after(BELOW), (-lift[0], lift[1])
        if self._hidden(entity, numbers, layer):
            return
        off = layer.upper() == BRIDGE and (row := self.drawing.layers.get(BRIDGE)) is not None and row.off
        for line in Strokes(entity, numbers, plane, Pen(layer, linetype, self._number, lift), self.flaw).lines():
            if below and entity.type not in ("LINE", "SPLINE"):
                self.flaw("mirrored", line.place, f"{entity.type} is drawn from below", "draw it from above")
            if not max(map(abs, (*line.place, *line.segments[-1].end))) < LARGEST_NUMBER:
                raise ValueError(f"{line.place[0]:.3g}, {line.place[1]:.3g}")
            self.found.lines.append(replace(line, off=True) if off else line)

    def _is_dropped(self, entity: Entity, numbers: EntityNumbers, plane: Plane, layer: str, linetype: str) -> bool:
        word = self.drop.selects(layer, linetype)
        if word is not None:
            at = self.base.back(plane(*numbers.xy(10))) if numbers.text(10) else None
            self.found.dropped.append(Dropped(word, at, f"{entity.type} on layer {layer}"))
        return word is not None

    def _check_entity(self, entity: Entity, numbers: EntityNumbers, layer: str) -> None:
        drawing = self.drawing
        if layer not in self._layers:
            self._layers.add(layer)
            self._check_layer(layer)
        since = _FROM.get(entity.type)
        if since and (self._version is None or self._version < since):
            says = drawing.version or "none, which is R12"
            self.once("version", entity.type, f"holds {entity.type}, but its version is {says}", "save it as R2000")
        elif entity.type in _MARKERS and numbers.text(100) is None:
            self.once("version", "100", f"{entity.type} lacks its subclass marker", "save it again as R2000")

    def _check_layer(self, layer: str) -> None:
        self.found.layers.setdefault(layer.upper(), layer)
        if layer != "0" and layer.upper() not in self.drawing.layers:
            self.once("undeclared-layer", layer, f"layer {layer} is used but not declared", "declare it")
        if not layer.isascii():
            text = f"layer {layer} has letters outside ASCII"
            self.once("encoding", layer, text, "keep layer names to plain letters")
        if refused := refused_in(layer):
            self.once("layer-name", layer, f"the name of layer {layer} holds {refused}", "rename it")

    def check_layers(self) -> None:
        """Of those that are declared and hold nothing only the name can be wrong."""
        for name in self.drawing.layers:
            if name not in self.found.layers and (refused := refused_in(name)):
                self.once("layer-name", name, f"the name of layer {name}, which is empty, holds {refused}", "rename it")

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

    def _insert(self, numbers: EntityNumbers, stand: _Stand, layer: str, linetype: str) -> None:
        name, at = numbers.text(2) or "", numbers.xy(10)
        block = self.drawing.blocks.get(name.upper())
        if stand.owner is None and self._number not in self.without:
            more = "" if block else ", which is not in the file"
            kind = "block" if block else "damaged"
            self.flaw(kind, stand.plane(*at), f"reference to block {name}{more}", "take it apart into single lines")
        if block is None or self._is_too_much(name):
            return
        if not numbers.is_flat:
            self.flaw("tilted", None, f"block {name} lies in a tilted plane", "draw it flat")
            return
        plane, (stretch, shift) = stand.plane, stand.lift
        if numbers.below:
            plane, stretch = plane.after(BELOW), -stretch
        scale, turn = (numbers.scale(41), numbers.scale(42)), numbers.number(50)
        head = EntityNumbers(self.drawing, block.head)
        upright = stretch * numbers.scale(43)
        lift = (upright, shift + stretch * numbers.number(30) - upright * head.number(30))
        columns, rows = grid_of(numbers)
        turned = inserted((0.0, 0.0), (1.0, 1.0), turn, (0.0, 0.0))
        for row in range(rows):
            for column in range(columns):
                dx, dy = turned(column * numbers.number(44), row * numbers.number(45))
                inner = plane.after(inserted((at[0] + dx, at[1] + dy), scale, turn, head.xy(10)))
                for each in block.entities:
                    self.read(each, _Stand(inner, layer, linetype, lift))

    def _refer(self, number: int, numbers: EntityNumbers, plane: Plane) -> None:
        at, turn = numbers.xy(10), numbers.number(50)
        (x, y), (u, v) = plane(*at), plane(*inserted(at, (numbers.scale(41), 1.0), turn, (0.0, 0.0))(1.0, 0.0))
        reference = BlockReference(number, self._number, numbers.text(2) or "", (x, y), (u - x, v - y))
        self.found.references.append(reference)

    def _is_too_much(self, name: str) -> bool:
        """Whether the block cannot be taken apart; then it is said why."""
        size = self._sizes.of(name.upper())
        if size.endless:
            self.once("damaged", name, f"block {name} contains itself", "ask for the file again")
        elif size.is_too_deep:
            text = f"blocks stand in each other {size.depth} deep; more than {DEEPEST} are not taken apart"
            self.once("crowded", "depth", text, "ask for single lines")
        elif self._too_many:
            text = (
                f"block {name} makes {size.lines:,} lines and references; all blocks may make {MOST_LINES:,} together"
            )
            self.once("crowded", name, text, "ask for single lines, or for the part alone")
        return size.endless or size.is_too_deep or self._too_many
