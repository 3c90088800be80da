"""What may be torn: its number on the sheet, and the place enlarged with what is offered and what to write."""

from __future__ import annotations

from collections.abc import Sequence

from gasketcut.capture.image.picture_file import Scan
from gasketcut.capture.scale.photo import Photo
from gasketcut.capture.torn.question import Question
from gasketcut.capture.traced import Traced
from gasketcut.output.picture import Picture
from gasketcut.pages.columns import paragraph
from gasketcut.pages.free_place import Box, free_corner
from gasketcut.pages.traced.edges import FITTED
from gasketcut.pages.traced.frame import Frame, picture_below
from gasketcut.pages.traced.measures import ring
from gasketcut.pages.traced.numbers import dashed, number_stretches, within

A_PAGE = 4
"""Places on one page."""

_WIDE, _HIGH, _GAP = 72.0, 56.0, 5.0  # mm; of the frame of an enlarged place, and between two
_RING = 2.6
_LARGEST = 12.0  # times life size
_ABOUT = 1.4  # of the reach that is shown about a place
_KINDS = {"torn": "an edge that may be torn", "missing": "a piece that may be missing"}


def number_questions(picture: Picture, frame: Frame, traced: Traced, taken: list[Box]) -> None:
    """Each number in a ring beside its place, with a line to it."""
    for one in traced.questions:
        at = frame.at(traced.parts[one.part], one.at)
        size = (2 * _RING, 2 * _RING)
        corner = free_corner(at, size, taken, frame.field, away=(4.0, 6.0, 9.0, 13.0, 18.0)) or (at[0] + 4.0, at[1])
        middle = corner[0] + _RING, corner[1] + _RING
        picture.line(at, middle, width=0.2)
        ring(picture, middle, _RING, str(one.number))
        taken.append((corner[0], corner[1], corner[0] + size[0], corner[1] + size[1]))


def question_pictures(scan: Scan, traced: Traced, width: float) -> list[Picture]:
    """A few a page, each with its words beside it."""
    rest = traced.questions
    return [_page(scan, traced, rest[n : n + A_PAGE], width) for n in range(0, len(rest), A_PAGE)]


def _page(scan: Scan, traced: Traced, some: Sequence[Question], width: float) -> Picture:
    picture = Picture(width, len(some) * (_HIGH + _GAP), "what may be torn")
    for row, one in enumerate(some):
        top = picture.height - row * (_HIGH + _GAP) - _GAP
        frame = _place(picture, scan, traced, one, top)
        _words(picture, one, frame, top)
    return picture


def _place(picture: Picture, scan: Scan, traced: Traced, one: Question, top: float) -> Frame:
    field = (0.0, top - _HIGH, _WIDE, top)
    scale = min(_LARGEST, _HIGH / (2 * _ABOUT * one.reach))
    part = traced.parts[one.part]
    x, y = part.middle[0] + one.at[0], one.at[1] - part.middle[1]
    frame = Frame(field, scale, (x - _WIDE / 2 / scale, y - _HIGH / 2 / scale))
    if not isinstance(traced.scale, Photo):
        picture_below(picture, frame, scan, traced.scale)
    for contour in part.contours:
        points = contour.flattened(0.02 / scale)
        for line in within([frame.at(part, point) for point in (*points, points[0])], field):
            picture.line(*line, width=FITTED)
    for way in one.offered:
        dashed(picture, frame, part, way, width=FITTED * 1.4)
    number_stretches(picture, frame, part, [])
    left, low, right, high = field
    picture.line((left, low), (right, low), (right, high), (left, high), (left, low), width=0.2)
    return frame


def _words(picture: Picture, one: Question, frame: Frame, top: float) -> None:
    x, width = _WIDE + _GAP, picture.width - _WIDE - _GAP
    y = top - paragraph(picture, (x, top), f"{one.number}  {_KINDS[one.kind]}", width, 9, bold=True)
    y -= paragraph(picture, (x, y), f"{one.text[:1].upper()}{one.text[1:]}", width, 8)
    for do in one.do:
        y -= paragraph(picture, (x, y - 1.0), do, width, 8) + 1.0
    paragraph(picture, (x, y - 1.5), f"Drawn {frame.scale:.1f} : 1; solid: fitted; dashes: what is offered.", width, 7)
