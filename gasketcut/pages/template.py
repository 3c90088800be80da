"""A part at full size on paper, to cut by hand: PDF, one part a page, larger parts on tiles.

The cuts are numbered in the order in which to make them, what falls out is hatched.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from itertools import pairwise
from math import ceil, cos, pi, radians, sin

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfgen.canvas import Canvas

from gasketcut.cutting.hand import Step
from gasketcut.cutting.path.stroke import mark
from gasketcut.evaluation.part_result import PartResult
from gasketcut.length import PT, Units, both, in_order
from gasketcut.output.notes import sheet_text
from gasketcut.output.picture import Picture
from gasketcut.pages.contour import contour_path, stroke_contour
from gasketcut.pages.cut_plan import plan_page
from gasketcut.pages.fonts import BODY, BOLD, use_fonts
from gasketcut.pages.found_page import found_pages
from gasketcut.pages.paper import (
    CUT_LINE,
    FINE_LINE,
    MARGIN,
    Page,
    Tile,
    assembly_map,
    clip_to_field,
    corner_crosses,
    frame,
    page_for,
    pen,
    start_page,
    text,
    tiles,
    too_many,
)
from gasketcut.pages.printer import Correction
from gasketcut.parts.part import Hole, Part
from gasketcut.plane import Point
from gasketcut.profile.papers import Paper
from gasketcut.shape.loop import Circle, Contour, Outline

CLEAR, WORDS = 6.0, 16.0  # mm round the part: for crosses and numbers at its edge, and for the words of a landmark
_HATCH, _HATCH_GREY = 3.0, 0.55  # mm apart; light, but still there on a poor printer


def write_template(
    result: PartResult,
    title: str,
    paper: Paper,
    found: Sequence[Picture] = (),
    fix: Correction = Correction(),
) -> bytes:
    """The bytes of the file. Landscape if only that lets the part go on one page, tiles if neither does.

    found : pictures of what the checks found, for the last pages
    fix   : what corrects the printer

    Raise `GasketError` if the part takes more tiles than are of any use.
    """
    use_fonts()
    part, outline, steps = result.part, result.outline, result.hand.steps
    stream = io.BytesIO()
    canvas = new_canvas(stream, f"{part.name}: full size", title)
    left, low, _, _ = outline.bounds
    size = _size(result)
    page, clear = page_for(size, paper), _clear(part)
    for tile in tiles(page, (left - clear, low - clear), size):
        start_page(canvas, page, fix)
        in_head = bool(tile.name) or not _words_fit(part, outline, page, tile.dx)
        heading = part.name + (f", {tile.name}" if tile.name else "")
        frame(
            canvas, page, heading, [title, *_rows(part, result.units, in_head=in_head), *check_rows(result, tile, fix)]
        )
        canvas.saveState()
        if tile.name:
            clip_to_field(canvas, page)
        _draw(canvas, part, outline, tile.dx, tile.dy, steps, with_words=not in_head)
        canvas.restoreState()
        if tile.name:
            corner_crosses(canvas, page)
            assembly_map(canvas, page, tile)
        canvas.showPage()
    plan_page(canvas, part, result.hand, paper, result.units)
    found_pages(canvas, found, paper)
    canvas.save()
    return stream.getvalue()


def unprintable(result: PartResult, paper: Paper) -> str | None:
    """Why the part has no template on this paper, or None where it has one."""
    size = _size(result)
    return too_many(page_for(size, paper), size)


def _clear(part: Part) -> float:
    return WORDS if part.landmark else CLEAR


def _size(result: PartResult) -> Point:
    """Of the part with the room that its template leaves round it [mm]."""
    left, low, right, high = result.outline.bounds
    clear = _clear(result.part)
    return right - left + 2 * clear, high - low + 2 * clear


def write_together(results: Sequence[PartResult], title: str, paper: Paper, fix: Correction = Correction()) -> bytes:
    """Several small parts a page, in rows; a part that needs a page of its own, or tiles, is left to its own file."""
    use_fonts()
    stream = io.BytesIO()
    canvas = new_canvas(stream, "parts at full size", title)
    page = page_for((0.0, 0.0), paper)
    for rows in _shelves(results, page.field):
        start_page(canvas, page, fix)
        names = ", ".join(result.name for result, _ in rows)
        frame(canvas, page, names, [title, *check_rows(None, None, fix)])
        for result, (x, y) in rows:
            part, outline = result.part, result.outline
            left, low, _, _ = outline.bounds
            dx, dy = page.left + x - left, page.low + y - low
            _draw(canvas, part, outline, dx, dy, result.hand.steps, with_words=False)
            for number, row in enumerate(_labels(part, result.units)):
                text(canvas, page.left + x, page.low + y - 8.5 - 3 * number, row, 7)
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


def _shelves(results: Sequence[PartResult], field: Point) -> list[list[tuple[PartResult, Point]]]:
    """The parts page by page with the lower left corner of each on the field, top row first."""
    gap, words = 6.0, 16.0  # mm between parts, and below each for its name
    pages: list[list[tuple[PartResult, Point]]] = []
    x, top, row = 0.0, field[1], 0.0
    for result in sorted(results, key=lambda one: -(one.outline.bounds[3] - one.outline.bounds[1])):
        part, (left, low, right, high) = result.part, result.outline.bounds
        wide = max(pdfmetrics.stringWidth(row, BODY, 7) / PT for row in _labels(part, result.units))
        width, height = max(right - left, wide), high - low + words
        if right - left > field[0] or height > field[1]:
            continue
        if x and x + width > field[0]:
            x, top, row = 0.0, top - row - gap, 0.0
        if not pages or top - height < 0:
            pages.append([])
            x, top, row = 0.0, field[1], 0.0
        pages[-1].append((result, (x, top - height + words)))
        x, row = x + width + gap, max(row, height)
    return pages


def _labels(part: Part, units: Units) -> list[str]:
    rows = [f"{part.name}: {sheet_text(part, units)}, cut {part.count}"]
    return [*rows, f"this face up: {part.face_up}"] if part.face_up else rows


def new_canvas(stream: io.BytesIO, heading: str, title: str) -> Canvas:
    """Of a file that asks to be printed as it is; the same input gives the same bytes."""
    canvas = Canvas(stream, invariant=1, pageCompression=1)
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setTitle(heading)
    canvas.setSubject(title)
    canvas.setCreator("gasketcut")
    return canvas


# -- words -----------------------------------------------------------------------------------------------------


def _rows(part: Part, units: Units, *, in_head: bool) -> list[str]:
    rows = [f"Sheet: {sheet_text(part, units)}. Cut {part.count}."]
    if part.face_up:
        rows.append(f"This face up: {part.face_up}.")
    if in_head and part.landmark:  # beside the part its words would be cut off by the edge of the paper or of a tile
        rows.append(f"{part.landmark.name}: toward {part.landmark.toward:g} deg (0 right, 90 up).")
    rows.append(in_order(_holes_text(part), units))
    return rows


def check_rows(result: PartResult | None, tile: Tile | None, fix: Correction) -> list[str]:
    """How to check the print, and how wrong it may be."""
    rows = [
        "Print at 100 %, not 'fit to page'. Measure each bar from an edge of one end line to the same edge of the "
        "other: 100.0 mm."
    ]
    share = result.print_tolerance if result else None
    if share is not None:
        least, most = 100 * (1 - share), 100 * (1 + share)
        rows.append(f"From {least:.1f} to {most:.1f} mm the holes still go over the studs.")
    if tile is not None and tile.name:
        rows.append("Lay tiles over each other so that the crosses at the corners meet.")
    if not fix.is_none:
        short, long = 100 / fix.short, 100 / fix.long
        rows.append(f"Corrected for a printer that drew 100 mm as {short:.1f} (short edge) and {long:.1f} (long edge).")
    else:
        rows.append("Bars off? Make it again with --printed SHORTxLONG, the two lengths in mm.")
    return rows


def _holes_text(part: Part) -> str:
    counts: dict[float, int] = {}
    for hole in part.round_holes:
        counts[hole.diameter] = counts.get(hole.diameter, 0) + 1
    words = [f"{count} x Ø {both(diameter)}" for diameter, count in sorted(counts.items())]
    return "Round holes: " + ", ".join(words) + "." if words else "No round holes."


# -- the part --------------------------------------------------------------------------------------------------


def _draw(
    canvas: Canvas,
    part: Part,
    outline: Outline,
    dx: float,
    dy: float,
    steps: tuple[Step, ...],
    *,
    with_words: bool,
) -> None:
    for contour in outline.inner:
        _hatch(canvas, contour.moved(dx, dy))
    pen(canvas, CUT_LINE)
    for contour in outline.contours:
        stroke_contour(canvas, contour.moved(dx, dy))
    pen(canvas, FINE_LINE)
    for hole in part.round_holes:
        _centre_cross(canvas, hole, dx, dy)
    for line in part.marks:
        for (x0, y0), (x1, y1) in pairwise(mark(line).flattened()):
            canvas.line((x0 + dx) * PT, (y0 + dy) * PT, (x1 + dx) * PT, (y1 + dy) * PT)
    for step in steps:
        _number(canvas, step, dx, dy)
    if part.landmark is not None and with_words:
        _landmark(canvas, part.landmark.name, part.landmark.toward, outline, dx, dy)


def _number(canvas: Canvas, step: Step, dx: float, dy: float) -> None:
    """Its number; on white where it stands on the hatching."""
    x, y = step.at[0] + dx, step.at[1] + dy
    words = str(step.number)
    if step.on_waste:
        wide = pdfmetrics.stringWidth(words, BOLD, 6.5) / PT
        canvas.setFillGray(1)
        canvas.rect((x - wide / 2 - 0.4) * PT, (y - 1.3) * PT, (wide + 0.8) * PT, 2.6 * PT, stroke=0, fill=1)
    canvas.setFillGray(0)
    canvas.setFont(BOLD, 6.5)
    canvas.drawCentredString(x * PT, (y - 0.85) * PT, words)


def _hatch(canvas: Canvas, contour: Contour) -> None:
    """What falls out: light lines at 45 degrees."""
    points = contour.points if not isinstance(contour, Circle) else contour.halves().points
    if isinstance(contour, Circle):
        (x, y), r = contour.center, contour.radius
        left, low, right, high = x - r, y - r, x + r, y + r
    else:
        flat = contour.flattened(0.1)
        left, right = min(x for x, _ in flat), max(x for x, _ in flat)
        low, high = min(y for _, y in flat), max(y for _, y in flat)
    if not points or min(right - left, high - low) < 3:
        return
    canvas.saveState()
    canvas.clipPath(contour_path(canvas, contour), stroke=0, fill=0)
    pen(canvas, FINE_LINE, _HATCH_GREY)
    for step in range(ceil((right - left + high - low) / _HATCH)):
        x = left - (high - low) + (step + 0.5) * _HATCH
        canvas.line(x * PT, low * PT, (x + high - low) * PT, high * PT)
    canvas.restoreState()


def _centre_cross(canvas: Canvas, hole: Hole, dx: float, dy: float) -> None:
    """Arms that reach outside the hole, so that the centre can be found again once it is punched; open in the middle
    of a large one."""
    x, y = hole.center[0] + dx, hole.center[1] + dy
    r = hole.diameter / 2
    inner = 0.0 if r < 6 else r - 3
    for turn in range(4):
        c, s = cos(turn * pi / 2), sin(turn * pi / 2)
        canvas.line(
            (x + c * inner) * PT, (y + s * inner) * PT, (x + c * (r + 2.5)) * PT, (y + s * (r + 2.5)) * PT
        )  # fmt: skip
    if inner:
        canvas.line((x - 2) * PT, y * PT, (x + 2) * PT, y * PT)
        canvas.line(x * PT, (y - 2) * PT, x * PT, (y + 2) * PT)


def _landmark(canvas: Canvas, name: str, toward: float, outline: Outline, dx: float, dy: float) -> None:
    """An arrow and words outside the part, on the side they name; the words stay upright."""
    left, low, right, high = outline.bounds
    c, s = cos(radians(toward)), sin(radians(toward))
    reach = min((size / 2 / abs(part) for size, part in ((right - left, c), (high - low, s)) if abs(part) > 1e-9))
    x, y = (left + right) / 2 + dx + c * (reach + 4), (low + high) / 2 + dy + s * (reach + 4)
    path = canvas.beginPath()
    path.moveTo((x + 4 * c) * PT, (y + 4 * s) * PT)
    for side in (1.2, -1.2):
        path.lineTo((x - side * s) * PT, (y + side * c) * PT)
    path.close()
    canvas.setFillGray(0)
    canvas.drawPath(path, stroke=0, fill=1)
    x, y = x + 6 * c, y + 6 * s - 1.2
    canvas.setFont(BODY, 9)
    draw = canvas.drawCentredString if abs(c) < 0.5 else canvas.drawString if c > 0 else canvas.drawRightString
    draw(x * PT, (y + (1.0 if s > 0.5 else -1.0 if s < -0.5 else 0.0)) * PT, name)


def _words_fit(part: Part, outline: Outline, page: Page, dx: float) -> bool:
    """Do the landmark's words go on the page beside the part?"""
    if part.landmark is None:
        return True
    wide = pdfmetrics.stringWidth(part.landmark.name, BODY, 9) / PT
    left, _, right, _ = outline.bounds
    c = cos(radians(part.landmark.toward))
    if abs(c) < 0.5:
        middle = (left + right) / 2 + dx
        return middle - wide / 2 > MARGIN and middle + wide / 2 < page.width - MARGIN
    return right + dx + 11 + wide < page.width - MARGIN if c > 0 else left + dx - 11 - wide > page.left
