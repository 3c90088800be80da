"""Two drawings laid over each other: the first wide and grey, the second dashed, a ring at what differs most."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from gasketcut.comparing.comparison import Comparison
from gasketcut.length import both
from gasketcut.output.picture import Picture, arc
from gasketcut.plane import Point
from gasketcut.shape.loop import Contour, Outline

_WIDTH, _HIGHEST, _MARGIN = 180.0, 170.0, 12.0
_FLAT = 0.02
_MARKED = 40
_SEEN = 0.01


def compare_picture(found: Comparison, first: Sequence[Outline], second: Sequence[Outline], title: str) -> Picture:
    """A page wide, not to scale. Pieces of the second are drawn as they lie over their partners in the first."""
    lines = [_points(contour) for outline in first for contour in outline.contours]
    laid = [
        piece.placing.inverse(np.array(_points(contour))).tolist()
        for piece in found.pieces
        for contour in second[piece.numbers[1]].contours
    ]
    places = np.array([point for line in (*lines, *laid) for point in line])
    low, high = places.min(axis=0), places.max(axis=0)
    width, height = np.maximum(high - low, 1e-6).tolist()
    scale = min((_WIDTH - 2 * _MARGIN) / width, _HIGHEST / height)
    foot = 30.0
    picture = Picture(_WIDTH, height * scale + 2 * _MARGIN + foot, title)

    def place(point: Sequence[float]) -> Point:
        return _MARGIN + (point[0] - low[0]) * scale, foot + _MARGIN + (point[1] - low[1]) * scale

    for line in lines:
        picture.line(*[place(point) for point in (*line, line[0])], width=0.8, grey=0.7)
    for line in laid:
        picture.line(*[place(point) for point in (*line, line[0])], width=0.25, dash=(2.0, 1.0))
    differ = sorted((hole for one in found.pieces for hole in one.holes if hole.off >= _SEEN), key=lambda one: -one.off)
    for hole in differ[:_MARKED]:
        x, y = place(hole.at)
        picture.words((x, y - 1.2), f"{hole.off:.2f}", 7, "middle")
    for word, those in (("missing", _alone(found, "missing")), ("extra", _alone(found, "extra"))):
        for at in those[:_MARKED]:
            x, y = place(at)
            picture.line((x - 2, y - 2), (x + 2, y + 2), width=0.5)
            picture.line((x - 2, y + 2), (x + 2, y - 2), width=0.5)
            picture.words((x + 2.6, y - 1.2), word, 7)
    picture.words((_MARGIN, foot - 4), title, 10, bold=True)
    said = "the same" if found.is_same else "not the same"
    turned = ", one is turned over" if found.mirrored else ""
    picture.words((_MARGIN, foot - 10), f"{said} within {both(found.within)}{turned}", 8)
    if found.largest is not None:
        picture.line(*arc(place(found.largest.at), 3.0, 0.0, 360.0), width=0.6)
        ring = f"ring: largest deviation, {both(found.largest.size, 3)}"
        picture.words((_MARGIN, foot - 16), f"{ring}; numbers: by how much a hole's edge is off, in mm", 8)
    picture.words((_MARGIN, foot - 22), "wide grey: the first; dashed: the second, laid over it", 8)
    return picture


def _alone(found: Comparison, side: str) -> list[Point]:
    whole = found.missing if side == "missing" else found.extra
    holes = [one for piece in found.pieces for one in (piece.missing if side == "missing" else piece.extra)]
    return [one.at for one in (*whole, *holes)]


def _points(contour: Contour) -> list[Point]:
    return contour.flattened(_FLAT)
