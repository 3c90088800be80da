"""The figures of one port to grind: enlarged, with what to take every 30 degrees, the steps and the walls left."""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from reportlab.pdfgen.canvas import Canvas
from shapely.geometry import MultiLineString, Polygon

from gasketcut.evaluation.grinding import Grinding
from gasketcut.length import PT, Units, both, in_order
from gasketcut.pages.fonts import BODY, BOLD
from gasketcut.pages.grind.marks import View, amount, arrows, hatched
from gasketcut.pages.paper import MARGIN, page_for, pen, start_page, text
from gasketcut.pages.printer import Correction
from gasketcut.plane import Point
from gasketcut.profile.papers import Paper

_SCALES = (20.0, 15.0, 10.0, 8.0, 6.0, 5.0, 4.0, 3.0, 2.5, 2.0, 1.5, 1.0, 0.75, 0.5, 0.25, 0.1)
_BOX = 140.0  # mm, for the enlarged port
_ROW = 4.6  # mm
_NEW, _OLD = 0.35, 0.3  # mm; other widths than on the template, of which lines to cut by are known by theirs


def figures_page(canvas: Canvas, one: Grinding, paper: Paper, units: Units) -> None:
    """One page; not to cut from."""
    page = page_for((0.0, 0.0), paper)
    start_page(canvas, page, Correction())
    top, bottom = page.height - MARGIN - 5, MARGIN + (len(one.depths) + 3) * _ROW
    face = f" of {one.face}" if one.face else ""
    text(canvas, MARGIN, top, f"{one.part}: port '{one.port}'{face}, what to take", 12, BOLD)
    room = min(_BOX, page.width - 2 * MARGIN, top - 12 - bottom)
    left, low, right, high = one.new.bounds
    scale = next((k for k in _SCALES if k * max(right - left, high - low) <= room), _SCALES[-1])
    words = f"Drawn {scale:g} times full size: not to cut from. 0 deg is right, 90 deg up, round the old port's middle."
    text(canvas, MARGIN, top - 5, words, 8)
    middle = page.width / 2, (top - 9 + bottom) / 2 + 2
    view = View(scale, middle[0] - (left + right) / 2 * scale, middle[1] - (low + high) / 2 * scale)
    hatched(canvas, one.metal, view, 1.6)
    _line(canvas, one.old, view, _OLD, (2.0, 1.2))
    _line(canvas, one.new, view, _NEW, ())
    edges = MultiLineString([[view.at(place) for place in edge.exterior.coords] for edge in (one.old, one.new)])
    arrows(canvas, one, view, units, 5.0, 7.5, edges)
    _table(canvas, one, (MARGIN, bottom - _ROW), units)
    _walls(canvas, one, (page.width / 2 + 12, bottom - _ROW), page.width - MARGIN, units)
    canvas.showPage()


def _line(canvas: Canvas, shape: Polygon, view: View, width: float, dash: Sequence[float]) -> None:
    pen(canvas, width)
    canvas.setDash([each * PT for each in dash])
    path = canvas.beginPath()
    points = [view.at(place) for place in shapely.get_coordinates(shapely.simplify(shape.exterior, 0.002)).tolist()]
    path.moveTo(points[0][0] * PT, points[0][1] * PT)
    for x, y in points[1:-1]:
        path.lineTo(x * PT, y * PT)
    path.close()
    canvas.drawPath(path, stroke=1, fill=0)
    canvas.setDash([])


def _table(canvas: Canvas, one: Grinding, at: Point, units: Units) -> None:
    """A row every 30 degrees."""
    x, y = at
    heads = [(0.0, "deg"), (12.0, "to take")]
    if one.before:
        heads += [(50.0, "step before"), (72.0, "after")]
    for along, words in heads:
        text(canvas, x + along, y, words, 8, BOLD)
    for number, depth in enumerate(one.depths):
        y -= _ROW
        text(canvas, x, y, f"{depth.turn}", 8)
        text(canvas, x + 12, y, in_order(both(depth.mm), units), 8)
        if one.before:
            text(canvas, x + 50, y, f"{amount(one.before[number].mm, units, '+')} {units}", 8)
            text(canvas, x + 72, y, f"{amount(one.after[number].mm, units, '+')} {units}", 8)
    if one.before:
        words = f"Step against {one.other}, round the port the gas comes from: + metal in its way, - a pocket."
        text(canvas, x, y - _ROW, words, 7)


def _walls(canvas: Canvas, one: Grinding, at: Point, right: float, units: Units) -> None:
    """The least first, as many as find room."""
    x, y = at
    text(canvas, x, y, "Metal that is left to", 8, BOLD)
    for wall in one.walls[: len(one.depths) - 1]:
        y -= _ROW
        font = BOLD if one.least_wall is not None and wall.mm < one.least_wall else BODY
        text(canvas, x, y, wall.to[:24], 8, font)
        canvas.setFont(font, 8)
        canvas.drawRightString(right * PT, y * PT, in_order(both(wall.mm), units))
    if one.least_wall is not None:
        words = f"least_wall asks for {in_order(both(one.least_wall), units)}; bold: less."
        text(canvas, x, y - _ROW, words, 7)
