"""A DXF file as it stands, tag by tag: sections, entities, layers and blocks, nothing interpreted, nothing filled in.

The library mends in silence what has to be reported: it invents a unit where none is declared, drops layer and closed
flag of polylines in files without a header, and takes `nan` for a number. So the tags are read here.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from itertools import pairwise

from gasketcut.outside import shown
from gasketcut.received.faults.flaw import Flaw, NotReadableError

_BINARY = b"AutoCAD Binary DXF\r\n\x1a\x00"  # the format's own first bytes, DXF reference
_OTHERS = (
    (b"\x89PNG", "a PNG picture"),
    (b"\xff\xd8\xff", "a JPEG picture"),
    (b"%PDF", "a PDF"),
    (b"PK\x03\x04", "a zip archive"),
    (b"AC10", "a DWG; save it as DXF"),
    (b"<", "a web page or an SVG"),
    (b"{", "JSON"),
)
_COMMA = re.compile(r"^\s*[-+]?\d+,\d+\s*$")
_SECTIONS_FIRST = ("HEADER", "ENTITIES", "TABLES")
_CODEPAGES = {"ANSI_932": "cp932", "ANSI_936": "gbk", "ANSI_949": "cp949", "ANSI_950": "big5", "DOS932": "cp932"}
MOST_BYTES = 200_000_000
CONTINUOUS = "CONTINUOUS"
"""The line type without gaps, and of what names none."""


@dataclass(frozen=True, slots=True)
class Entity:
    """Type, number of its line in the file, first and last tag; the vertices of an old polyline hang on it."""

    type: str
    line: int
    first: int
    last: int
    vertices: list[Entity] = field(default_factory=list)


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

    codes: list[int]
    values: list[str]
    header: dict[str, list[str]] = field(default_factory=dict)
    layers: dict[str, LayerRow] = field(default_factory=dict)
    linetypes: dict[str, tuple[float, ...]] = field(default_factory=dict)
    """Of each line type its dashes in turn, gaps negative, dots 0."""

    blocks: dict[str, Block] = field(default_factory=dict)
    entities: list[Entity] = field(default_factory=list)
    comments: list[str] = field(default_factory=list)
    flaws: list[Flaw] = field(default_factory=list)

    @property
    def version(self) -> str | None:
        """Such as AC1015, or None if the file does not say."""
        return next(iter(self.header.get("$ACADVER", ())), None)

    def first(self, entity: Entity, code: int) -> str | None:
        """The first value with this group code."""
        for number in range(entity.first, entity.last):
            if self.codes[number] == code:
                return self.values[number]
        return None

    def count(self, entity: Entity, code: int) -> int:
        """How many values have this group code."""
        return self.codes[entity.first : entity.last].count(code)


def read_tags(data: bytes) -> TaggedDrawing:
    """Sections and entities of the file, texts as they may be shown; raise `NotReadableError` for what is no DXF."""
    if len(data) > MOST_BYTES:
        raise NotReadableError(f"is {len(data) / 1e6:.0f} MB; more than {MOST_BYTES / 1e6:.0f} MB is not read")
    flaws: list[Flaw] = []
    if data.startswith(_BINARY):
        codes, values = _binary(data)
        flaws.append(Flaw("binary", None, "binary DXF", "save it as text (ASCII) DXF"))
    else:
        codes, values = _split(_decoded(data, flaws), flaws)
    values = [value if value.isprintable() else shown(value) for value in values]  # here, so that nothing can forget it
    drawing = TaggedDrawing(codes, values, flaws=flaws)
    _sections(drawing)
    return drawing


def _binary(data: bytes) -> tuple[list[int], list[str]]:
    from ezdxf.lldxf.tagger import binary_tags_loader

    codes, values = [], []
    try:
        for tag in binary_tags_loader(data):
            codes.append(int(tag.code))
            values.append(str(tag.value))
    except Exception as error:  # the library raises whatever its own reading of the bytes ends in
        if not codes:
            raise NotReadableError("is a binary DXF that cannot be read") from error
    return codes, values


def _decoded(data: bytes, flaws: list[Flaw]) -> str:
    if not data.strip():
        raise NotReadableError("is empty")
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        flaws.append(Flaw("encoding", None, "the file is UTF-16", "save it as plain DXF"))
        return data.decode("utf-16", errors="replace")
    if data.startswith(b"\xef\xbb\xbf"):
        flaws.append(Flaw("bom", None, "begins with a byte order mark", "save it without one"))
        data = data[3:]
    start = data.lstrip()
    for magic, what in _OTHERS:
        if start.startswith(magic):
            raise NotReadableError(f"is no DXF but {what}")
    if data.isascii():
        return data.decode("ascii")
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        page = re.search(rb"\$DWGCODEPAGE\s+3\s+(\S+)", data[:20_000])
        name = page[1].decode("ascii", "replace").upper() if page else ""
        return data.decode(_CODEPAGES.get(name, "cp1252"), errors="replace")
    declared = re.search(rb"AC(10\d\d)", data[:2000])
    if declared and int(declared[1]) < 1021:  # UTF-8 from R2007 on, a code page before
        flaws.append(Flaw("encoding", None, "is UTF-8, which its version does not know", "keep names to plain letters"))
    return text


def _split(text: str, flaws: list[Flaw]) -> tuple[list[int], list[str]]:
    if "\n" not in text and "\r" in text:
        flaws.append(Flaw("line-ends", None, "lines end in CR alone", "save it with CR LF"))
        text = text.replace("\r", "\n")
    lines = text.replace("\r\n", "\n").split("\n")
    while lines and not lines[-1].strip():
        lines.pop()
    codes: list[int] = []
    names = lines[0::2]
    try:
        codes = list(map(int, names))
    except ValueError:
        for number, name in enumerate(names):
            try:
                codes.append(int(name))
            except ValueError:
                if number == 0:
                    raise NotReadableError("is no DXF: its first line is no group code") from None
                text = f"line {2 * number + 1} holds {name.strip()[:20]!r} where a group code belongs"
                flaws.append(Flaw("damaged", None, f"{text}; what follows is not read", "ask for the file again"))
                break
    values = [value.strip() for value in lines[1::2]]
    count = min(len(codes), len(values))
    return codes[:count], values[:count]


def _sections(drawing: TaggedDrawing) -> None:
    codes, values = drawing.codes, drawing.values
    starts = [number for number, code in enumerate(codes) if code == 0]
    drawing.comments = [values[n] for n in range(min(len(codes), starts[0] if starts else 200)) if codes[n] == 999]
    if not any(values[number].upper() == "SECTION" for number in starts[:50]):
        raise NotReadableError("is no DXF: it holds no sections")
    starts.append(len(codes))
    section, ended, known = "", False, []
    held: list[Entity] = []
    for start, end in pairwise(starts):
        word = values[start].upper()
        if word == "SECTION":
            section = values[start + 1].upper() if end > start + 1 and codes[start + 1] == 2 else ""
            known.append(section)
            held = []
            if section == "HEADER":
                _header(drawing, start + 2, end)
        elif word == "EOF":
            ended = True
            break
        elif word == "ENDSEC":
            section = ""
        else:
            entity = Entity(word, 2 * start + 1, start + 1, end)
            _add_entity(drawing, section, entity, held)
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
    elif section == "ENTITIES":
        _append(drawing.entities, entity)


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
    for number in range(start, end):
        if drawing.codes[number] == 9:
            name = drawing.values[number].upper()
            drawing.header[name] = []
        elif name:
            drawing.header[name].append(drawing.values[number])


def _layer(drawing: TaggedDrawing, entity: Entity) -> LayerRow:
    def number(code: int, default: int) -> int:
        try:
            return int(drawing.first(entity, code) or default)
        except ValueError:
            return default

    linetype = drawing.first(entity, 6) or CONTINUOUS
    return LayerRow(number(62, 7) < 0, bool(number(70, 0) & 1), number(290, 1) == 0, linetype)


def _dashes(drawing: TaggedDrawing, entity: Entity) -> tuple[float, ...]:
    values = [drawing.values[number] for number in range(entity.first, entity.last) if drawing.codes[number] == 49]
    try:
        return tuple(number_of(value)[0] for value in values)
    except ValueError:
        return ()


def number_of(text: str) -> tuple[float, bool]:
    """The number, and whether its decimal sign is a comma; raise ValueError for none, not-a-number or infinite."""
    comma = bool(_COMMA.match(text))
    value = float(text.replace(",", ".") if comma else text)
    if not -1e15 < value < 1e15:  # not-a-number fails too
        raise ValueError(text)
    return value, comma
