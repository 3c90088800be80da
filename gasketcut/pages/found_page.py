"""A template's last pages: what the checks found, the whole part first and then each place enlarged."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.pdfgen.canvas import Canvas

from gasketcut.length import PT
from gasketcut.output.picture import Picture, on_pdf
from gasketcut.pages.fonts import BODY, BOLD
from gasketcut.pages.paper import MARGIN, page_for, start_page, text
from gasketcut.pages.printer import Correction
from gasketcut.profile.papers import Paper


def found_pages(canvas: Canvas, found: Sequence[Picture], paper: Paper) -> None:
    """A page each; not to cut from, so they may be smaller than life."""
    for picture in found:
        _found_page(canvas, picture, paper)


def _found_page(canvas: Canvas, found: Picture, paper: Paper) -> None:
    page = page_for((found.width, found.height), paper)
    start_page(canvas, page, Correction())
    room = page.width - 2 * MARGIN, page.height - 2 * MARGIN - 12
    scale = min(1.0, room[0] / found.width, room[1] / found.height)
    text(canvas, MARGIN, page.height - MARGIN - 5, "What the checks found: not to cut from", 12, BOLD)
    words = "Full size." if scale == 1 else f"Drawn at {scale:.2f} of full size."
    text(canvas, MARGIN, page.height - MARGIN - 10, words, 8.5)
    canvas.saveState()
    left, top = (page.width - found.width * scale) / 2, page.height - MARGIN - 12
    canvas.translate(left * PT, (top - found.height * scale) * PT)
    canvas.scale(scale, scale)
    on_pdf(canvas, found, (0.0, 0.0), (BODY, BOLD))
    canvas.restoreState()
    canvas.showPage()
