"""A page at full size: paper, the field for what is drawn, and on every page the figures that prove its size.

All geometry is put down in points from millimetres; only a printer's own error is corrected, in x and y apart.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import ceil

from reportlab.lib.utils import simpleSplit
from reportlab.pdfgen.canvas import Canvas

from gasketcut.bank_card import CARD, CARD_CORNER
from gasketcut.errors import GasketError
from gasketcut.length import PT
from gasketcut.pages.fonts import BODY, BOLD
from gasketcut.pages.printer import BAR, Correction
from gasketcut.plane import Point
from gasketcut.profile.papers import Paper

MARGIN = 10.0  # mm; printers leave up to 6.35 mm blank
HEAD, FOOT, SIDE = 60.0, 13.0, 13.0  # mm inside the margins: words and card, bar along, bar across
OVERLAP = 10.0
INSTEAD = "take larger paper, or have it cut from the DXF"
MOST_TILES = 40
CUT_LINE, FINE_LINE = 0.25, 0.13  # mm


@dataclass(frozen=True, slots=True)
class Page:
    """Paper and the field on it that a drawing may use, in mm from the lower left corner."""

    paper: Paper
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

    @property
    def card(self) -> Point:
        """Lower left corner of the card."""
        return self.width - MARGIN - CARD[0], self.height - MARGIN - CARD[1]

    @property
    def lies(self) -> bool:
        return self.width > self.height


@dataclass(frozen=True, slots=True)
class Tile:
    """One page of a larger drawing: its place in the grid, from the upper left, and the move onto the page."""

    column: int
    row: int
    columns: int
    rows: int
    dx: float
    dy: float

    @property
    def name(self) -> str:
        """ "" for a single page."""
        if self.columns * self.rows == 1:
            return ""
        return f"tile {chr(65 + self.row)}{self.column + 1} of {chr(64 + self.rows)}{self.columns}"


def upright_page(paper: Paper) -> Page:
    """The paper as it is held."""
    return Page(paper, paper.width, paper.height)


def page_for(size: Point, paper: Paper) -> Page:
    """Upright; lying if only that holds the size."""
    upright, across = upright_page(paper), Page(paper, paper.height, paper.width)
    fits = [page for page in (upright, across) if size[0] <= page.field[0] and size[1] <= page.field[1]]
    return fits[0] if fits else upright


def _grid(page: Page, size: Point) -> tuple[int, int]:
    """Columns and rows of pages glued together."""
    across, up = ((length - OVERLAP) / (room - OVERLAP) for length, room in zip(size, page.field, strict=True))
    return max(1, ceil(across)), max(1, ceil(up))


def too_many(page: Page, size: Point) -> str | None:
    """Why a drawing of that size is not printed, or None where it can be."""
    columns, rows = _grid(page, size)
    if columns * rows <= MOST_TILES:
        return None
    return (
        f"{size[0]:,.0f} x {size[1]:,.0f} mm takes {columns * rows} sheets of {page.paper.words}, which nobody can "
        "glue together true"
    )


def tiles(page: Page, corner: Point, size: Point) -> Iterator[Tile]:
    """The pages on which a drawing of that size goes whose lower left corner lies at `corner`.

    Raise `GasketError` if they are too many to be of any use.
    """
    width, height = page.field
    if size[0] <= width and size[1] <= height:
        dx, dy = page.left + (width - size[0]) / 2 - corner[0], page.low + (height - size[1]) / 2 - corner[1]
        yield Tile(0, 0, 1, 1, dx, dy)
        return
    if said := too_many(page, size):
        raise GasketError(f"{said}; {INSTEAD}")
    step_x, step_y = width - OVERLAP, height - OVERLAP
    columns, rows = _grid(page, size)
    for row in range(rows):
        for column in range(columns):
            dx = page.left - corner[0] - column * step_x
            yield Tile(column, row, columns, rows, dx, page.low - corner[1] - (rows - 1 - row) * step_y)


def start_page(canvas: Canvas, page: Page, fix: Correction) -> None:
    """Set paper and size, and stretch what follows by the printer's correction about the middle of the page."""
    canvas.setPageSize((page.width * PT, page.height * PT))
    if fix.is_none:
        return
    across, up = (fix.long, fix.short) if page.lies else (fix.short, fix.long)
    canvas.translate(page.width / 2 * PT, page.height / 2 * PT)
    canvas.scale(across, up)
    canvas.translate(-page.width / 2 * PT, -page.height / 2 * PT)


def frame(canvas: Canvas, page: Page, heading: str, rows: Iterable[str]) -> None:
    """Heading and words at the upper left, wrapped; the card beside them; a bar along and one across."""
    wide = page.card[0] - MARGIN - 5
    y = page.height - MARGIN - 5
    for line in simpleSplit(heading, BOLD, 14, wide * PT):
        text(canvas, MARGIN, y, line, 14, BOLD)
        y -= 5.6
    for row in rows:
        for line in simpleSplit(row, BODY, 7.5, wide * PT):
            text(canvas, MARGIN, y, line, 7.5)
            y -= 3.3
        y -= 0.7
    _card(canvas, page)
    along, across = ("long", "short") if page.lies else ("short", "long")
    x, y = MARGIN + SIDE, MARGIN + 6
    _bar(canvas, (x, y), (x + BAR, y))
    text(canvas, x, MARGIN, f"{along}-edge bar: 100 mm (3.937 in), on {page.paper.words}", 7.5)
    x, y = MARGIN + 5, MARGIN + FOOT
    _bar(canvas, (x, y), (x, y + BAR))
    canvas.saveState()
    canvas.translate((x + 5.3) * PT, y * PT)
    canvas.rotate(90)
    text(canvas, 0, 0, f"{across}-edge bar: 100 mm (3.937 in)", 7.5)
    canvas.restoreState()


def assembly_map(canvas: Canvas, page: Page, tile: Tile) -> None:
    """Where this tile goes, in the card's lower half: a card laid there hides it only while it is checked."""
    x, y = page.card
    cell = min(60 / tile.columns, 24 / tile.rows, 10.0)
    left, low = x + (CARD[0] - cell * tile.columns) / 2, y + 6
    pen(canvas, FINE_LINE)
    for row in range(tile.rows):
        for column in range(tile.columns):
            here = (row, column) == (tile.row, tile.column)
            canvas.setFillGray(0.75 if here else 1)
            corner = left + column * cell, low + (tile.rows - 1 - row) * cell
            canvas.rect(corner[0] * PT, corner[1] * PT, cell * PT, cell * PT, stroke=1, fill=1)
            if here and cell >= 4:
                canvas.setFillGray(0)
                canvas.setFont(BOLD, 7)
                name = f"{chr(65 + row)}{column + 1}"
                canvas.drawCentredString((corner[0] + cell / 2) * PT, (corner[1] + cell / 2 - 0.9) * PT, name)
    canvas.setFillGray(0)


def corner_crosses(canvas: Canvas, page: Page) -> None:
    """Where tiles meet: half the overlap in from each corner of the field, at the same place of the part on both."""
    width, height = page.field
    inset = OVERLAP / 2
    pen(canvas, FINE_LINE)
    for x in (page.left + inset, page.left + width - inset):
        for y in (page.low + inset, page.low + height - inset):
            canvas.line((x - 4) * PT, y * PT, (x + 4) * PT, y * PT)
            canvas.line(x * PT, (y - 4) * PT, x * PT, (y + 4) * PT)


def clip_to_field(canvas: Canvas, page: Page) -> None:
    """Nothing of what follows is drawn outside the field."""
    field = canvas.beginPath()
    field.rect(page.left * PT, page.low * PT, page.field[0] * PT, page.field[1] * PT)
    canvas.clipPath(field, stroke=0, fill=0)


def pen(canvas: Canvas, width: float, grey: float = 0.0) -> None:
    """Width in mm, grey 0 black to 1 white."""
    canvas.setLineWidth(width * PT)
    canvas.setStrokeGray(grey)


def text(canvas: Canvas, x: float, y: float, words: str, size: float, font: str = BODY) -> None:
    """One line with its base at (x, y) [mm]; size in points of type."""
    canvas.setFillGray(0)
    canvas.setFont(font, size)
    canvas.drawString(x * PT, y * PT, words)


def _bar(canvas: Canvas, start: Point, end: Point) -> None:
    """A line with an end line across each end; the bar is measured between those."""
    (x0, y0), (x1, y1) = start, end
    across = (0.0, 2.5) if y0 == y1 else (2.5, 0.0)
    pen(canvas, FINE_LINE)
    canvas.line(x0 * PT, y0 * PT, x1 * PT, y1 * PT)
    for x, y in (start, end):
        canvas.line((x - across[0]) * PT, (y - across[1]) * PT, (x + across[0]) * PT, (y + across[1]) * PT)


def _card(canvas: Canvas, page: Page) -> None:
    x, y = page.card
    pen(canvas, FINE_LINE)
    canvas.setDash([1.5 * PT, 1.0 * PT])
    canvas.roundRect(x * PT, y * PT, CARD[0] * PT, CARD[1] * PT, CARD_CORNER * PT)
    canvas.setDash([])
    text(canvas, x + 4, y + CARD[1] - 6, "Lay a bank card here: it must cover this line", 7.5)
    text(canvas, x + 4, y + CARD[1] - 9.5, "just so all round.", 7.5)
    text(canvas, x + 4, y + CARD[1] - 13, "ISO/IEC 7810 ID-1, 85.60 x 53.98 mm", 6.5)
