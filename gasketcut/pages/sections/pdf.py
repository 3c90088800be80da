"""Sections on paper: the same as the text, with lines to write on, and pictures between them."""

from __future__ import annotations

import io
from collections.abc import Iterable
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import black, grey
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, Paragraph, SimpleDocTemplate, Spacer, Table

from gasketcut.length import PT
from gasketcut.output.picture import Picture, on_pdf
from gasketcut.output.proof.pages import prove_pages
from gasketcut.pages.fonts import BODY, BOLD, in_print, use_fonts
from gasketcut.pages.paper import MARGIN
from gasketcut.pages.sections.section import Section
from gasketcut.profile.papers import Paper

_SIDE = 15.0  # mm
_WORDS = ParagraphStyle("words", fontName=BODY, fontSize=8.5, leading=11.5)
_CELL = ParagraphStyle("cell", parent=_WORDS, fontSize=7.5, leading=9.5)
_CELL_HEAD = ParagraphStyle("cell head", parent=_CELL, fontName=BOLD)
_HEADING = ParagraphStyle("heading", fontName=BOLD, fontSize=11, leading=14, spaceBefore=9, spaceAfter=3)
_TITLE = ParagraphStyle("title", fontName=BOLD, fontSize=16, leading=20)
_CAUTION = ParagraphStyle("caution", parent=_WORDS, leftIndent=10, bulletIndent=0)
_ITEM = ParagraphStyle("item", parent=_WORDS, fontName=BOLD, spaceBefore=5, keepWithNext=1)
_ITEM_LINE = ParagraphStyle("item line", parent=_WORDS, leftIndent=12)
_ITEM_MORE = ParagraphStyle("item line, more below", parent=_ITEM_LINE, keepWithNext=1)


class _Drawn(Flowable):
    """A picture that stands in its place in the flow, in the middle of the line."""

    def __init__(self, picture: Picture) -> None:
        super().__init__()
        self.picture = picture
        self.spaceBefore, self.hAlign = 4.0, "CENTER"

    def wrap(self, *_: float) -> tuple[float, float]:
        return self.picture.width * PT, self.picture.height * PT

    def draw(self) -> None:
        on_pdf(self.canv, self.picture, (0.0, 0.0), (BODY, BOLD))


def sections_pdf(
    heading: str, lead: str, parts: Iterable[Section | Picture], paper: Paper, *, title: str, foot: str
) -> bytes:
    """The bytes of the file; the same input gives the same bytes.

    heading, lead : what stands first, and the line below it
    title, foot   : how programs call the document, and what stands at the foot of each page
    """
    use_fonts()
    wide = (paper.width - 2 * _SIDE) * PT
    stream = io.BytesIO()
    document = SimpleDocTemplate(
        stream,
        pagesize=(paper.width * PT, paper.height * PT),
        leftMargin=_SIDE * PT,
        rightMargin=_SIDE * PT,
        topMargin=_SIDE * PT,
        bottomMargin=(_SIDE + 4) * PT,
        title=title,
        creator="gasketcut",
        invariant=1,
    )

    def at_foot(canvas: Any, page: Any) -> None:
        canvas.setFont(BODY, 7)
        canvas.drawString(_SIDE * PT, MARGIN * PT, _cut_to(in_print(foot), wide - 60.0))
        canvas.drawRightString((paper.width - _SIDE) * PT, MARGIN * PT, f"page {page.page}")

    story: list[Any] = [Paragraph(_words(heading), _TITLE), Paragraph(_words(lead), _WORDS)]
    for part in parts:
        story += [_Drawn(part)] if isinstance(part, Picture) else _section(part, wide)
    document.build(story, onFirstPage=at_foot, onLaterPages=at_foot)
    prove_pages(stream.getvalue(), [(paper.width, paper.height)] * document.page, title)
    return stream.getvalue()


def _words(text: str) -> str:
    """As a paragraph takes it."""
    return escape(in_print(text))


def _cut_to(words: str, width: float) -> str:
    """As much as goes on one line of the foot [points]."""
    if stringWidth(words, BODY, 7) <= width:
        return words
    return next(cut for end in range(len(words), -1, -1) if stringWidth(cut := f"{words[:end]} ...", BODY, 7) <= width)


def _section(section: Section, wide: float) -> list[Any]:
    heading = Paragraph(_words(section.heading), _HEADING)
    body: list[Any] = [Paragraph(_words(line), _WORDS) for line in section.lines]
    for first, *others in section.items:
        body.append(Paragraph(_words(first), _ITEM))
        body += [Paragraph(_words(line), _ITEM_MORE) for line in others[:-1]]
        body += [Paragraph(_words(line), _ITEM_LINE) for line in others[-1:]]
    if section.table:
        body += [Spacer(1, 2), _table(section.table, wide)]
    if section.blanks:
        body.append(_blanks(section.blanks, wide))
    body += [Paragraph(_words(line), _CAUTION, bulletText="!") for line in section.cautions]
    if len(section.table) > 25 or len(section.lines) > 20 or section.items:
        # Too long to be kept on one page; the lines of an item keep together by themselves.
        return [CondPageBreak(40 * PT), heading, *body]
    return [KeepTogether([heading, *body])]


def _table(rows: tuple[tuple[str, ...], ...], wide: float) -> Table:
    """Columns as wide as their widest entry, what is left over shared; narrower in proportion where too wide."""
    needed = [max(stringWidth(row[column], BOLD, _CELL.fontSize) for row in rows) + 8 for column in range(len(rows[0]))]
    spare = wide - sum(needed)
    share = spare / len(needed) if spare > 0 else 0.0
    widths = [one + share if spare > 0 else one * wide / sum(needed) for one in needed]
    cells = [
        [Paragraph(_words(cell), _CELL_HEAD if number == 0 else _CELL) for cell in row]
        for number, row in enumerate(rows)
    ]
    style: list[Any] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("TOPPADDING", (0, 0), (-1, -1), 1.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5),
        ("LEFTPADDING", (0, 0), (-1, -1), 2),
        ("LINEBELOW", (0, 0), (-1, 0), 0.8, black),
        ("LINEBELOW", (0, 1), (-1, -1), 0.25, grey),
    ]
    return Table(cells, colWidths=widths, style=style, repeatRows=1, hAlign="LEFT")


def _blanks(blanks: tuple[str, ...], wide: float) -> Table:
    """Two columns of words, each with a line to write on."""
    half = (len(blanks) + 1) // 2
    padded = [*blanks, *[""] * (2 * half - len(blanks))]
    rows = [
        [Paragraph(_words(padded[row]), _CELL), "", "", Paragraph(_words(padded[row + half]), _CELL), ""]
        for row in range(half)
    ]
    style: list[Any] = [
        ("VALIGN", (0, 0), (-1, -1), "BOTTOM"),
        ("TOPPADDING", (0, 0), (-1, -1), 7),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5),
        ("LEFTPADDING", (0, 0), (-1, -1), 2),
        *(("LINEBELOW", (1, row), (1, row), 0.5, black) for row in range(half)),
        *(("LINEBELOW", (4, row), (4, row), 0.5, black) for row in range(half) if padded[row + half]),
    ]
    widths = [wide * share for share in (0.33, 0.14, 0.04, 0.35, 0.14)]
    return Table(rows, colWidths=widths, style=style, hAlign="LEFT")
