"""A part with what the checks found: the worst shift as a dashed ghost, overhang hatched, the narrowest land marked."""

from __future__ import annotations

import io
from collections.abc import Iterable

import shapely
from reportlab.pdfgen.canvas import Canvas
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from gasketcut.evaluation.part_result import PartResult
from gasketcut.finding import Finding
from gasketcut.length import PT, both
from gasketcut.output.picture import Picture, as_svg, on_pdf
from gasketcut.output.proof.pages import prove_pages
from gasketcut.output.proof.svg import prove_size
from gasketcut.pages.fonts import BODY, BOLD, use_fonts

_ROOM, _SIDE = 14.0, 34.0
_HATCH = 0.6  # mm between hatch lines


def fit_files(results: Iterable[PartResult]) -> dict[str, bytes]:
    """`<part>-fit.svg` and `<part>-fit.pdf` of every part, by name."""
    files: dict[str, bytes] = {}
    for result in results:
        picture = fit_picture(result)
        files[f"{result.name}-fit.svg"] = as_svg(picture)
        prove_size(files[f"{result.name}-fit.svg"], (picture.width, picture.height), result.name)
        files[f"{result.name}-fit.pdf"] = _page(picture, result.name)
    return files


def fit_picture(result: PartResult) -> Picture:
    """The picture, at true size."""
    part, findings = result.part, result.findings
    left, low, right, high = part.solid.bounds
    said = [finding for finding in findings if finding.weight != "note" and finding.at is not None]
    rows = 3 + len(said)
    width = max(right - left + 2 * _SIDE, 130.0)
    picture = Picture(width, high - low + 2 * _ROOM + 5 * rows, f"{part.name}: fit", result.units)
    dx, dy = (width - (right - left)) / 2 - left, _ROOM + 5 * rows - low
    _shape(picture, part.solid, dx, dy, width=0.35)
    for window in part.flange_openings:
        _shape(picture, window.shape, dx, dy, width=0.15, dash=(0.6, 0.6))
        _hatched(picture, part.solid.intersection(window.shape), dx, dy)
    words = ["solid: the part; short dashes: windows in the metal"]
    worst = _ghost(picture, result, dx, dy)
    if worst:
        words.append(worst)
    land = result.narrowest
    if land is not None:
        span, ((x0, y0), (x1, y1)) = land.width, land.ends
        picture.line((x0 + dx, y0 + dy), (x1 + dx, y1 + dy), width=0.6)
        x, y = (x0 + x1) / 2 + dx, (y0 + y1) / 2 + dy
        # To the nearer side, where nothing of the part is in the way of the words.
        to_right = x - left - dx > (right - left) / 2
        end = (right + dx + 3.0 if to_right else left + dx - 3.0, y)
        picture.line((x, y), end, width=0.15)
        picture.words((end[0] + (1.0 if to_right else -1.0), y - 1.0), both(span), 7, "start" if to_right else "end")
        words.append(f"thick bar: narrowest land, {both(span)}")
    for number, finding in enumerate(said, 1):
        if finding.at is not None:
            _mark(picture, finding.at[0] + dx, finding.at[1] + dy, number)
            words.append(f"{number}  {finding.rule}" + (f" {_amount(finding)}" if finding.found else ""))
    picture.words((4, 5 * rows + 3), part.name, 9, bold=True)
    for number, row in enumerate(words):
        picture.words((4, 5 * (rows - number) - 3), row, 7)
    return picture


def _amount(finding: Finding) -> str:
    found = finding.found or 0.0
    return both(found) if finding.unit == "mm" else f"{found:.2f} {finding.unit}"


def _ghost(picture: Picture, result: PartResult, dx: float, dy: float) -> str | None:
    """The part after the motion that brings it deepest into any window, with that overhang hatched."""
    known = [(one, one.worst) for one in result.clearances if one.worst is not None]
    if not known:
        return None
    clearance, worst = min(known, key=lambda pair: pair[0].clear if pair[0].clear is not None else 0.0)
    _shape(picture, worst.sheet, dx, dy, width=0.2, dash=(2.0, 1.0), grey=0.35)
    for window in result.part.flange_openings:
        _hatched(picture, worst.sheet.intersection(window.shape), dx, dy)
    name, clear = clearance.window.name, clearance.clear or 0.0
    if clear < 0:
        return f"long dashes: shifted as far as the studs allow; {both(-clear)} into '{name}'"
    return f"long dashes: shifted as far as the studs allow; clear of '{name}' by {both(clear)}"


def _shape(
    picture: Picture,
    shape: BaseGeometry,
    dx: float,
    dy: float,
    width: float,
    dash: tuple[float, ...] = (),
    grey: float = 0.0,
) -> None:
    for polygon in shapely.get_parts(shape):
        for ring in (polygon.exterior, *polygon.interiors):
            points = shapely.get_coordinates(shapely.simplify(ring, 0.005))
            picture.line(*((x + dx, y + dy) for x, y in points), width=width, dash=dash, grey=grey)


def _hatched(picture: Picture, shape: BaseGeometry, dx: float, dy: float) -> None:
    """Lines at 45 degrees through the area, and its edge."""
    for polygon in shapely.get_parts(shape):
        if polygon.geom_type != "Polygon" or polygon.area < 1e-3:
            continue
        left, low, right, high = polygon.bounds
        reach = right - left + high - low
        for step in range(int(reach / _HATCH) + 1):
            x = left - (high - low) + step * _HATCH
            for part in shapely.get_parts(polygon.intersection(LineString([(x, low), (x + high - low, high)]))):
                if part.geom_type == "LineString":
                    picture.line(*((px + dx, py + dy) for px, py in part.coords), width=0.15)
        picture.line(*((px + dx, py + dy) for px, py in polygon.exterior.coords), width=0.3)


def _mark(picture: Picture, x: float, y: float, number: int) -> None:
    picture.line((x - 1.2, y - 1.2), (x + 1.2, y + 1.2), width=0.3)
    picture.line((x - 1.2, y + 1.2), (x + 1.2, y - 1.2), width=0.3)
    picture.words((x + 1.6, y + 1.0), str(number), 8, bold=True)


def _page(picture: Picture, name: str) -> bytes:
    use_fonts()
    stream = io.BytesIO()
    room = 10.0
    canvas = Canvas(stream, pagesize=((picture.width + 2 * room) * PT, (picture.height + 2 * room) * PT), invariant=1)
    canvas.setTitle(f"{name}: fit")
    canvas.setCreator("gasketcut")
    on_pdf(canvas, picture, (room, room), (BODY, BOLD))
    canvas.showPage()
    canvas.save()
    prove_pages(stream.getvalue(), [(picture.width + 2 * room, picture.height + 2 * room)], name)
    return stream.getvalue()
