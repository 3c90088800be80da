"""The words on a part, in single lines on the mark layer.

Where   on the sheet that stays, between all edges and marks, if letters of 2 mm or more fit there; else below the part.
Font    roman letters of one line each, from the package `hershey-fonts` (MIT), which the extra `lettering` brings; the
        letters are those that A. V. Hershey drew for plotters in 1967. No text leaves here, only polylines.

Heights are those of a capital letter [mm]. 2 mm as the least that can be read is our choice.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from typing import Any, Literal

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon

from gasketcut.cutting.path.stroke import mark
from gasketcut.errors import GasketError
from gasketcut.parts.part import Part
from gasketcut.plane import Point
from gasketcut.shape.outlines import pieces, shrunk_pieces

Polyline = tuple[Point, ...]

HEIGHTS = (5.0, 4.0, 3.5, 3.0, 2.5, 2.0)
"""mm, tried from the first to the last. Our choice."""

EASY = 3.0
"""mm; down to these letters the lines are kept together before they are spread over the part. Our choice."""

MARGIN = 1.0
"""mm between letters and any edge, so that the burnt line does not weaken it. Our choice."""

GAP = 3.0
"""mm between a part and the letters below it. Our choice."""

_CAPITAL = 21.0  # the font's own units: from the base line at 9 up to the cap line at -12
_BASE = 9.0
_LEADING = 1.6  # from line to line, in heights
_HEAD = 4.0 / 21.0  # above capitals, in heights: brackets
_TAIL = 7.0 / 21.0  # below the base line, in heights: g, j, p
_APART = 2.0  # between lines spread over the part, in heights, or two of them read as one
_GRID = 40  # places tried along the longer side
_PLAIN = {
    "–": "-", "—": "-", "−": "-", "×": "x", "ø": "dia ", "Ø": "dia ", "⌀": "dia ", "°": " deg", "µ": "u", "μ": "u",
    "ß": "ss", "æ": "ae", "Æ": "AE", "œ": "oe", "Œ": "OE", "ł": "l", "Ł": "L", "đ": "d", "Đ": "D", "±": "+/-",
    "⁄": "/", "‘": "'", "’": "'", "“": '"', "”": '"', "…": "...", "·": ".", "²": "2", "³": "3",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Lettering:
    """`lines` are polylines in the part's own coordinates; `box` (least x, y, most x, y) holds all of them.

    where     inside the part, or below it in the scrap, where it is lost with that
    words     as they were set, line by line
    replaced  letters for which the font has none, as they were written
    """

    lines: tuple[Polyline, ...]
    where: Literal["inside", "below"]
    height: float
    box: tuple[float, float, float, float]
    words: tuple[str, ...]
    replaced: str = ""


def words_for(part: Part) -> tuple[str, ...]:
    """Name; thickness and material; how many; which face is up: a line each."""
    stock, lines = part.stock, [part.name]
    if stock:
        lines.append(f"{round(stock.thickness, 3):g} mm {stock.material or stock.name}")
    lines.append(f"cut {part.count}")
    if part.face_up:
        lines.append(f"{part.face_up} up")
    return tuple(lines)


def lettering(part: Part, words: Sequence[str] | None = None, *, below: float | None = None) -> Lettering:
    """The words (by default `words_for` the part) set as large as they fit, level or upright, together or line by line.

    below : set them below this y [mm] instead, in the scrap

    Raise `GasketError` if the font is not installed.
    """
    given = [" ".join(line.split()) for line in (words_for(part) if words is None else words)]
    plain = [to_plain(line) for line in given]
    plain_words = tuple(text for text, _ in plain if text.strip())
    replaced = "".join(lost for _, lost in plain)
    if not plain_words:
        return Lettering((), "inside", HEIGHTS[0], (0.0, 0.0, 0.0, 0.0), (), replaced)
    layouts = [_Block(text) for text in _groupings(plain_words)]
    room = shrunk_pieces(part.solid, MARGIN) if below is None else []
    easy = [height for height in HEIGHTS if height >= EASY]
    for height, apart in (*((one, False) for one in easy), *((one, True) for one in HEIGHTS)):
        found = [spot for block in layouts for spot in _spots(block, height, room, part)]
        # Of equally large letters level ones, and of those the ones with most sheet round them.
        spots = [max(found, key=_best)] if found else _scattered(plain_words, height, room, part) if apart else []
        if spots:
            return _set(spots, height, "inside", plain_words, replaced)
    left, low, right, _ = part.outer.bounds
    low = low if below is None else below
    block = layouts[-1]
    height = next((size for size in HEIGHTS if block.width * size <= right - left), HEIGHTS[-1])
    middle = (left + block.width * height / 2, low - GAP - block.tall * height / 2)
    return _set([_Spot(block, middle, 0.0, 0.0)], height, "below", plain_words, replaced)


def one_line(text: str, box: tuple[float, float, float, float]) -> Lettering | None:
    """The text in one line, level or upright, at the lower left of the box, as large as it fits there; None: nowhere.

    Raise `GasketError` if the font is not installed.
    """
    plain, lost = to_plain(" ".join(text.split()))
    block, (left, low, right, top) = _Block((plain,)), box
    for height in (size for size in HEIGHTS if size <= EASY):
        for turn in (0.0, 90.0):
            wide, tall = (block.width * height, block.tall * height)[:: 1 if turn == 0 else -1]
            if wide + 2 * MARGIN <= right - left and tall + 2 * MARGIN <= top - low:
                spot = _Spot(block, (left + MARGIN + wide / 2, low + MARGIN + tall / 2), turn, MARGIN)
                return _set([spot], height, "below", (plain,), lost)
    return None


def to_plain(text: str) -> tuple[str, str]:
    """The text in letters that the font has, and those of its letters that became a question mark.

    >>> to_plain("Dichtung für Ø 12 – ½ 漢")
    ('Dichtung fur dia  12 - 1/2 ?', '漢')
    """
    found, lost = [], []
    for letter in text:
        plain = "".join(_PLAIN.get(one, one) for one in unicodedata.normalize("NFKD", _PLAIN.get(letter, letter)))
        plain = "".join(one for one in plain if not unicodedata.combining(one))
        if all(" " <= one <= "~" for one in plain):
            found.append(plain)
        else:
            found.append("?")
            lost.append(letter)
    return "".join(found), "".join(lost)


@dataclass(frozen=True, slots=True)
class _Spot:
    """A block, its middle and turn, and how far it is from the nearest edge [mm]."""

    block: _Block
    middle: Point
    turn: float
    away: float

    def box(self, height: float) -> tuple[float, float, float, float]:
        width, tall = (self.block.width * height / 2, self.block.tall * height / 2)[:: 1 if self.turn == 0 else -1]
        x, y = self.middle
        return x - width, y - tall, x + width, y + tall


def _best(spot: _Spot) -> tuple[float, float]:
    return -spot.turn, round(spot.away, 3)


def _scattered(words: tuple[str, ...], height: float, room: Sequence[Polygon], part: Part) -> list[_Spot]:
    """Each line where there is room for it, the longest first; nothing unless all of them find some."""
    found: list[_Spot] = []
    for block in sorted((_Block((line,)) for line in words), key=lambda block: -block.width):
        spots = list(_spots(block, height, room, part))
        if not spots:
            return []
        found.append(max(spots, key=_best))
        left, low, right, top = found[-1].box(height)
        apart = _APART * height
        taken = shapely.box(left - apart, low - apart, right + apart, top + apart)
        room = [rest for piece in room for rest in pieces(piece.difference(taken))]
    return found


class _Block:
    """Lines of text with a capital's height of 1, about the middle of the box that holds them."""

    def __init__(self, text: tuple[str, ...]) -> None:
        self.text = text
        rows = [_row(line) for line in text]
        self.width = max(max((x for stroke in row for x, _ in stroke), default=0.0) for row in rows)
        self.tall = _HEAD + 1.0 + (len(rows) - 1) * _LEADING + _TAIL
        top = self.tall / 2
        self.strokes = [
            tuple((x - self.width / 2, y + top - _HEAD - 1.0 - number * _LEADING) for x, y in stroke)
            for number, row in enumerate(rows)
            for stroke in row
        ]


def _groupings(words: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """All in one line, in two, and each on its own."""
    yield ("  ".join(words),)
    if len(words) > 2:
        half = (len(words) + 1) // 2
        yield ("  ".join(words[:half]), "  ".join(words[half:]))
    if len(words) > 1:
        yield words


def _spots(block: _Block, height: float, room: Sequence[Polygon], part: Part) -> Iterator[_Spot]:
    """Where the block fits into a piece of the room, level or upright: the best place of each."""
    marks = [LineString(mark(line).flattened()) for line in part.marks]
    for turn in (0.0, 90.0):
        size = (block.width * height, block.tall * height)
        width, tall = size if turn == 0 else size[::-1]
        for piece in room:
            places = _places(piece, width, tall)
            if not len(places):
                continue
            xs, ys = places.T
            boxes: Any = shapely.box(xs - width / 2, ys - tall / 2, xs + width / 2, ys + tall / 2)
            boxes = boxes[shapely.contains(piece, boxes)]
            if marks and len(boxes):
                near = shapely.STRtree(marks).query(boxes, predicate="dwithin", distance=MARGIN)[0]
                boxes = np.delete(boxes, np.unique(near))
            if len(boxes):
                away = np.round(shapely.distance(piece.boundary, boxes), 3)
                best = int(np.argmax(away))
                middle = shapely.centroid(boxes[best])
                yield _Spot(block, (middle.x, middle.y), turn, float(away[best]))


def _places(piece: Polygon, width: float, tall: float) -> Any:
    """Middles on a grid at which the corners and the middle of the box are in the piece; shape (n, 2)."""
    left, low, right, high = piece.bounds
    if width > right - left or tall > high - low:
        return np.empty((0, 2))
    step = max(right - left, high - low) / _GRID
    xs = np.linspace(left + width / 2, right - width / 2, 1 + int((right - left - width) / step + 1))
    ys = np.linspace(low + tall / 2, high - tall / 2, 1 + int((high - low - tall) / step + 1))
    places = np.array(np.meshgrid(xs, ys)).reshape(2, -1).T
    shapely.prepare(piece)
    for a, b in ((0, 0), (1, 1), (-1, -1), (1, -1), (-1, 1)):
        x, y = (places + np.array([a * width / 2, b * tall / 2]) * (1 - 1e-9)).T
        places = places[shapely.contains_xy(piece, x, y)]
    return places


def _set(
    spots: Sequence[_Spot], height: float, where: Literal["inside", "below"], words: tuple[str, ...], replaced: str
) -> Lettering:
    lines: list[Polyline] = []
    for spot in spots:
        (mx, my), (c, s) = spot.middle, (1.0, 0.0) if spot.turn == 0 else (0.0, 1.0)
        lines += [
            tuple((mx + height * (c * x - s * y), my + height * (s * x + c * y)) for x, y in stroke)
            for stroke in spot.block.strokes
        ]
    left, low, right, top = zip(*(spot.box(height) for spot in spots), strict=True)
    return Lettering(tuple(lines), where, height, (min(left), min(low), max(right), max(top)), words, replaced)


def _row(text: str) -> list[list[Point]]:
    """One line from x = 0, base line at y = 0, capitals 1 high; a dot that is a stroke of no length is left out."""
    rows = []
    for stroke in _font().strokes_for_text(text):
        points = [(x / _CAPITAL, (_BASE - y) / _CAPITAL) for x, y in stroke]
        if len(set(points)) > 1:
            rows.append(points)
    left = min((x for stroke in rows for x, _ in stroke), default=0.0)
    return [[(x - left, y) for x, y in stroke] for stroke in rows]


@cache
def _font() -> Any:
    try:
        font = import_module("HersheyFonts").HersheyFonts()
    except ImportError as error:
        raise GasketError("lettering needs a font that is not installed: pip install 'gasketcut[lettering]'") from error
    font.load_default_font("rowmans")
    return font
