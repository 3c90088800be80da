"""The two fonts of every page: they come with reportlab and are embedded, so that pages look the same everywhere and
their text can be searched."""

from __future__ import annotations

from functools import cache

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

BODY, BOLD = "Body", "Bold"


@cache
def use_fonts() -> None:
    """Make the fonts known to reportlab; once is enough."""
    pdfmetrics.registerFont(TTFont(BODY, "Vera.ttf"))
    pdfmetrics.registerFont(TTFont(BOLD, "VeraBd.ttf"))


def in_print(text: str) -> str:
    """The text with a `?` for each letter that the fonts do not have: they know Latin letters alone."""
    use_fonts()
    font = pdfmetrics.getFont(BODY)
    known = font.face.charToGlyph if isinstance(font, TTFont) else {}
    return "".join(letter if ord(letter) in known else "?" for letter in text)
