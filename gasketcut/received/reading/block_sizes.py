"""How many lines and references come out of each block, counted before any of them is taken apart.

A short file can hold blocks of blocks of blocks: ten of them make a thousand million circles. Each block is counted
once, along its references, whatever the number of places at which it stands.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from gasketcut.received.reading.numbers import EntityNumbers
from gasketcut.received.reading.tags import Entity, TaggedDrawing

MOST_LINES = 100_000
"""That may come out of all blocks of a drawing. Our choice: what a cutter cuts from one sheet has a tenth of it."""

DEEPEST = 200
"""Blocks that stand in each other. Our choice."""

_CURVE = 50  # lines that a curve counts for: it becomes hundreds of chords


@dataclass(frozen=True, slots=True)
class BlockSize:
    """Lines and references that are read in the end, how many blocks stand in each other, and whether the block holds
    itself."""

    lines: int = 0
    depth: int = 1
    endless: bool = False

    @property
    def is_too_deep(self) -> bool:
        return self.depth > DEEPEST


@dataclass(slots=True)
class _Open:
    """A block that is being counted; `left` are its references that have still to be looked at."""

    name: str
    left: list[tuple[str, int]]
    lines: int
    depth: int = 1
    endless: bool = False


@dataclass(slots=True)
class BlockSizes:
    """The size of each block of the drawing, worked out when first asked for."""

    drawing: TaggedDrawing
    _known: dict[str, BlockSize] = field(default_factory=dict)

    def of(self, name: str) -> BlockSize:
        """By the name in capitals; a block that is not there has no lines."""
        if name not in self._known:
            self._count(name)
        return self._known[name]

    def in_all(self) -> int:
        """Lines and references that are read for all references in the drawing.

        A reference counts as well as a line: empty blocks in each other are as many steps as full ones.
        """
        if "INSERT" not in self.drawing.types:
            return 0
        return sum(times * (1 + self.of(name).lines) for name, times in self._references(self.drawing.entities))

    def _count(self, name: str) -> None:
        """Without recursion: blocks stand in each other as deep as a file likes."""
        way = [self._opened(name)]
        inside = {name}
        while way:
            here = way[-1]
            if not here.left:
                lines = 0 if here.endless else here.lines  # it is never taken apart
                self._known[here.name] = BlockSize(lines, here.depth, here.endless)
                inside.discard(here.name)
                way.pop()
                continue
            other, times = here.left[-1]
            if other in inside:
                here.endless = True
                here.left.pop()
            elif (size := self._known.get(other)) is None:
                way.append(self._opened(other))
                inside.add(other)
            else:
                here.left.pop()
                here.lines += times * (1 + size.lines)
                here.depth = max(here.depth, 1 + size.depth)
                here.endless |= size.endless

    def _opened(self, name: str) -> _Open:
        block = self.drawing.blocks.get(name)
        entities = block.entities if block else ()
        lines = sum(self._weight(one) for one in entities if one.type != "INSERT")
        return _Open(name, self._references(entities), lines)

    def _references(self, entities: Iterable[Entity]) -> list[tuple[str, int]]:
        found = []
        for entity in entities:
            if entity.type == "INSERT":
                numbers = EntityNumbers(self.drawing, entity)
                try:
                    columns, rows = grid_of(numbers)
                except ValueError:  # is said when it is read
                    continue
                found.append(((numbers.text(2) or "").upper(), columns * rows))
        return found

    def _weight(self, entity: Entity) -> int:
        if entity.type in ("SPLINE", "ELLIPSE"):
            return _CURVE
        if entity.type == "LWPOLYLINE":
            return 1 + self.drawing.count(entity, 10)
        return 1 + len(entity.vertices)


def grid_of(numbers: EntityNumbers) -> tuple[int, int]:
    """Columns and rows in which a reference puts its block; raise ValueError for no usable numbers."""
    return max(1, numbers.integer(70) or 1), max(1, numbers.integer(71) or 1)
