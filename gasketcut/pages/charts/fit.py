"""A part with what the checks found: numbered places on the part, and each of them enlarged with its words."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence

from reportlab.pdfgen.canvas import Canvas

from gasketcut.evaluation.part_result import PartResult
from gasketcut.length import PT, both
from gasketcut.output.picture import Picture, as_svg, on_pdf, stacked
from gasketcut.output.proof.pages import prove_pages
from gasketcut.output.proof.svg import prove_size
from gasketcut.pages.charts.detail import Numbered, details_picture
from gasketcut.pages.charts.view import View
from gasketcut.pages.fonts import BODY, BOLD, use_fonts
from gasketcut.plane import Point

_ROOM, _SIDE = 14.0, 34.0
_LEAST_WIDE = 180.0  # mm; what the words beside an enlarged place need
_APART = 4.2  # mm between two numbers beside the part
A_PAGE = 4
"""Enlarged places on one page."""


def fit_files(results: Iterable[PartResult]) -> dict[str, bytes]:
    """`<part>-fit.svg` and `<part>-fit.pdf` of every part, by name: all in one picture, and page by page."""
    files: dict[str, bytes] = {}
    for result in results:
        pages = fit_pictures(result)
        picture = stacked(pages)
        files[f"{result.name}-fit.svg"] = as_svg(picture)
        prove_size(files[f"{result.name}-fit.svg"], (picture.width, picture.height), result.name)
        files[f"{result.name}-fit.pdf"] = _pages(pages, result.name)
    return files


def fit_pictures(result: PartResult) -> tuple[Picture, ...]:
    """The part at true size with the numbers of the findings; then the findings enlarged, a few a page."""
    found = [one for one in result.findings if one.weight != "note" and one.at is not None]
    said: list[Numbered] = list(enumerate(found, 1))
    overview = _overview(result, said)
    rest = [said[first : first + A_PAGE] for first in range(0, len(said), A_PAGE)]
    return (overview, *(details_picture(result, few, overview.width) for few in rest))


def _overview(result: PartResult, said: Sequence[Numbered]) -> Picture:
    part = result.part
    left, low, right, high = part.solid.bounds
    words = ["full size; solid: the part; short dashes: ports and passages in the metal"]
    if result.narrowest is not None:
        words.append(f"thick bar: narrowest land, {both(result.narrowest.width)}")
    worst = _worst_words(result)
    words += [worst] if worst else []
    beside = _beside(result, said)
    room = max(high - low, _APART * max((len(one) for one in beside.values()), default=0))
    width = max(right - left + 2 * _SIDE, _LEAST_WIDE)
    picture = Picture(width, room + 2 * _ROOM + 5 * (len(words) + 1), f"{part.name}: fit", result.units)
    middle = 5 * (len(words) + 1) + _ROOM + room / 2
    view = View(picture, (width / 2 - (left + right) / 2, middle - (low + high) / 2))
    view.outline(part.solid, 0.35)
    for window in part.flange_openings:
        view.outline(window.shape, 0.15, (0.6, 0.6))
        view.hatched(part.solid.intersection(window.shape))
    if result.narrowest is not None:
        picture.line(*(view.at(end) for end in result.narrowest.ends), width=0.6)
    half = (right - left) / 2 + 8.0
    for side, rows in beside.items():
        _numbers(view, rows, width / 2 + side * half)
    picture.words((4, 5 * len(words) + 3), part.name, 9, bold=True)
    for number, row in enumerate(words):
        picture.words((4, 5 * (len(words) - number) - 3), row, 7)
    return picture


def _beside(result: PartResult, said: Sequence[Numbered]) -> dict[int, list[tuple[str, Point]]]:
    """The numbers to the left (-1) and to the right (1) of the part, each on the side that is nearer to its place."""
    left, _, right, _ = result.part.solid.bounds
    places = [(str(number), one.at) for number, one in said if one.at is not None]
    if result.narrowest is not None:
        (x0, y0), (x1, y1) = result.narrowest.ends
        places.append((both(result.narrowest.width), ((x0 + x1) / 2, (y0 + y1) / 2)))
    found: dict[int, list[tuple[str, Point]]] = {-1: [], 1: []}
    for text, at in places:
        found[1 if at[0] > (left + right) / 2 else -1].append((text, at))
    return found


def _numbers(view: View, rows: list[tuple[str, Point]], x: float) -> None:
    """Each number beside the part, a line to its place; none lies on another."""
    rows = sorted(rows, key=lambda row: row[1][1])
    heights = [view.at(at)[1] for _, at in rows]
    for number in range(1, len(heights)):
        heights[number] = max(heights[number], heights[number - 1] + _APART)
    # Pushed apart upwards only, they are moved back as a whole, about the middle of where they belong.
    off = sum(height - view.at(at)[1] for height, (_, at) in zip(heights, rows, strict=True)) / max(len(rows), 1)
    to_right = x > view.picture.width / 2
    for height, (text, at) in zip(heights, rows, strict=True):
        place, y = view.at(at), height - off
        view.picture.line(place, (x, y), width=0.15)
        view.picture.line((place[0] - 0.8, place[1] - 0.8), (place[0] + 0.8, place[1] + 0.8), width=0.3)
        view.picture.line((place[0] - 0.8, place[1] + 0.8), (place[0] + 0.8, place[1] - 0.8), width=0.3)
        side = "start" if to_right else "end"
        view.picture.words((x + (1.0 if to_right else -1.0), y - 1.0), text, 8, side, bold=text.isdigit())  # type: ignore[arg-type]


def _worst_words(result: PartResult) -> str | None:
    """What the deepest motion does, in words; it is drawn where it is enlarged."""
    known = [(one.clear, one.window) for one in result.clearances if one.worst is not None and one.clear is not None]
    if not known:
        return None
    clear, window = min(known, key=lambda pair: pair[0])
    if clear < 0:
        return f"shifted as far as the studs allow, it comes {both(-clear)} into {window.role} '{window.name}'"
    return f"shifted as far as the studs allow, it stays clear of {window.role} '{window.name}' by {both(clear)}"


def _pages(pictures: Sequence[Picture], name: str) -> bytes:
    use_fonts()
    stream = io.BytesIO()
    room = 10.0
    canvas = Canvas(stream, invariant=1)
    canvas.setTitle(f"{name}: fit")
    canvas.setCreator("gasketcut")
    sizes = [(one.width + 2 * room, one.height + 2 * room) for one in pictures]
    for picture, (width, height) in zip(pictures, sizes, strict=True):
        canvas.setPageSize((width * PT, height * PT))
        on_pdf(canvas, picture, (room, room), (BODY, BOLD))
        canvas.showPage()
    canvas.save()
    prove_pages(stream.getvalue(), sizes, name)
    return stream.getvalue()
