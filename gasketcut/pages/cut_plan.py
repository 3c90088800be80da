"""The page that goes with a template: in which order to cut, with which punch, and what to mind."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.lib.utils import simpleSplit
from reportlab.pdfgen.canvas import Canvas

from gasketcut.cutting.hand import HandWork
from gasketcut.length import IN, PT, Units, both, in_order
from gasketcut.output.notes import sheet_text
from gasketcut.pages.fonts import BODY, BOLD
from gasketcut.pages.paper import FINE_LINE, MARGIN, Page, page_for, pen, start_page, text
from gasketcut.pages.printer import Correction
from gasketcut.parts.part import Part
from gasketcut.profile.papers import Paper

_ROW = 5.2  # mm


def plan_page(canvas: Canvas, part: Part, hand: HandWork, paper: Paper, units: Units) -> None:
    """One page, or more where there are many holes."""
    page = page_for((0.0, 0.0), paper)
    lines = _lines(part, hand, units)
    room = int((page.height - 2 * MARGIN - 14) / _ROW)
    wide = page.width - 2 * MARGIN
    rows = [
        (size, font, one) for size, font, words in lines for one in _wrapped(in_order(words, units), font, size, wide)
    ]
    for first in range(0, len(rows), room):
        start_page(canvas, page, Correction())
        more = " (continued)" if first else ""
        text(canvas, MARGIN, page.height - MARGIN - 5, f"{part.name}: to cut by hand{more}", 14, BOLD)
        y = page.height - MARGIN - 14
        for size, font, words in rows[first : first + room]:
            text(canvas, MARGIN, y, words, size, font)
            y -= _ROW
        _rule(canvas, page)
        canvas.showPage()


def _rule(canvas: Canvas, page: Page) -> None:
    pen(canvas, FINE_LINE)
    y = page.height - MARGIN - 8
    canvas.line(MARGIN * PT, y * PT, (page.width - MARGIN) * PT, y * PT)


def _wrapped(words: str, font: str, size: float, wide: float) -> Sequence[str]:
    found: Sequence[str] = simpleSplit(words, font, size, wide * PT) or [""]
    return found


def _lines(part: Part, hand: HandWork, units: Units) -> list[tuple[float, str, str]]:
    """Size, font and words of each line."""
    body = [(8.5, BODY, f"Sheet: {sheet_text(part, units)}. Cut {part.count}.")]
    if part.face_up:
        body.append(
            (8.5, BODY, f"Glue or copy the pattern so that its printed face is the one that goes up: {part.face_up}.")
        )
    chain = hand.chain
    if chain:
        return [*body, *_metal(chain.drill, chain.spacing, chain.web, chain.count)]
    body += [(8.5, BODY, ""), (10, BOLD, "In this order")]
    for step in hand.steps:
        size = f"Ø {both(step.diameter)}: " if step.diameter else ""
        body.append((8.5, BODY, f"{step.number}.  {size}{step.what}"))
    rows = _punch_rows(hand)
    if rows:
        body += [(8.5, BODY, ""), (10, BOLD, "Punches"), *((8.5, BODY, row) for row in rows)]
    body += [(8.5, BODY, ""), (10, BOLD, "Mind")]
    body += [(8.5, BODY, row) for row in _mind(part)]
    return body


def _punch_rows(hand: HandWork) -> list[str]:
    rows = []
    for hole, punches in hand.punches:
        choices = []
        for punch in punches:
            wide = f", off by {punch.error:+.2f} mm ({punch.error / IN:+.3f} in)"
            off = wide if abs(punch.error) >= 0.005 else ", exact"
            clears = "" if punch.clears else f", too small for the Ø {hole.stud:g} stud"
            choices.append(f"{punch.words}{off}{clears}")
        stud = f" over a Ø {both(hole.stud)} stud" if hole.stud else ""
        tools = " or ".join(choices) if choices else "wider than any punch of the set: knife or circle cutter"
        rows.append(f"Ø {both(hole.diameter)}{stud}: {tools}")
    return rows


def _mind(part: Part) -> list[str]:
    rows = [
        "Hatched: falls out. Cut on the line's inner edge there, and take a little more rather than leave an edge that "
        "hangs into a port.",
        "Lay the sheet on end grain or a cutting mat, strike a punch once and square, keep fingers behind the blade.",
        "Hold the finished part against the metal, both faces, before it is fitted.",
    ]
    if part.nick is not None:
        rows.insert(1, "The small nick in the edge shows which face is up: cut it, too.")
    return rows


def _metal(drill: float, spacing: float, web: float, count: int) -> list[tuple[float, str, str]]:
    rows = [
        "Glue the template on, or prick every cross through it with a centre punch.",
        f"Drill all {count} crosses Ø {both(drill)}: they stand {both(spacing)} apart at the closest, which leaves "
        f"webs of {both(web)}, and clear of the line.",
        "Cut the webs with a cold chisel or a saw blade, and file to the line; nothing is left to file beyond it.",
        "Take the burr off inside and out, and shake every chip out before gas goes through.",
    ]
    mind = [
        "Clamp the work; eye protection; a thin plate that catches the drill spins.",
        "A muffler that has run holds soot and may hold fuel: let it cool and air it, no flame near it.",
    ]
    return [
        (8.5, BODY, ""),
        (10, BOLD, "In this order"),
        *((8.5, BODY, f"{number}.  {row}") for number, row in enumerate(rows, 1)),
        (8.5, BODY, ""),
        (10, BOLD, "Mind"),
        *((8.5, BODY, row) for row in mind),
    ]
