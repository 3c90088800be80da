"""What was traced, laid over its picture: edges fitted and seen, names, sizes with their uncertainty, a scale bar."""

from __future__ import annotations

from gasketcut.capture.image.picture_file import Scan
from gasketcut.capture.measured import Measured
from gasketcut.capture.scale.photo import Photo
from gasketcut.capture.traced import Traced
from gasketcut.capture.traced_part import TracedPart
from gasketcut.capture.uncertainty.figures import diameter, scales, size, window_size
from gasketcut.length import PT
from gasketcut.output.picture import Picture
from gasketcut.pages.columns import paragraph, table
from gasketcut.pages.free_place import Box
from gasketcut.pages.traced.edges import FARTHEST, FITTED, SEEN, SEEN_COLOUR, draw_edges, factor_for
from gasketcut.pages.traced.frame import Frame, box_of_parts, picture_below
from gasketcut.pages.traced.measures import NAME_TYPE, SMALL_TYPE, bar, dimensions, keep_clear, names
from gasketcut.pages.traced.numbers import draw_mended, number_stretches
from gasketcut.pages.traced.questions import number_questions

WIDTH = 180.0
_TALLEST = 150.0  # mm; of the field
_MARGIN = 12.0  # mm on paper about the parts, for what stands beside them
_LARGEST = 4.0  # times life size; a small washer does not have to fill the sheet
_FEW = 6  # rows that need no second column
_COLUMNS, _APART = (14.0, 40.0, 32.0), 8.0  # mm of a table, and between two
_STEP = SMALL_TYPE * 1.55 / PT

_Row = tuple[str, str, str]


def overlay_picture(scan: Scan, traced: Traced, title: str) -> Picture:
    """A page wide; not to scale, which its bar says."""
    tables = _tables(traced)
    below = 13.5 + max(len(rows) for rows in tables) * _STEP
    frame = _framed(traced, below)
    top = frame.field[3]
    picture = Picture(WIDTH, top + 13.0, f"{title}: traced")
    picture.words((0.0, top + 8.0), title, 10, bold=True)
    count = f"{len(traced.parts)} parts" if len(traced.parts) > 1 else "one part"
    good = max(100 * one.half_range / one.value for one in scales(traced.scale))
    paragraph(picture, (0.0, top + 7.0), f"{count}, scale by the {traced.scale.source}: 100 mm are good to {good:.2f} "
              "mm; each ± holds 95 times in 100", WIDTH, 7.5)  # fmt: skip
    if not isinstance(traced.scale, Photo):  # bent: its pixels do not lie where its parts do
        picture_below(picture, frame, scan, traced.scale)
    factor = factor_for(traced.parts, frame.scale)
    taken: list[Box] = []
    is_mended = False
    for number, part in enumerate(traced.parts):
        draw_edges(picture, frame, part, factor)
        is_mended |= draw_mended(picture, frame, traced, part, number)
        taken += keep_clear(frame, part)
    for number, part in enumerate(traced.parts, 1):
        dimensions(picture, frame, part, _sizes(part), taken)
        names(picture, frame, part, taken, frame.field)
        if len(traced.parts) > 1:
            left, high = frame.at(part, (part.ring[:, 0].min(), part.ring[:, 1].max()))
            picture.words((left, high + 2.0), f"part {number}", NAME_TYPE + 1, bold=True)
    number_questions(picture, frame, traced, taken)
    for part in traced.parts:
        number_stretches(picture, frame, part, taken)
    left, low, right, high = frame.field
    picture.line((left, low), (right, low), (right, high), (left, high), (left, low), width=0.13, grey=0.4)
    _legend(picture, frame, factor, is_mended)
    for number, rows in enumerate(tables):
        table(picture, (number * (sum(_COLUMNS) + _APART), below - 12.0), _COLUMNS, rows, SMALL_TYPE)
    return picture


def _tables(traced: Traced) -> list[list[_Row]]:
    """Of each part its holes and windows, side by side where there are many."""
    rows: list[_Row] = []
    for number, part in enumerate(traced.parts, 1):
        rows.append((f"part {number}" if len(traced.parts) > 1 else "name", "width [mm]", "middle at [mm]"))
        rows += _rows(part)
    if len(rows) <= _FEW:
        return [rows]
    half = (len(rows) + 1) // 2
    return [rows[:half], rows[half:]]


def _framed(traced: Traced, below: float) -> Frame:
    """All parts in the middle of the field, as large as it takes."""
    left, low, right, high = box_of_parts(traced.parts)
    wide_, tall = max(right - left, 1e-6), max(high - low, 1e-6)
    scale = min((WIDTH - 2 * _MARGIN) / wide_, (_TALLEST - 2 * _MARGIN) / tall, _LARGEST)
    height = tall * scale + 2 * _MARGIN
    corner = (left + right) / 2 - WIDTH / 2 / scale, (low + high) / 2 - height / 2 / scale
    return Frame((0.0, below, WIDTH, below + height), scale, corner)


def _legend(picture: Picture, frame: Frame, factor: int, is_mended: bool) -> None:
    y = frame.field[1] - 4.5
    bar(picture, frame.scale, (0.0, y), 30.0)
    picture.line((48.0, y + 0.8), (56.0, y + 0.8), width=FITTED)
    picture.words((57.5, y), "fitted", SMALL_TYPE)
    picture.line((70.0, y + 0.8), (78.0, y + 0.8), width=SEEN, colour=SEEN_COLOUR)
    words = f"the edge seen, its distance from that x{factor}, cut off at {FARTHEST:g} mm on paper"
    picture.words((79.5, y), words, SMALL_TYPE)
    words = "numbers: lines and arcs of the edges, a tick where each begins; in a ring: questions, enlarged below"
    picture.words((48.0, y - 3.2), words, SMALL_TYPE)
    if is_mended:
        picture.line((0.0, y - 2.4), (8.0, y - 2.4), width=FITTED)
        picture.line((0.0, y - 2.4), (8.0, y - 2.4), width=FITTED * 0.7, dash=(1.2, 0.8), colour="#ffffff")
        picture.words((9.5, y - 3.2), "joined or filled in", SMALL_TYPE)


def _sizes(part: TracedPart) -> tuple[str, str]:
    width, height = size(part)
    return f"{_words(width)} mm", f"{_words(height)} mm"


def _rows(part: TracedPart) -> list[_Row]:
    """Of each hole its width and place, of each window what it measures across and up."""
    rows: list[_Row] = []
    for hole in part.holes:
        rows.append((hole.name, f"Ø {_words(diameter(part, hole))}", _place(*hole.circle.center)))
    for window in part.windows:
        wide, high = window_size(part, window)
        most = max(wide.half_range, high.half_range)
        rows.append((window.name, f"{wide.value:.2f} x {high.value:.2f} ± {most:.2f}", _place(*window.middle)))
    return rows


def _words(figure: Measured) -> str:
    return f"{figure.value:.3f} ± {figure.half_range:.3f}"


def _place(x: float, y: float) -> str:
    return f"{x:.2f}, {y:.2f}".replace("-0.00", "0.00")
