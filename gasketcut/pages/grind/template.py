"""A template to grind a port by, at full size: PDF, a plate on one page or on tiles, then a page of figures a port."""

from __future__ import annotations

import io

from reportlab.pdfgen.canvas import Canvas

from gasketcut.evaluation.plates import SNUG, Plate
from gasketcut.length import PT, Units, both, in_order
from gasketcut.pages.contour import stroke_contour
from gasketcut.pages.fonts import use_fonts
from gasketcut.pages.grind.figures import figures_page
from gasketcut.pages.grind.marks import View, arrows, cross, hatched, lines_of
from gasketcut.pages.paper import (
    CUT_LINE,
    Page,
    Tile,
    assembly_map,
    clip_to_field,
    corner_crosses,
    frame,
    page_for,
    pen,
    start_page,
    tiles,
    too_many,
)
from gasketcut.pages.printer import Correction
from gasketcut.pages.template import check_rows, new_canvas
from gasketcut.plane import Point
from gasketcut.profile.papers import Paper

OLD_LINE = 0.18
"""mm; only old edges are drawn with it, so that they can be found again when the page is proved."""

_CLEAR = 6.0  # mm round the plate
_ARROW, _TYPE = 2.6, 5.0  # mm, points of type
_HATCH = 0.8  # mm apart

CAUTION = (
    "Mind: eye protection; plug bore and passages before the first stroke and wash every filing out; the maker's "
    "figures for walls and ports come first."
)


def write_grind_template(plate: Plate, title: str, units: Units, paper: Paper, fix: Correction = Correction()) -> bytes:
    """The bytes of the file; raise `GasketError` if the plate takes more tiles than are of any use."""
    use_fonts()
    stream = io.BytesIO()
    heading = f"{plate.part}: to grind by" + (f", {plate.face}" if plate.face else "")
    canvas = new_canvas(stream, heading, title)
    left, low, _, _ = plate.outline.bounds
    page = page_for(_size(plate), paper)
    for tile in tiles(page, (left - _CLEAR, low - _CLEAR), _size(plate)):
        start_page(canvas, page, fix)
        rows = [in_order(row, units) for row in (title, *_rows(plate, units))]
        frame(canvas, page, heading + (f", {tile.name}" if tile.name else ""), [*rows, *check_rows(None, tile, fix)])
        _plate(canvas, plate, units, page, tile)
        canvas.showPage()
    for one in plate.ground:
        figures_page(canvas, one, paper, units)
    canvas.save()
    return stream.getvalue()


def grind_unprintable(plate: Plate, paper: Paper) -> str | None:
    """Why the plate is not printed on this paper, or None where it is."""
    return too_many(page_for(_size(plate), paper), _size(plate))


def _size(plate: Plate) -> Point:
    left, low, right, high = plate.outline.bounds
    return right - left + 2 * _CLEAR, high - low + 2 * _CLEAR


def _rows(plate: Plate, units: Units) -> tuple[str, ...]:
    taken = ", ".join(f"{one.port} {one.taken:.1f} mm2" for one in plate.ground)
    return (
        f"Dashed: old edge. Full: new edge. Hatched: metal to take ({taken}). Arrows: {units} to take there, square "
        "to the edge; all of them on the next page.",
        f"Cut out along the full lines and bolt it on by its own holes, which are the studs' size + {both(SNUG)}.",
        CAUTION,
    )


def _plate(canvas: Canvas, plate: Plate, units: Units, page: Page, tile: Tile) -> None:
    view = View(1.0, tile.dx, tile.dy)
    canvas.saveState()
    if tile.name:
        clip_to_field(canvas, page)
    for one in plate.ground:
        hatched(canvas, one.metal, view, _HATCH)
    pen(canvas, OLD_LINE)
    canvas.setDash([1.0 * PT, 0.7 * PT])
    for contour in (*plate.old.inner, plate.old.outer):
        stroke_contour(canvas, contour.moved(tile.dx, tile.dy))
    canvas.setDash([])
    pen(canvas, CUT_LINE)
    for contour in plate.outline.contours:
        stroke_contour(canvas, contour.moved(tile.dx, tile.dy))
    for hole in plate.holes:
        cross(canvas, hole, view)
    lines = lines_of((*plate.outline.contours, *plate.old_edges), plate.holes, view)
    for one in plate.ground:
        arrows(canvas, one, view, units, _ARROW, _TYPE, lines)
    canvas.restoreState()
    if tile.name:
        corner_crosses(canvas, page)
        assembly_map(canvas, page, tile)
