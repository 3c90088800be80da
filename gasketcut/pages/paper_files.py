"""Degree wheel and port stencil as PDF files, every page at full size: nothing but a printer's own error is scaled."""

from __future__ import annotations

import io
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

from gasketcut.errors import GasketError
from gasketcut.evaluation.evaluation import Evaluation
from gasketcut.output.picture import Picture, on_pdf
from gasketcut.output.proof.pages import prove_pages
from gasketcut.output.save import save_one
from gasketcut.pages.bore.stencil import Seen, draw_stencil, stencil_of
from gasketcut.pages.bore.stencil_page import figures_page, heading_of, rows_of
from gasketcut.pages.bore.wheel import Way
from gasketcut.pages.bore.wheel_page import wheel_pages
from gasketcut.pages.fonts import BODY, BOLD, use_fonts
from gasketcut.pages.paper import (
    Page,
    assembly_map,
    clip_to_field,
    corner_crosses,
    frame,
    page_for,
    start_page,
    tiles,
    upright_page,
)
from gasketcut.pages.printer import Correction


def wheel_pdf(
    evaluation: Evaluation, paper: str = "a4", way: Way = "clockwise", fix: Correction = Correction()
) -> bytes:
    """The bytes of the degree wheel; the same input gives the same bytes.

    Raise `GasketError` if the job has no stroke or rod.
    """
    stream, canvas = _canvas(f"{evaluation.job.title}: degree wheel")
    page = upright_page(evaluation.profiles.papers.paper(paper))
    pictures = list(wheel_pages(evaluation, (page.width, page.height), way))
    for picture in pictures:
        _put(canvas, page, picture, fix)
    canvas.save()
    prove_pages(stream.getvalue(), [(page.width, page.height)] * len(pictures), "degree wheel")
    return stream.getvalue()


def stencil_pdf(
    evaluation: Evaluation, paper: str = "a4", seen: Seen = "inside", fix: Correction = Correction()
) -> bytes:
    """The bytes of the port stencil, on tiles if the paper is too small; the same input gives the same bytes.

    Raise `GasketError` if the job has no bore, or no port that can be drawn.
    """
    sheet, stencil = evaluation.profiles.papers.paper(paper), stencil_of(evaluation, seen)
    drawing, heading = draw_stencil(stencil), heading_of(stencil)
    stream, canvas = _canvas(f"{evaluation.job.title}: port stencil")
    page = page_for((drawing.width, drawing.height), sheet)
    grid = list(tiles(page, (0.0, 0.0), (drawing.width, drawing.height)))
    for tile in grid:
        start_page(canvas, page, fix)
        name = f", {tile.name}" if tile.name else ""
        lay = ["Lay tiles over each other so that the crosses at the corners meet."] if tile.name else []
        frame(canvas, page, heading + name, [*rows_of(stencil), *lay])
        canvas.saveState()
        if tile.name:
            clip_to_field(canvas, page)
        on_pdf(canvas, drawing, (tile.dx, tile.dy), (BODY, BOLD))
        canvas.restoreState()
        if tile.name:
            corner_crosses(canvas, page)
            assembly_map(canvas, page, tile)
        canvas.showPage()
    upright = upright_page(sheet)
    _put(canvas, upright, figures_page(stencil, (upright.width, upright.height)), fix)
    canvas.save()
    sizes = [*[(page.width, page.height)] * len(grid), (upright.width, upright.height)]
    prove_pages(stream.getvalue(), sizes, "port stencil")
    return stream.getvalue()


def write_pdf(data: bytes, file: Path, *, replace: bool = False) -> None:
    """Write the file as a whole or not at all; raise `OutputError` if another is there and `replace` is not said."""
    if file.suffix.lower() != ".pdf":
        raise GasketError(f"{file}: is no name for a PDF; write e.g. --out {file.with_suffix('.pdf')}")
    save_one(data, file, replace=replace)


def _canvas(title: str) -> tuple[io.BytesIO, Canvas]:
    use_fonts()
    stream = io.BytesIO()
    canvas = Canvas(stream, invariant=1, pageCompression=1)
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setTitle(title)
    canvas.setCreator("gasketcut")
    return stream, canvas


def _put(canvas: Canvas, page: Page, picture: Picture, fix: Correction) -> None:
    """A picture of the whole page."""
    start_page(canvas, page, fix)
    on_pdf(canvas, picture, (0.0, 0.0), (BODY, BOLD))
    canvas.showPage()
