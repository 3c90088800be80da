"""Whole sheets as files: DXF and SVG with the same strokes, each read back stroke by stroke."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import Any

import numpy as np
import shapely
from shapely.geometry import Polygon

from gasketcut.cutting.nest.sheets import Sheets, on_the_part
from gasketcut.cutting.path.kerf import kerf_words
from gasketcut.length import PT, Units, both, box
from gasketcut.output.dxf import Version, write_strokes
from gasketcut.output.picture import Picture, as_svg
from gasketcut.output.proof.dxf import prove_path
from gasketcut.output.proof.svg import prove_svg
from gasketcut.output.svg import groups
from gasketcut.verdict import UNSAFE

_MARGIN, _LINE = 8.0, 5.0
_WIDE = 2.2  # mm that a letter of the head takes at most, on the whole
_LEAST, _PER_LETTER = 3.5, 4.0  # points of type, and those that a letter may have for each mm of its width


def sheet_name(one: Sheets, sheet: int) -> str:
    """The file's name without its ending; it says so if a part on the sheet does not fit its engine."""
    unfit = any(placed.piece.name in one.unfit for placed in one.layout.on(sheet))
    return f"sheet-{one.name}-{sheet + 1}" + (UNSAFE if unfit else "")


def sheet_dxf(one: Sheets, sheet: int, version: Version, units: Units) -> bytes:
    """The bytes; raise `ReadBackError` if a stroke does not lie where the layout has it."""
    size, strokes = one.layout.sheets[sheet], one.strokes(sheet)
    kerfs = {ready.kerf for ready in one.parts.values()}
    comments = [
        f"sheet: {sheet + 1} of {len(one.layout.sheets)}, {one.stock.name}, {both(one.stock.thickness)}",
        f"units: {units}",
        f"size: {size.width:g} x {size.height:g} mm, lower left corner at the origin",
        *(f"cut: {count} x {name}" for name, count in _counts(one, sheet).items()),
        *sorted(kerf_words(kerf) for kerf in kerfs),
    ]
    data = write_strokes(strokes, (0.0, 0.0, size.width, size.height), comments, version, "polyline", units)
    lines = [(stroke.layer, np.array(stroke.flattened())) for stroke in strokes]
    prove_path(data, lines, sheet_name(one, sheet), units)
    return data


def sheet_svg(one: Sheets, sheet: int) -> bytes:
    """The strokes as the DXF has them, and behind them the sheet, the pieces' names, and the piece of sheet that stays.

    Raise `ReadBackError` if a stroke does not lie where the layout has it.
    """
    size = one.layout.sheets[sheet]
    width = max(size.width + 2 * _MARGIN, 120.0)
    head = list(_head(one, sheet, int((width - 2 * _MARGIN) / _WIDE)))
    height = size.height + 2 * _MARGIN + len(head) * _LINE + 3.0
    picture = Picture(width, height, sheet_name(one, sheet))
    corners = ((0.0, 0.0), (size.width, 0.0), (size.width, size.height), (0.0, size.height), (0.0, 0.0))
    picture.line(*((x + _MARGIN, y + _MARGIN) for x, y in corners), width=0.5)
    left, low, right, high = one.layout.left_over(sheet)
    if right - left > 1 and high - low > 1:
        rest = ((left, low), (right, low), (right, high), (left, high), (left, low))
        picture.line(*((x + _MARGIN, y + _MARGIN) for x, y in rest), width=0.2, dash=(3.0, 2.0))
    shapes = [placed.shape for placed in one.layout.on(sheet)]
    lettered = {name for name, ready in one.parts.items() if on_the_part(ready)}
    for placed, shape in zip(one.layout.on(sheet), shapes, strict=True):
        if placed.piece.name not in lettered:
            _name(picture, placed.piece.name, shape, shapes)
    for number, (line, bold) in enumerate(head):
        picture.words((_MARGIN, height - _MARGIN - 3.0 - number * _LINE), line, 9 if bold else 8, bold=bold)
    strokes, at = one.strokes(sheet), (_MARGIN, height - _MARGIN)
    data = as_svg(picture, list(groups(strokes, at)))
    prove_svg(data, strokes, sheet_name(one, sheet), at)
    return data


def _head(one: Sheets, sheet: int, letters: int) -> Iterator[tuple[str, bool]]:
    """What the sheet is, bold; what is used of it; what lies on it: lines of at most that many letters."""
    size, (left, low, right, high) = one.layout.sheets[sheet], one.layout.left_over(sheet)
    words = f"{one.stock.name}, sheet {sheet + 1} of {len(one.layout.sheets)}: {size.width:g} x {size.height:g} mm"
    words += "".join(f", {kerf_words(kerf)}" for kerf in sorted({ready.kerf for ready in one.parts.values()}, key=str))
    used = (
        f"{one.layout.utilisation(sheet) * 100:.0f} % used; left over (dashed) {right - left:.0f} x {high - low:.0f} mm"
    )
    pieces = ", ".join(f"{count} x {name}" for name, count in _counts(one, sheet).items())
    for text, bold in ((words, True), (used, False), (pieces, False)):
        yield from ((line, bold) for line in textwrap.wrap(text, letters))


def _name(picture: Picture, name: str, piece: Polygon, others: list[Polygon]) -> None:
    """In the widest clear place on the piece or in its holes; left out where it could not be read."""
    holes = [Polygon(ring) for ring in piece.interiors]
    free = [piece, *(hole for hole in holes if not any(hole.contains(other) for other in others))]
    widest = max((shapely.maximum_inscribed_circle(shape, 0.1) for shape in free), key=lambda line: line.length)
    (x, y), _ = widest.coords
    size = min(8.0, 2 * widest.length / len(name) * _PER_LETTER)
    if size >= _LEAST:
        picture.words((x + _MARGIN, y + _MARGIN - size / PT * 0.35), name, size, "middle")


def layout_data(sheets: tuple[Sheets, ...]) -> list[dict[str, Any]]:
    """What stands under `layout` in report.json."""
    found = []
    for one in sheets:
        for number, size in enumerate(one.layout.sheets):
            left, low, right, high = one.layout.left_over(number)
            found.append(
                {
                    "file": f"{sheet_name(one, number)}.dxf",
                    "stock": one.stock.name,
                    "sheet_mm": [size.width, size.height],
                    "spacing_mm": one.layout.spacing,
                    "utilisation": round(one.layout.utilisation(number), 4),
                    "left_over_mm": [round(right - left, 3), round(high - low, 3)],
                    "pieces": [
                        {"part": placed.piece.name, "at_mm": [round(placed.x, 4), round(placed.y, 4)],
                         "turn_deg": round(placed.turn, 4)}
                        for placed in one.layout.on(number)
                    ],
                }
            )  # fmt: skip
    return found


def layout_text(sheets: tuple[Sheets, ...]) -> str:
    """A line a sheet."""
    rows = []
    for one in sheets:
        for number in range(len(one.layout.sheets)):
            left, low, right, high = one.layout.left_over(number)
            pieces = ", ".join(f"{count} x {name}" for name, count in _counts(one, number).items())
            rows.append(f"{sheet_name(one, number)}: {pieces}")
            share = one.layout.utilisation(number) * 100
            rows.append(f"  {share:.0f} % used, {box(right - left, high - low, 0)} left over")
    return "\n".join(rows)


def _counts(one: Sheets, sheet: int) -> dict[str, int]:
    counts: dict[str, int] = {}
    for placed in one.layout.on(sheet):
        counts[placed.piece.name] = counts.get(placed.piece.name, 0) + 1
    return counts
