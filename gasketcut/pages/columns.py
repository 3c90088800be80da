"""Words set in lines and columns on a `Picture`: paragraphs wrapped to a width, tables of figures."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.lib.utils import simpleSplit
from reportlab.pdfbase.pdfmetrics import stringWidth

from gasketcut.length import PT, in_order
from gasketcut.output.picture import Picture
from gasketcut.pages.fonts import BODY, BOLD, use_fonts
from gasketcut.plane import Point

LEADING = 1.22
"""Lines apart, in sizes of the type. Common practice."""


def wide(words: str, size: float, *, bold: bool = False) -> float:
    """How wide the words come out [mm]."""
    use_fonts()
    return float(stringWidth(words, BOLD if bold else BODY, size)) / PT


def paragraph(picture: Picture, at: Point, words: str, width: float, size: float, *, bold: bool = False) -> float:
    """Words wrapped to the width, their first base line a line below `at`; return the height taken [mm]."""
    use_fonts()
    lines = simpleSplit(in_order(words, picture.units), BOLD if bold else BODY, size, width * PT)
    step = size * LEADING / PT
    for number, line in enumerate(lines):
        picture.words((at[0], at[1] - step * (number + 1)), line, size, bold=bold)
    return step * len(lines)


def table(picture: Picture, at: Point, widths: Sequence[float], rows: Sequence[Sequence[str]], size: float) -> float:
    """A table with its upper left corner at `at`: headings first; first column to the left, others to the right.

    Return the height taken [mm].
    """
    step, ends = size * 1.55 / PT, [at[0] + sum(widths[: number + 1]) for number in range(len(widths))]
    for number, row in enumerate(rows):
        y = at[1] - step * (number + 1)
        for column, cell in enumerate(row):
            if column == 0:
                picture.words((at[0] + 0.5, y), cell, size, bold=number == 0)
            else:
                picture.words((ends[column] - 0.5, y), cell, size, "end", bold=number == 0)
        under = y - step * 0.28
        picture.line(
            (at[0], under), (ends[-1], under), width=0.25 if number == 0 else 0.1, grey=0.0 if number == 0 else 0.6
        )
    return step * len(rows) + step * 0.28
