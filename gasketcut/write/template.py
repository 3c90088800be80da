"""A part at full size on paper, to cut by hand: PDF, one part a page, larger parts on tiles.

All geometry is put down in points from millimetres; nothing is scaled by the page. Curves are cubics of at most 45
degrees: at r = 32 mm they are 0.14 um off, where quarter circles would be 8.7 um off.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, cos, pi, radians, sin, tan
from typing import Any

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfgen.canvas import Canvas

from gasketcut.length import PT, both
from gasketcut.profile import load
from gasketcut.shape.loop import Circle, Contour, Outline, Point
from gasketcut.shape.part import Hole, Part
from gasketcut.write.fonts import BODY, BOLD, use_fonts
from gasketcut.write.marks import sheet_text
from gasketcut.write.picture import Picture, on_pdf

MARGIN = 10.0  # mm; printers leave up to 6.35 mm blank
HEAD, FOOT, SIDE = 34.0, 22.0, 14.0  # mm inside the margins: title, bar along, bar across
BAR = 100.0
OVERLAP = 10.0
CLEAR, WORDS = 4.0, 16.0  # mm round the part: for centre crosses at its edge, and for the words of a landmark
CUT_LINE, FINE_LINE = 0.25, 0.13  # mm


@dataclass(frozen=True, slots=True)
class _Page:
    """Paper and the field on it that the part may use, in mm from the lower left corner."""

    width: float
    height: float

    @property
    def left(self) -> float:
        return MARGIN + SIDE

    @property
    def low(self) -> float:
        return MARGIN + FOOT

    @property
    def field(self) -> tuple[float, float]:
        return self.width - self.left - MARGIN, self.height - self.low - MARGIN - HEAD


def write_template(part: Part, outline: Outline, title: str, paper: str = "a4", found: Picture | None = None) -> bytes:
    """The bytes of the file. Landscape if only that lets the part go on one page, tiles if neither does.

    found : a picture of what the checks found, for a last page
    """
    use_fonts()
    left, low, right, high = outline.bounds
    clear = WORDS if part.landmark else CLEAR
    size = (right - left + 2 * clear, high - low + 2 * clear)
    page = _page_for(size, paper)
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=(page.width * PT, page.height * PT), invariant=1, pageCompression=1)
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setTitle(f"{part.name}: full size")
    canvas.setSubject(title)
    canvas.setCreator("gasketcut")
    for name, dx, dy in _tiles(page, outline, size, clear):
        in_head = bool(name) or not _words_fit(part, outline, page, dx)
        _frame(canvas, page, part, title, name, paper, in_head=in_head)
        canvas.saveState()
        if name:
            field = canvas.beginPath()
            field.rect(page.left * PT, page.low * PT, page.field[0] * PT, page.field[1] * PT)
            canvas.clipPath(field, stroke=0, fill=0)
        _draw(canvas, part, outline, dx, dy, with_words=not in_head)
        canvas.restoreState()
        if name:
            _corner_crosses(canvas, page)
        canvas.showPage()
    if found is not None:
        _found_page(canvas, found, paper)
    canvas.save()
    return stream.getvalue()


def _found_page(canvas: Canvas, found: Picture, paper: str) -> None:
    """Not to cut from, so it may be smaller than life."""
    page = _page_for((found.width, found.height), paper)
    canvas.setPageSize((page.width * PT, page.height * PT))
    room = page.width - 2 * MARGIN, page.height - 2 * MARGIN - 12
    scale = min(1.0, room[0] / found.width, room[1] / found.height)
    _text(canvas, MARGIN, page.height - MARGIN - 5, "What the checks found: not to cut from", 12, BOLD)
    _text(
        canvas,
        MARGIN,
        page.height - MARGIN - 10,
        "Full size." if scale == 1 else f"Drawn at {scale:.2f} of full size.",
        8.5,
    )
    canvas.saveState()
    canvas.translate(
        (page.width - found.width * scale) / 2 * PT, (page.height - MARGIN - 12 - found.height * scale) * PT
    )
    canvas.scale(scale, scale)
    on_pdf(canvas, found, (0.0, 0.0), (BODY, BOLD))
    canvas.restoreState()
    canvas.showPage()


def _page_for(size: Point, paper: str) -> _Page:
    sheet: dict[str, Any] = load("papers")["paper"][paper]
    upright, across = _Page(sheet["width"], sheet["height"]), _Page(sheet["height"], sheet["width"])
    fits = [page for page in (upright, across) if size[0] <= page.field[0] and size[1] <= page.field[1]]
    return fits[0] if fits else upright


def _tiles(page: _Page, outline: Outline, size: Point, clear: float) -> Iterator[tuple[str, float, float]]:
    """The name of each tile ("" for a single page) and the move that brings job coordinates onto its page."""
    left, low, right, high = outline.bounds
    width, height = page.field
    if size[0] <= width and size[1] <= height:
        yield "", page.left + (width - (right - left)) / 2 - left, page.low + (height - (high - low)) / 2 - low
        return
    step_x, step_y = width - OVERLAP, height - OVERLAP
    columns, rows = max(1, ceil((size[0] - OVERLAP) / step_x)), max(1, ceil((size[1] - OVERLAP) / step_y))
    for row in range(rows):
        for column in range(columns):
            name = f"tile {chr(65 + row)}{column + 1} of {chr(64 + rows)}{columns}"
            yield (
                name,
                page.left - (left - clear) - column * step_x,
                page.low - (low - clear) - (rows - 1 - row) * step_y,
            )


# -- what stands round the part --------------------------------------------------------------------------------


def _frame(canvas: Canvas, page: _Page, part: Part, title: str, tile: str, paper: str, *, in_head: bool) -> None:
    top = page.height - MARGIN
    _text(canvas, MARGIN, top - 5, part.name + (f"   ({tile})" if tile else ""), 15, BOLD)
    rows = [
        title,
        f"Sheet: {sheet_text(part)}.  Cut {part.count}.",
        _holes_text(part),
        "Print at 100 %, not 'fit to page'. Both bars must measure 100.0 mm, same edge of each end line.",
    ]
    if in_head and part.landmark:  # beside the part its words would be cut off by the edge of the paper or of a tile
        rows[0] += f"  {part.landmark.name}: toward {part.landmark.toward:g} deg (0 right, 90 up)."
    if part.face_up:
        rows[1] += f"  This face up: {part.face_up}."
    for number, row in enumerate(rows):
        _text(canvas, MARGIN, top - 11.5 - 5 * number, row, 8.5)
    x, y = MARGIN + SIDE, MARGIN + 6
    _bar(canvas, (x, y), (x + BAR, y))
    _text(canvas, x, y - 6, f"100 mm along (3.937 in), on {_paper_words(paper)}", 8)
    x, y = MARGIN + 5, MARGIN + FOOT
    _bar(canvas, (x, y), (x, y + BAR))
    canvas.saveState()
    canvas.translate((x + 5.5) * PT, y * PT)
    canvas.rotate(90)
    _text(canvas, 0, 0, "100 mm across (3.937 in)", 8)
    canvas.restoreState()


def _paper_words(paper: str) -> str:
    return paper.upper() if paper.startswith("a") else paper.capitalize()


def _holes_text(part: Part) -> str:
    counts: dict[float, int] = {}
    for hole in part.clean:
        counts[hole.diameter] = counts.get(hole.diameter, 0) + 1
    words = [f"{count} x Ø {both(diameter)}" for diameter, count in sorted(counts.items())]
    return "Round holes: " + ", ".join(words) + "." if words else "No round holes."


def _bar(canvas: Canvas, start: Point, end: Point) -> None:
    """A line with an end line across each end; the bar is measured between those."""
    (x0, y0), (x1, y1) = start, end
    across = (0.0, 2.5) if y0 == y1 else (2.5, 0.0)
    _pen(canvas, FINE_LINE)
    canvas.line(x0 * PT, y0 * PT, x1 * PT, y1 * PT)
    for x, y in (start, end):
        canvas.line(
            (x - across[0]) * PT, (y - across[1]) * PT, (x + across[0]) * PT, (y + across[1]) * PT
        )  # fmt: skip


def _corner_crosses(canvas: Canvas, page: _Page) -> None:
    """Where tiles meet: half the overlap in from each corner of the field, at the same place of the part on both."""
    width, height = page.field
    inset = OVERLAP / 2
    _pen(canvas, FINE_LINE)
    for x in (page.left + inset, page.left + width - inset):
        for y in (page.low + inset, page.low + height - inset):
            canvas.line((x - 4) * PT, y * PT, (x + 4) * PT, y * PT)
            canvas.line(x * PT, (y - 4) * PT, x * PT, (y + 4) * PT)


# -- the part --------------------------------------------------------------------------------------------------


def _draw(canvas: Canvas, part: Part, outline: Outline, dx: float, dy: float, *, with_words: bool) -> None:
    _pen(canvas, CUT_LINE)
    for contour in outline.contours:
        _stroke(canvas, contour.moved(dx, dy))
    _pen(canvas, FINE_LINE)
    for hole in part.clean:
        _centre_cross(canvas, hole, dx, dy)
    for (x0, y0), (x1, y1) in part.marks:
        canvas.line((x0 + dx) * PT, (y0 + dy) * PT, (x1 + dx) * PT, (y1 + dy) * PT)
    if part.landmark is not None and with_words:
        _landmark(canvas, part.landmark.name, part.landmark.toward, outline, dx, dy)


def _stroke(canvas: Canvas, contour: Contour) -> None:
    loop = contour.halves() if isinstance(contour, Circle) else contour
    path = canvas.beginPath()
    path.moveTo(loop.points[0][0] * PT, loop.points[0][1] * PT)
    for segment in loop.segments():
        if segment.bulge == 0:
            path.lineTo(segment.end[0] * PT, segment.end[1] * PT)
            continue
        (x, y), radius, first = segment.center, segment.radius, segment.start_angle
        count = max(1, ceil(abs(segment.sweep) / 45 - 1e-9))
        step = radians(segment.sweep) / count
        reach = 4 / 3 * tan(step / 4) * radius
        for number in range(count):
            a, b = first + number * step, first + (number + 1) * step
            end = (x + radius * cos(b), y + radius * sin(b)) if number < count - 1 else segment.end
            path.curveTo(
                (x + radius * cos(a) - reach * sin(a)) * PT,
                (y + radius * sin(a) + reach * cos(a)) * PT,
                (x + radius * cos(b) + reach * sin(b)) * PT,
                (y + radius * sin(b) - reach * cos(b)) * PT,
                end[0] * PT,
                end[1] * PT,
            )
    path.close()
    canvas.drawPath(path, stroke=1, fill=0)


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


def _words_fit(part: Part, outline: Outline, page: _Page, dx: float) -> bool:
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


def _pen(canvas: Canvas, width: float) -> None:
    canvas.setLineWidth(width * PT)
    canvas.setStrokeGray(0)


def _text(canvas: Canvas, x: float, y: float, words: str, size: float, font: str = BODY) -> None:
    canvas.setFont(font, size)
    canvas.drawString(x * PT, y * PT, words)
