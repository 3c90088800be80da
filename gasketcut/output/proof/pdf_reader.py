"""A reader of exactly the PDF that is written here: its pages' sizes, and the lines stroked on them.

Objects are found by the file's own table, streams are Flate in ASCII85. Of a page only what moves or draws a line is
followed: q, Q and cm; w; m, l, c, re and h; S, B, f, n and W. Words, fonts and greys are passed over.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from math import ceil, sqrt

import numpy as np

from gasketcut.arrays import Array
from gasketcut.errors import ReadBackError
from gasketcut.length import PT
from gasketcut.plane import Point
from gasketcut.tolerances import CHORD

_TOKEN = re.compile(rb"\((?:[^\\()]|\\.)*\)|\[[^\]]*\]|[^\s\[\]()]+", re.DOTALL)
_OPERAND = frozenset(b"0123456789+-.([/")
_SILENT = frozenset(b"BT ET Tf TL Td Tm Tj T* Tc Tw Tr Ts Tz g G rg RG d J j M gs i".split())
_STEP = frozenset(b"m l c h re".split())
_FILLED = frozenset(b"f f* n".split())
_STROKED = frozenset(b"S B B*".split())
_SAME_WIDTH = 1e-4  # mm
_ENTRY = re.compile(rb"(\d{10}) (\d{5}) ([nf])")
_PLAIN = np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])
_TURNED = (b"/CropBox", b"/UserUnit", b"/Annots", b"/XObject")  # what would change what is seen of a page

Matrix = Array  # shape (2, 3)
_Step = tuple[bytes, list[bytes]]  # an operator and what stands before it


@dataclass(frozen=True, slots=True)
class PdfPage:
    """Width and height [mm], and the object that holds what is drawn."""

    size: Point
    packed: bytes

    @property
    def drawn(self) -> bytes:
        """What is drawn, unpacked; raise ValueError or `zlib.error` if it is packed otherwise than here."""
        head, body = self.packed.split(b"stream", 1)
        if b"/ASCII85Decode /FlateDecode" not in head:
            raise ValueError("a stream is packed otherwise")
        stream = body.strip(b"\r\n")[: _number(head, b"Length")].strip()
        return zlib.decompress(_from_ascii85(stream.removesuffix(b"~>")))


@dataclass(frozen=True, slots=True)
class Drawn:
    """One stroked path: its lines, finely divided, and the rectangle outside of which nothing of it is seen, as lower
    left and upper right corner. All in mm from the page's lower left corner."""

    lines: tuple[Array, ...]
    clip: Array | None


@dataclass(frozen=True, slots=True)
class _State:
    matrix: Matrix = field(default_factory=lambda: _PLAIN)
    width: float = 1.0
    clip: Array | None = None


def pages_of(data: bytes, name: str, *, photographs: bool = False) -> list[PdfPage]:
    """The pages in their order; raise `ReadBackError` for a file that is not built as ours are.

    photographs : may a page hold one? Not where anything is cut by it
    """
    try:
        objects = _objects(data)
        root = _reference(data[data.rindex(b"trailer") :], b"Root")
        tree = objects[_reference(objects[root], b"Pages")]
        kids = re.search(rb"/Kids \[([^\]]*)\]", tree)
        numbers = [int(one) for one in re.findall(rb"(\d+) 0 R", kids[1] if kids else b"")]
        turned = [one for one in _TURNED if not (photographs and one == b"/XObject")]
        pages = [_page(objects, number, turned) for number in numbers]
    except (ValueError, KeyError, IndexError, zlib.error) as error:
        raise ReadBackError(f"{name}: the PDF written cannot be read ({error})") from error
    if not pages or _number(tree, b"Count") != len(pages):
        raise ReadBackError(f"{name}: the PDF does not hold the pages that it says")
    return pages


def strokes_on(page: PdfPage, width: float, name: str) -> list[Drawn]:
    """What is stroked with that width of line [mm], in the order of the page, curves divided within CHORD.

    Raise `ReadBackError` for whatever is not written here.
    """
    try:
        return list(_strokes(page.drawn, width))
    except (ValueError, IndexError, zlib.error) as error:
        raise ReadBackError(f"{name}: a page of the PDF written cannot be read ({error})") from error


def _strokes(drawn: bytes, width: float) -> Iterator[Drawn]:
    kept: list[_State] = []
    operands: list[bytes] = []
    path: list[_Step] = []
    state, cuts = _State(), False
    for token in _TOKEN.findall(drawn):
        if token[0] in _OPERAND:
            operands.append(token)
            continue
        if token in _STEP:
            path.append((token, operands))
        elif token == b"q":
            kept.append(state)
        elif token == b"Q":
            state = kept.pop()
        elif token == b"cm":
            state = replace(state, matrix=_times(state.matrix, operands))
        elif token == b"w":
            state = replace(state, width=float(operands[0]) / PT)
        elif token in (b"W", b"W*"):
            cuts = True
        elif token in _STROKED or token in _FILLED:
            if token in _STROKED and abs(state.width - width) < _SAME_WIDTH:
                yield Drawn(tuple(_lines(path, state.matrix)), state.clip)
            if cuts:
                state = replace(state, clip=_clipped(state, path))
            path, cuts = [], False
        elif token not in _SILENT:
            raise ValueError(f"it holds {token.decode('latin-1')}, which is not written here")
        operands = []


def _objects(data: bytes) -> dict[int, bytes]:
    """Every object's bytes by its number; raise ValueError where the file's table is wrong."""
    table = int(data[data.rindex(b"startxref") + 9 :].split()[0])
    head = re.compile(rb"xref\s+0 (\d+)\s+").match(data, table)
    if head is None:
        raise ValueError("no table where it should be")
    entries = [_ENTRY.match(data, head.end() + 20 * number) for number in range(int(head[1]))]
    found = {}
    for number, entry in enumerate(entries):
        if entry is None:
            raise ValueError("a table of another form")
        if entry[3] == b"n":
            start, opening = int(entry[1]), b"%d 0 obj" % number
            if not data.startswith(opening, start):
                raise ValueError(f"object {number} is not in its place")
            found[number] = data[start + len(opening) : data.index(b"endobj", start)]
    return found


def _page(objects: dict[int, bytes], number: int, turned: list[bytes]) -> PdfPage:
    words = objects[number]
    box = re.search(rb"/MediaBox \[\s*([^\]]*)\]", words)
    sides = [float(one) for one in box[1].split()] if box else []
    if len(sides) != 4 or sides[:2] != [0.0, 0.0] or _number(words, b"Rotate") != 0:
        raise ValueError(f"page {number} has no box at the origin")
    wrong = [one.decode() for one in turned if one in words]
    if wrong:
        raise ValueError(f"page {number} has {wrong[0]}")
    return PdfPage((sides[2] / PT, sides[3] / PT), objects[_reference(words, b"Contents")])


def _reference(words: bytes, key: bytes) -> int:
    found = re.search(rb"/%s (\d+) 0 R" % key, words)
    if found is None:
        raise ValueError(f"no {key.decode()}")
    return int(found[1])


def _number(words: bytes, key: bytes) -> int:
    found = re.search(rb"/%s (\d+)" % key, words)
    return int(found[1]) if found else -1


def _times(matrix: Matrix, operands: list[bytes]) -> Matrix:
    a, b, c, d, e, f = (float(one) for one in operands)
    moved = matrix[:, :2] @ np.array([[a, c, e], [b, d, f]])
    moved[:, 2] += matrix[:, 2]
    return np.asarray(moved)


def _placed(points: Array, matrix: Matrix) -> Array:
    """From points of type in the page's own system to mm on the paper."""
    return np.asarray((points @ matrix[:, :2].T + matrix[:, 2]) / PT)


def _clipped(state: _State, path: list[_Step]) -> Array:
    """What is seen within this path too; nothing can be said of what lies in any but a rectangle, so no number."""
    if len(path) != 1 or path[0][0] != b"re":
        return np.full((2, 2), np.nan)
    low, high = _placed(_corners(path[0][1])[::2], state.matrix)
    if state.clip is not None:
        low, high = np.maximum(low, state.clip[0]), np.minimum(high, state.clip[1])
    return np.stack([low, high])


def _corners(operands: list[bytes]) -> Array:
    x, y, wide, high = (float(one) for one in operands)
    return np.array([[x, y], [x + wide, y], [x + wide, y + high], [x, y + high]])


def _lines(path: list[_Step], matrix: Matrix) -> Iterator[Array]:
    """Each line of a path, divided, the first point of a closed one repeated at its end."""
    here: list[_Step] = []
    for step, operands in path:
        if step in (b"m", b"re") and here:
            yield _divided(here, matrix)
            here = []
        if step == b"re":
            corners = _placed(_corners(operands), matrix)
            yield np.vstack([corners, corners[:1]])
        elif step == b"h":
            line = _divided(here, matrix)
            yield np.vstack([line, line[:1]])
            here = []
        else:
            here.append((step, operands))
    if here:
        yield _divided(here, matrix)


def _divided(steps: list[_Step], matrix: Matrix) -> Array:
    """Points along lines and cubics, no chord more than CHORD off; source: h^2 / 8 times the largest second derivative,
    which is six times the larger second difference of the control points."""
    numbers = np.array([float(one) for _, operands in steps for one in operands])
    points = _placed(numbers.reshape(-1, 2), matrix)
    ends = np.cumsum([len(operands) // 2 for _, operands in steps]) - 1  # rows of the points that lie on the line
    last = np.array([row for row, (step, _) in zip(ends, steps, strict=True) if step == b"c"], dtype=np.int64)
    if not len(last):
        return np.asarray(points[ends])
    four = points[last[:, None] + np.arange(-3, 1)]
    bend = 6 * float(np.max(np.hypot(*np.moveaxis(np.diff(four, n=2, axis=1), 2, 0))))
    t = np.linspace(0, 1, max(2, ceil(sqrt(bend / 8 / CHORD)) + 1))[1:, None]
    a, b, c, d = (four[:, None, number] for number in range(4))
    curves = iter((1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t**2 * c + t**3 * d)
    rows = zip(ends, steps, strict=True)
    return np.vstack([next(curves) if step == b"c" else points[row : row + 1] for row, (step, _) in rows])


def _from_ascii85(text: bytes) -> bytes:
    """Five letters to four bytes; as the library's own, at a tenth of the time. Raise ValueError for other letters."""
    whole = b"".join(text.split()).replace(b"z", b"!!!!!")
    short = -len(whole) % 5
    letters = np.frombuffer(whole + b"u" * short, dtype=np.uint8).astype(np.int64) - 33
    if len(letters) and not (letters.min() >= 0 and letters.max() < 85):
        raise ValueError("a stream is packed otherwise")
    words = letters.reshape(-1, 5) @ 85 ** np.arange(4, -1, -1)
    return words.astype(">u4").tobytes()[: len(words) * 4 - short]
