"""A DXF file as it stands, tag by tag: sections, entities, layers and blocks, nothing interpreted, nothing filled in.

The library mends in silence what has to be reported: it invents a unit where none is declared, drops layer and closed
flag of polylines in files without a header, and takes `nan` for a number. So the tags are read here.
"""

from __future__ import annotations

import re
from array import array
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from gasketcut.received.faults.flaw import Flaw, NotReadableError
from gasketcut.received.text.decoding import tag_text
from gasketcut.received.text.tag_text import TagText

_COMMA = re.compile(r"^\s*[-+]?\d+,\d+\s*$")
_SECTIONS_FIRST = ("HEADER", "ENTITIES", "TABLES")
LARGEST_NUMBER = 1e15
"""Of a coordinate: beyond it a millimetre is less than the last digit."""

MOST_BYTES = 200_000_000
CONTINUOUS = "CONTINUOUS"
"""The line type without gaps, and of what names none."""


@dataclass(frozen=True, slots=True)
class Entity:
    """Type, first and last tag; the vertices of an old polyline hang on it."""

    type: str
    first: int
    last: int
    vertices: list[Entity] = field(default_factory=list)

    @property
    def line(self) -> int:
        """Number of the line in the file at which it begins."""
        return 2 * self.first - 1


@dataclass(slots=True)
class Entities:
    """The entities of a section, made one after the other from where their tags begin: there may be a million.

    starts : numbers of their first tags, in pairs with the one behind their last
    """

    text: TagText
    starts: array[int] = field(default_factory=lambda: array("q"))
    count: int = 0

    def add(self, start: int, end: int) -> None:
        self.starts.append(start)
        self.starts.append(end)

    def __len__(self) -> int:
        return self.count

    def __iter__(self) -> Iterator[Entity]:
        """Vertices come with the polyline before them."""
        held: Entity | None = None
        places = iter(self.starts)
        for start in places:
            entity = Entity(self.text.value(start).upper(), start + 1, next(places))
            if entity.type == "SEQEND":
                continue
            if entity.type == "VERTEX":
                if held is not None and held.type == "POLYLINE":
                    held.vertices.append(entity)
                continue
            if held is not None:
                yield held
            held = entity
        if held is not None:
            yield held


@dataclass(frozen=True, slots=True)
class LayerRow:
    """A row of the layer table."""

    off: bool
    frozen: bool
    unprinted: bool
    linetype: str


@dataclass(frozen=True, slots=True)
class Block:
    """A named drawing within the drawing."""

    head: Entity
    entities: tuple[Entity, ...]


@dataclass(slots=True)
class TaggedDrawing:
    """The file's tags, and what its sections hold."""

    text: TagText
    header: dict[str, list[str]] = field(default_factory=dict)
    layers: dict[str, LayerRow] = field(default_factory=dict)
    linetypes: dict[str, tuple[float, ...]] = field(default_factory=dict)
    """Of each line type its dashes in turn, gaps negative, dots 0."""

    blocks: dict[str, Block] = field(default_factory=dict)
    entities: Entities = field(default_factory=lambda: Entities(TagText.of([], [])))
    types: Counter[str] = field(default_factory=Counter)
    """How many entities of each type stand in the drawing itself."""

    comments: list[str] = field(default_factory=list)
    flaws: list[Flaw] = field(default_factory=list)

    @property
    def version(self) -> str | None:
        """Such as AC1015, or None if the file does not say."""
        return next(iter(self.header.get("$ACADVER", ())), None)

    def release(self) -> None:
        """Let go of the tags, as long as the file: what is known of its sections stays."""
        self.text = TagText.of([], [])
        self.entities = Entities(self.text)

    def first(self, entity: Entity, code: int) -> str | None:
        """The first value with this group code."""
        codes, values = self.text.tags(entity.first, entity.last)
        return next((value for one, value in zip(codes, values, strict=True) if one == code), None)

    def count(self, entity: Entity, code: int) -> int:
        """How many values have this group code."""
        return self.text.codes[entity.first : entity.last].count(code)


def read_tags(data: bytes) -> TaggedDrawing:
    """Sections and entities of the file, texts as they may be shown; raise `NotReadableError` for what is no DXF."""
    if len(data) > MOST_BYTES:
        raise NotReadableError(f"is {len(data) / 1e6:.0f} MB; more than {MOST_BYTES / 1e6:.0f} MB is not read")
    flaws: list[Flaw] = []
    drawing = TaggedDrawing(tag_text(data, flaws), flaws=flaws)
    _sections(drawing)
    return drawing


def _sections(drawing: TaggedDrawing) -> None:
    codes, value = drawing.text.codes, drawing.text.value
    starts = array("q", np.flatnonzero(np.array(codes, dtype=np.int64) == 0).tolist())
    drawing.comments = [value(n) for n in range(min(len(codes), starts[0] if starts else 200)) if codes[n] == 999]
    if not any(value(number).upper() == "SECTION" for number in starts[:50]):
        raise NotReadableError("is no DXF: it holds no sections")
    drawing.entities = Entities(drawing.text)
    starts.append(len(codes))
    section, ended, known = "", False, []
    held: list[Entity] = []
    for start, end in pairwise(starts):
        word = value(start).upper()
        if word == "SECTION":
            section = value(start + 1).upper() if end > start + 1 and codes[start + 1] == 2 else ""
            known.append(section)
            held = []
            if section == "HEADER":
                _header(drawing, start + 2, end)
        elif word == "EOF":
            ended = True
            break
        elif word == "ENDSEC":
            section = ""
        elif section == "ENTITIES":
            drawing.entities.add(start, end)
            if word not in ("VERTEX", "SEQEND"):
                drawing.types[word] += 1
        else:
            _add_entity(drawing, section, Entity(word, start + 1, end), held)
    drawing.entities.count = drawing.types.total()
    if not ended:
        drawing.flaws.append(Flaw("truncated", None, "has no EOF at its end", "ask for the whole file"))
    if known and known[0] not in _SECTIONS_FIRST:
        text = f"begins with the section {known[0]}"
        drawing.flaws.append(Flaw("header", None, text, "save it with a header"))


def _add_entity(drawing: TaggedDrawing, section: str, entity: Entity, held: list[Entity]) -> None:
    if section == "TABLES" and entity.type == "LAYER":
        name = drawing.first(entity, 2)
        if name is not None:
            drawing.layers[name.upper()] = _layer(drawing, entity)
    elif section == "TABLES" and entity.type == "LTYPE":
        drawing.linetypes[(drawing.first(entity, 2) or "").upper()] = _dashes(drawing, entity)
    elif section == "BLOCKS":
        if entity.type == "BLOCK":
            held[:] = [entity]
        elif entity.type == "ENDBLK" and held:
            drawing.blocks[(drawing.first(held[0], 2) or "").upper()] = Block(held[0], tuple(held[1:]))
            held.clear()
        elif held:
            _append(held, entity)


def _append(entities: list[Entity], entity: Entity) -> None:
    """Vertices belong to the polyline before them."""
    if entity.type == "SEQEND":
        return
    if entity.type == "VERTEX":
        if entities and entities[-1].type == "POLYLINE":
            entities[-1].vertices.append(entity)
        return
    entities.append(entity)


def _header(drawing: TaggedDrawing, start: int, end: int) -> None:
    name = ""
    for code, value in zip(*drawing.text.tags(start, end), strict=True):
        if code == 9:
            name = value.upper()
            drawing.header[name] = []
        elif name:
            drawing.header[name].append(value)


def _layer(drawing: TaggedDrawing, entity: Entity) -> LayerRow:
    def number(code: int, default: int) -> int:
        try:
            return int(drawing.first(entity, code) or default)
        except ValueError:
            return default

    linetype = drawing.first(entity, 6) or CONTINUOUS
    return LayerRow(number(62, 7) < 0, bool(number(70, 0) & 1), number(290, 1) == 0, linetype)


def _dashes(drawing: TaggedDrawing, entity: Entity) -> tuple[float, ...]:
    codes, found = drawing.text.tags(entity.first, entity.last)
    values = [value for code, value in zip(codes, found, strict=True) if code == 49]
    try:
        return tuple(number_of(value)[0] for value in values)
    except ValueError:
        return ()


def number_of(text: str) -> tuple[float, bool]:
    """The number, and whether its decimal sign is a comma; raise ValueError for none, not-a-number or infinite."""
    comma = bool(_COMMA.match(text))
    value = float(text.replace(",", ".") if comma else text)
    if not -LARGEST_NUMBER < value < LARGEST_NUMBER:  # not-a-number fails too
        raise ValueError(text)
    return value, comma
