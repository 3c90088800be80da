"""Timing diagram and squish chart as files: SVG each, and both on one PDF page."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TypeVar

from reportlab.lib.pagesizes import A4
from reportlab.pdfgen.canvas import Canvas

from gasketcut.engine.squish.result import SquishResult
from gasketcut.errors import GasketError
from gasketcut.length import PT
from gasketcut.output.picture import Picture, as_svg, on_pdf
from gasketcut.output.proof.pages import prove_pages
from gasketcut.output.proof.svg import prove_size
from gasketcut.outside import shown
from gasketcut.pages.charts.rings import timing_diagram
from gasketcut.pages.charts.squish import squish_chart
from gasketcut.pages.fonts import BODY, BOLD, use_fonts

T = TypeVar("T")


def squish_files(answer: SquishResult, title: str) -> dict[str, bytes]:
    """The pictures and the page with all of them, by name."""
    pictures = {"squish-choices": squish_chart(answer)}
    if answer.after.ports:
        pictures["port-timing"] = timing_diagram(answer)
    files = {f"{name}.svg": as_svg(picture) for name, picture in pictures.items()}
    for name, picture in pictures.items():
        prove_size(files[f"{name}.svg"], (picture.width, picture.height), name)
    files["squish.pdf"] = picture_page(list(pictures.values()), title, "squish")
    return files


def picture_maker(name: Path) -> Callable[[Picture], bytes]:
    """What makes the bytes of the file that the ending says, `.svg` or `.pdf`; raise `GasketError` for another."""
    return by_ending(name, "--picture", {".svg": _svg_alone, ".pdf": _page_alone})


def by_ending(name: Path, option: str, makers: Mapping[str, T]) -> T:
    """What the name's ending asks for; raise `GasketError` for one that is not among them."""
    if (made := makers.get(name.suffix.lower())) is not None:
        return made
    raise GasketError(f"{option} {shown(str(name))}: give it a name that ends in {' or '.join(makers)}")


def _svg_alone(picture: Picture) -> bytes:
    data = as_svg(picture)
    prove_size(data, (picture.width, picture.height), picture.title)
    return data


def _page_alone(picture: Picture) -> bytes:
    return picture_page([picture], picture.title, "picture", headed=False)  # its title stands in it


def picture_page(pictures: list[Picture], title: str, what: str, *, headed: bool = True) -> bytes:
    """The bytes of one A4 page with the pictures below each other, below the title where it is `headed`."""
    use_fonts()
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=A4, invariant=1)
    canvas.setTitle(f"{title}: {what}")
    canvas.setCreator("gasketcut")
    y = A4[1] / PT - 18
    if headed:
        canvas.setFont(BOLD, 14)
        canvas.drawString(20 * PT, y * PT, title)
    for picture in pictures:
        y -= picture.height + 6
        on_pdf(canvas, picture, (20, y), (BODY, BOLD))
    canvas.showPage()
    canvas.save()
    prove_pages(stream.getvalue(), [(A4[0] / PT, A4[1] / PT)], what)
    return stream.getvalue()
