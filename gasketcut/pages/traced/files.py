"""The sheet of what was traced as a file; what it is is said by the name's ending."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

from gasketcut.capture.image.picture_file import Scan
from gasketcut.capture.traced import Traced
from gasketcut.length import PT
from gasketcut.output.picture import Picture, as_svg, on_pdf, stacked
from gasketcut.output.proof.pages import prove_pages
from gasketcut.output.proof.svg import prove_size
from gasketcut.pages.charts.files import by_ending
from gasketcut.pages.fonts import BODY, BOLD, use_fonts
from gasketcut.pages.traced.overlay import WIDTH, overlay_picture
from gasketcut.pages.traced.questions import question_pictures

_A4 = (210.0, 297.0)
_SIDE = 15.0  # mm, of a page
_ROOM = 5.0  # mm about the picture


def overlay_maker(name: Path) -> Callable[[Scan, Traced, str], bytes]:
    """Of the ending of the name, `.svg` or `.pdf`; raise `GasketError` for another."""
    return by_ending(name, "--overlay", {".svg": overlay_svg, ".pdf": overlay_pdf})


def overlay_svg(scan: Scan, traced: Traced, title: str) -> bytes:
    """All sheets below each other."""
    sheet = stacked(_pictures(scan, traced, title))
    picture = Picture(sheet.width + 2 * _ROOM, sheet.height + 2 * _ROOM, sheet.title)
    sheet.onto(picture, (_ROOM, _ROOM))
    data = as_svg(picture)
    prove_size(data, (picture.width, picture.height), title)
    return data


def overlay_pdf(scan: Scan, traced: Traced, title: str) -> bytes:
    """An A4 page each."""
    use_fonts()
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=(_A4[0] * PT, _A4[1] * PT), invariant=1)
    canvas.setTitle(f"{title}: traced")
    canvas.setCreator("gasketcut")
    pictures = _pictures(scan, traced, title)
    for number, picture in enumerate(pictures, 1):
        on_pdf(canvas, picture, (_SIDE, _A4[1] - _SIDE - picture.height), (BODY, BOLD))
        canvas.setFont(BODY, 7)
        canvas.drawRightString((_A4[0] - _SIDE) * PT, 8 * PT, f"page {number}")
        canvas.showPage()
    canvas.save()
    prove_pages(stream.getvalue(), [_A4] * len(pictures), title, photographs=True)
    return stream.getvalue()


def _pictures(scan: Scan, traced: Traced, title: str) -> list[Picture]:
    """All of it first, then what may be torn enlarged."""
    return [overlay_picture(scan, traced, title), *question_pictures(scan, traced, WIDTH)]
