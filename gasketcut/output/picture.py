"""A small drawing of lines and words, in mm with y up, that can be put down as SVG or on a PDF page alike.

Nothing is said by colour alone: lines differ in width and dashes too, areas in hatching, and all is named in words.
"""

from __future__ import annotations

import base64
import io
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import cos, radians, sin
from typing import TYPE_CHECKING, Literal
from xml.sax.saxutils import escape

from gasketcut.length import PT, Units, in_order
from gasketcut.outside import shown
from gasketcut.plane import Point

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

Anchor = Literal["start", "middle", "end"]
_FONT_FAMILY = "DejaVu Sans, Verdana, sans-serif"


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line through the points; `dash` in mm, grey 0 black to 1 white, or a `colour` such as `#b00020` in its place;
    filled with `fill` grey if that is given."""

    points: tuple[Point, ...]
    width: float = 0.25
    grey: float = 0.0
    dash: tuple[float, ...] = ()
    closed: bool = False
    fill: float | None = None
    colour: str = ""


@dataclass(frozen=True, slots=True)
class Words:
    """Text with its base line at `at`; size in points of type."""

    at: Point
    text: str
    size: float = 8.0
    anchor: Anchor = "start"
    turn: float = 0.0
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Photograph:
    """A PNG file stretched over a box: its lower left corner at `at`, so wide and so high [mm]."""

    at: Point
    size: Point
    png: bytes


Mark = Stroke | Words | Photograph


@dataclass(slots=True)
class Picture:
    """Width and height in mm, and what is on it, bottom first; of a length in both systems, `units` stand first."""

    width: float
    height: float
    title: str
    units: Units = "mm"
    marks: list[Mark] = field(default_factory=list)

    def line(
        self, *points: Point, width: float = 0.25, grey: float = 0.0, dash: tuple[float, ...] = (), colour: str = ""
    ) -> None:
        self.marks.append(Stroke(points, width, grey, dash, colour=colour))

    def area(self, *points: Point, fill: float = 0.9, width: float = 0.0) -> None:
        self.marks.append(Stroke(points, width, 0.0, (), closed=True, fill=fill))

    def words(
        self,
        at: Point,
        text: str,
        size: float = 8.0,
        anchor: Anchor = "start",
        turn: float = 0.0,
        *,
        bold: bool = False,
    ) -> None:
        self.marks.append(Words(at, shown(in_order(text, self.units)), size, anchor, turn, bold))

    def onto(self, other: Picture, at: Point) -> None:
        """Put all that is on it on another, its lower left corner at `at`."""
        for mark in self.marks:
            if isinstance(mark, Stroke):
                other.marks.append(replace(mark, points=tuple((x + at[0], y + at[1]) for x, y in mark.points)))
            else:
                other.marks.append(replace(mark, at=(mark.at[0] + at[0], mark.at[1] + at[1])))


def arc(center: Point, radius: float, first: float, last: float) -> tuple[Point, ...]:
    """Points of an arc from one direction to another, clockwise degrees from straight up, every degree or less."""
    count = max(2, round(abs(last - first)) + 1)
    turns = [radians(first + (last - first) * step / (count - 1)) for step in range(count)]
    return tuple((center[0] + radius * sin(turn), center[1] + radius * cos(turn)) for turn in turns)


def stacked(pictures: Sequence[Picture]) -> Picture:
    """One below the other, as wide as the widest, with the title of the first."""
    first = pictures[0]
    whole = Picture(max(one.width for one in pictures), sum(one.height for one in pictures), first.title, first.units)
    y = whole.height
    for one in pictures:
        y -= one.height
        one.onto(whole, (0.0, y))
    return whole


BESIDE = "SHEET"
"""The group that holds a picture's own lines and words where something else is drawn on it."""


def as_svg(picture: Picture, over: Sequence[str] = ()) -> bytes:
    """The bytes of an SVG file at true size; `over` are rows of SVG that are drawn on it."""
    width, height = picture.width, picture.height
    rows = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.2f}mm" height="{height:.2f}mm" '
        f'viewBox="0 0 {width:.2f} {height:.2f}" font-family="{_FONT_FAMILY}">',
        f"<title>{escape(shown(picture.title))}</title>",
        *([f'<g id="{BESIDE}">'] if over else []),
        f'<rect width="{width:.2f}" height="{height:.2f}" fill="#ffffff"/>',
        *(_svg(mark, height) for mark in picture.marks),
        *(["</g>", *over] if over else []),
        "</svg>",
    ]
    return ("\n".join(rows) + "\n").encode()


def _svg(mark: Mark, top: float) -> str:
    if isinstance(mark, Photograph):
        (x, y), (width, height) = mark.at, mark.size
        return (
            f'<image x="{x:.3f}" y="{top - y - height:.3f}" width="{width:.3f}" height="{height:.3f}" '
            f'preserveAspectRatio="none" href="data:image/png;base64,{base64.b64encode(mark.png).decode()}"/>'
        )
    if isinstance(mark, Words):
        x, y = mark.at[0], top - mark.at[1]
        turn = f' transform="rotate({-mark.turn:.2f} {x:.3f} {y:.3f})"' if mark.turn else ""
        weight = ' font-weight="bold"' if mark.bold else ""
        return (
            f'<text x="{x:.3f}" y="{y:.3f}" font-size="{mark.size / PT:.3f}" text-anchor="{mark.anchor}"{weight}{turn}>'
            f"{escape(mark.text)}</text>"
        )
    steps = " L".join(f"{x:.3f} {top - y:.3f}" for x, y in mark.points)
    dash = f' stroke-dasharray="{" ".join(f"{part:.2f}" for part in mark.dash)}"' if mark.dash else ""
    ink = mark.colour or _hex(mark.grey)
    stroke = f'stroke="{ink}" stroke-width="{mark.width:.3f}"' if mark.width else 'stroke="none"'
    fill = _hex(mark.fill) if mark.fill is not None else "none"
    return f'<path d="M{steps}{" Z" if mark.closed else ""}" fill="{fill}" {stroke}{dash}/>'


def _hex(grey: float) -> str:
    return "#" + f"{round(grey * 255):02x}" * 3


def on_pdf(canvas: Canvas, picture: Picture, at: Point, fonts: tuple[str, str]) -> None:
    """Draw it with its lower left corner at `at` [mm]; `fonts` are the names of the plain and the bold one."""
    for mark in picture.marks:
        if isinstance(mark, Words):
            _pdf_words(canvas, mark, at, fonts)
            continue
        if isinstance(mark, Photograph):
            _pdf_photograph(canvas, mark, at)
            continue
        canvas.setLineWidth(mark.width * PT)
        canvas.setStrokeColor(mark.colour or _hex(mark.grey))
        canvas.setDash([part * PT for part in mark.dash])
        path = canvas.beginPath()
        for number, (x, y) in enumerate(mark.points):
            (path.lineTo if number else path.moveTo)((x + at[0]) * PT, (y + at[1]) * PT)
        if mark.closed:
            path.close()
        if mark.fill is not None:
            canvas.setFillGray(mark.fill)
        canvas.drawPath(path, stroke=int(mark.width > 0), fill=int(mark.fill is not None))
    canvas.setDash([])
    canvas.setFillGray(0)


def _pdf_words(canvas: Canvas, mark: Words, at: Point, fonts: tuple[str, str]) -> None:
    canvas.saveState()
    canvas.translate((mark.at[0] + at[0]) * PT, (mark.at[1] + at[1]) * PT)
    canvas.rotate(mark.turn)
    canvas.setFillGray(0)
    canvas.setFont(fonts[int(mark.bold)], mark.size)
    {"start": canvas.drawString, "middle": canvas.drawCentredString, "end": canvas.drawRightString}[mark.anchor](
        0, 0, mark.text
    )
    canvas.restoreState()


def _pdf_photograph(canvas: Canvas, mark: Photograph, at: Point) -> None:
    from reportlab.lib.utils import ImageReader

    (x, y), (width, height) = mark.at, mark.size
    picture = ImageReader(io.BytesIO(mark.png))
    canvas.drawImage(picture, (x + at[0]) * PT, (y + at[1]) * PT, width * PT, height * PT)
