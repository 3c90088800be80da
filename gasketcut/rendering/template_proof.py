"""Proof of our own templates: the paper, and the outline on it at full size.

Of a template    every page is the paper's size and asks to be printed as it is; the lines to cut by are the part's
                 contours and no others, each whole, once the printer's correction is taken out again; all of them is
                 seen, within the margin of one page or on tiles that lie as far apart as their crosses say.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import takewhile
from math import pi

import numpy as np

from gasketcut.arrays import Array
from gasketcut.errors import ReadBackError
from gasketcut.output.proof.lines import divided, round_of, stray
from gasketcut.output.proof.pages import SAME_SIZE, is_same_size, size_words
from gasketcut.output.proof.pdf_reader import PdfPage, pages_of, strokes_on
from gasketcut.pages.paper import CUT_LINE, MARGIN, OVERLAP, Page, upright_page
from gasketcut.pages.printer import Correction
from gasketcut.profile.papers import Paper
from gasketcut.shape.loop import Circle, Contour, Outline
from gasketcut.tolerances import READ_BACK

_BELOW = 16.0  # mm below a part among several, for its name
_AS_IT_IS = b"/PrintScaling /None"


@dataclass(frozen=True, slots=True)
class _Sheet:
    """A page that is cut by, with the printer's correction taken out: its lines, and what of it is seen, as lower left
    and upper right corner [mm]."""

    lines: list[Array]
    window: Array
    clipped: bool


def prove_pdf(
    data: bytes, outline: Outline, paper: Paper, fix: Correction, name: str, width: float = CUT_LINE
) -> list[Array]:
    """A part's template holds its outline at full size, on that paper, for a printer with that correction. Return where
    the part's origin lies on each page that shows it.

    width : of the lines that are to be the outline, all of them and no others [mm]

    Raise `ReadBackError` where it strays by more than READ_BACK, and for whatever else the head of this file names.
    """
    pages = _on_paper(data, paper, name)
    sheets = list(takewhile(lambda one: one.lines, (_sheet(page, fix, name, width) for page in pages)))
    if not sheets:
        raise ReadBackError(f"{name}: the PDF shows no line to cut by; this is a fault of the program")
    wanted = [_round(contour) for contour in outline.contours]
    shifts = []
    for one in sheets:
        off, shift = _fit(one.lines, wanted)
        if off > READ_BACK:
            raise ReadBackError(f"{name}: a line to cut by is not in the PDF as it should be, {_far(off)}")
        shifts.append(shift)
    if len(sheets) > 1:
        _prove_steps(sheets, shifts, Page(paper, *pages[0].size), name)
    points = np.vstack(wanted)
    seen = [
        np.all((points + shift > one.window[0] - SAME_SIZE) & (points + shift < one.window[1] + SAME_SIZE), axis=1)
        for one, shift in zip(sheets, shifts, strict=True)
    ]
    if not np.any(seen, axis=0).all():
        raise ReadBackError(f"{name}: a piece of the outline is seen on no page of the PDF")
    return shifts


def prove_together(data: bytes, outlines: Sequence[Outline], paper: Paper, fix: Correction, name: str) -> None:
    """On pages with several parts each line to cut by belongs to one of these outlines, which is there once and whole,
    on the paper; one that is missing is too large for the page.

    Raise `ReadBackError` otherwise, as for a template.
    """
    left = [[_round(contour) for contour in one.contours] for one in outlines]
    for page in _on_paper(data, paper, name):
        sheet = _sheet(page, fix, name)
        lines = sheet.lines
        while lines:
            number = next((number for number, one in enumerate(left) if _is_next(lines, one, sheet.window)), None)
            if number is None:
                raise ReadBackError(f"{name}: the PDF shows a line to cut by that is no part's, or lies off the paper")
            lines = lines[len(left.pop(number)) :]
    room = np.array(upright_page(paper).field) - (0.0, _BELOW)
    missing = [one for one in left if np.all(np.ptp(np.vstack(one), axis=0) < room)]
    if missing:
        raise ReadBackError(f"{name}: {len(missing)} parts that would go on a page are not in the PDF")


def _on_paper(data: bytes, paper: Paper, name: str) -> list[PdfPage]:
    """The pages; raise `ReadBackError` if one is not that paper, upright or lying, or a viewer may shrink it."""
    upright = (paper.width, paper.height)
    pages = pages_of(data, name)
    for number, page in enumerate(pages, 1):
        if not (is_same_size(page.size, upright) or is_same_size(page.size, upright[::-1])):
            raise ReadBackError(
                f"{name}: page {number} of the PDF is {size_words(page.size)} mm, which is not {paper.words}"
            )
    if _AS_IT_IS not in data:
        raise ReadBackError(f"{name}: the PDF does not ask to be printed as it is")
    return pages


def _sheet(page: PdfPage, fix: Correction, name: str, width: float = CUT_LINE) -> _Sheet:
    size = np.array(page.size)
    factors = np.array((fix.long, fix.short) if size[0] > size[1] else (fix.short, fix.long))

    def undone(points: Array) -> Array:
        return np.asarray(size / 2 + (points - size / 2) / factors)

    drawn = strokes_on(page, width, name)
    clips = [one.clip for one in drawn if one.clip is not None]
    window = undone(clips[0]) if clips else np.array([(MARGIN, MARGIN), size - MARGIN])
    if clips and (len(clips) < len(drawn) or np.ptp(np.stack(clips), axis=0).max() > SAME_SIZE):
        raise ReadBackError(f"{name}: a page of the PDF shows its lines in different fields")
    return _Sheet([undone(line) for one in drawn for line in one.lines], window, bool(clips))


def _prove_steps(sheets: Sequence[_Sheet], shifts: Sequence[Array], page: Page, name: str) -> None:
    """Tiles show the page's field and no more, and lie row by row so far apart that their crosses meet."""
    field = np.array([(page.left, page.low), (page.left + page.field[0], page.low + page.field[1])])
    if not all(one.clipped and np.abs(one.window - field).max() < SAME_SIZE for one in sheets):
        raise ReadBackError(f"{name}: a tile of the PDF shows another field than its page has")
    columns = next((number for number, one in enumerate(shifts) if one[1] > shifts[0][1] + OVERLAP), len(shifts))
    for number, shift in enumerate(shifts):
        row, column = divmod(number, columns)
        step = np.array((-column * (page.field[0] - OVERLAP), row * (page.field[1] - OVERLAP)))
        off = float(np.abs(shift - shifts[0] - step).max())
        if off > READ_BACK:
            raise ReadBackError(f"{name}: tile {number + 1} of the PDF does not meet the first, {_far(off)}")


def _round(contour: Contour) -> Array:
    """Points round a contour from where it is drawn from, the first repeated at the end."""
    return round_of(contour, pi) if isinstance(contour, Circle) else divided(tuple(contour.segments()))


def _fit(lines: Sequence[Array], wanted: Sequence[Array]) -> tuple[float, Array]:
    """How far lines that may lie elsewhere, but all together, stray [mm], and where they lie: infinite if they are
    more or fewer."""
    if len(lines) != len(wanted):
        return float("inf"), np.zeros(2)
    shift = _middle(lines) - _middle(wanted)
    return max(stray(line, one + shift) for line, one in zip(lines, wanted, strict=True)), shift


def _is_next(lines: Sequence[Array], wanted: Sequence[Array], window: Array) -> bool:
    """Are these the first of the lines, and in the window?"""
    first = lines[: len(wanted)]
    points = np.vstack(first)
    if np.abs(np.ptp(points, axis=0) - np.ptp(np.vstack(wanted), axis=0)).max() > 2 * READ_BACK:
        return False
    return bool(np.all((points > window[0]) & (points < window[1]))) and _fit(first, wanted)[0] <= READ_BACK


def _middle(lines: Sequence[Array]) -> Array:
    points = np.vstack(lines)
    return np.asarray((points.min(axis=0) + points.max(axis=0)) / 2)


def _far(off: float) -> str:
    return f"{off * 1000:.1f} um off" if off < float("inf") else "or there are more or fewer of them"
