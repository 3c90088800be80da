"""What stands on the sheet beside the edges: sizes of the whole, names of holes and windows, a bar of known length."""

from __future__ import annotations

from math import hypot

import numpy as np

from gasketcut.capture.traced_part import TracedPart
from gasketcut.output.picture import Picture, arc
from gasketcut.pages.columns import wide
from gasketcut.pages.free_place import Box, box_of, free_corner, on_white
from gasketcut.pages.traced.frame import Frame
from gasketcut.plane import Point
from gasketcut.shape.loop import Circle, Outline

NAME_TYPE, SMALL_TYPE = 8.0, 6.5
_TALL = 0.27
"""Height of a capital, mm on paper for a point of type."""

_OFF = 6.0  # mm on paper from the part to the line that measures it
_BARS = (1, 2, 5, 10, 20, 50, 100, 200)


def size_of(label: str, points: float, *, bold: bool = False) -> Point:
    """Width and height of a word on paper [mm]."""
    return wide(label, points, bold=bold), points * _TALL


def dimensions(picture: Picture, frame: Frame, part: TracedPart, words: tuple[str, str], taken: list[Box]) -> None:
    """Width below the part and height to its left, each with its words."""
    bounds = Outline(part.outline.contour, (), 0.0).bounds
    (left, low), (right, high) = frame.at(part, bounds[:2]), frame.at(part, bounds[2:])
    y, x = low - _OFF, left - _OFF
    for end in (left, right):
        picture.line((end, low - 1.0), (end, y - 1.0), width=0.13)
        picture.line((end - 0.8, y - 0.8), (end + 0.8, y + 0.8), width=0.3)
    for end in (low, high):
        picture.line((left - 1.0, end), (x - 1.0, end), width=0.13)
        picture.line((x - 0.8, end - 0.8), (x + 0.8, end + 0.8), width=0.3)
    picture.line((left, y), (right, y), width=0.13)
    picture.line((x, low), (x, high), width=0.13)
    half, tall = wide(words[0], SMALL_TYPE) / 2, SMALL_TYPE * _TALL
    across = box_of(((left + right) / 2 - half, y - tall / 2), (2 * half, tall))
    on_white(picture, across)
    picture.words(((left + right) / 2, y - tall / 2), words[0], SMALL_TYPE, "middle")
    half = wide(words[1], SMALL_TYPE) / 2
    up = box_of((x - tall / 2, (low + high) / 2 - half), (tall, 2 * half))
    on_white(picture, up)
    picture.words((x + tall / 2, (low + high) / 2), words[1], SMALL_TYPE, "middle", 90.0)
    taken += [across, up]


def names(picture: Picture, frame: Frame, part: TracedPart, taken: list[Box], field: Box) -> None:
    """In the middle of a hole or a window where there is room, else beside it with a line to it."""
    for name, middle, reach in _named(part):
        at, size = frame.at(part, middle), size_of(name, NAME_TYPE, bold=True)
        inside = hypot(*size) / 2 + 0.4 <= reach * frame.scale
        corner = (at[0] - size[0] / 2, at[1] - size[1] / 2)
        if not inside:
            edge = reach * frame.scale
            away = (edge + 1.2, edge + 3.0, edge + 5.0, edge + 8.0, edge + 12.0)
            corner = free_corner(at, size, taken, field, away=away) or (at[0] + edge + 1.2, corner[1])
            picture.line(at, (corner[0] + size[0] / 2, corner[1] + size[1] / 2), width=0.13)
            on_white(picture, box_of(corner, size))
        taken.append(box_of(corner, size))
        picture.words(corner, name, NAME_TYPE, bold=True)


def keep_clear(frame: Frame, part: TracedPart) -> list[Box]:
    """Small boxes along all edges: no word is to lie on one."""
    boxes = []
    for contour in part.contours:
        for point in contour.flattened(0.5 / frame.scale):
            x, y = frame.at(part, point)
            boxes.append((x - 0.2, y - 0.2, x + 0.2, y + 0.2))
    return boxes


def bar(picture: Picture, scale: float, at: Point, longest: float) -> None:
    """A length of whole millimetres, in two halves, one of them filled."""
    length = max((one for one in _BARS if one * scale <= longest), default=_BARS[0])
    wide_, (x, y) = length * scale, at
    picture.area((x, y), (x + wide_ / 2, y), (x + wide_ / 2, y + 1.4), (x, y + 1.4), fill=0.0, width=0.2)
    picture.area(
        (x + wide_ / 2, y), (x + wide_, y), (x + wide_, y + 1.4), (x + wide_ / 2, y + 1.4), fill=1.0, width=0.2
    )
    picture.words((x + wide_ + 1.5, y), f"{length} mm", SMALL_TYPE)


def _named(part: TracedPart) -> list[tuple[str, Point, float]]:
    """Name, a point in the middle, and how far it is from there to the edge [mm]."""
    found = [(hole.name, hole.circle.center, hole.circle.radius) for hole in part.holes]
    for window in part.windows:
        contour = window.edge.contour
        if isinstance(contour, Circle):
            found.append((window.name, contour.center, contour.radius))
            continue
        points = np.array(contour.flattened(0.05))
        x, y = (float(one) for one in (points.min(axis=0) + points.max(axis=0)) / 2)
        found.append((window.name, (x, y), float(np.hypot(*(points - (x, y)).T).min())))
    return found


def ring(picture: Picture, at: Point, radius: float, words: str) -> None:
    """A number in a circle."""
    picture.line(*arc(at, radius, 0.0, 360.0), width=0.4)
    picture.words((at[0], at[1] - NAME_TYPE * _TALL / 2), words, NAME_TYPE, "middle", bold=True)
