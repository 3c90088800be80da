"""How far a cut part is off its drawing all round, drawn many times as large as it is, with the worst places numbered.

Thin line    the drawing
Thick line   the part's edge, its distance from the drawing so many times as large
Short dashes as far as the edge may be off, as many times as large
Nothing is said by colour.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from gasketcut.arrays import Array
from gasketcut.comparing.cut.cut_comparison import CutComparison, CutVerdict
from gasketcut.evaluation.as_cut import AsCut
from gasketcut.length import both
from gasketcut.output.compared.cut_names import edge_name, hole_name
from gasketcut.output.picture import Picture
from gasketcut.pages.columns import paragraph, table
from gasketcut.plane import Point, place_text
from gasketcut.tolerances import TWO_SIDED_95

_WIDTH, _PAGE, _HIGHEST, _ROOM, _SIDE = 170.0, 268.0, 130.0, 12.0, 24.0
"""mm; on an A4 page with what stands below it."""

_FACTORS = (200.0, 100.0, 50.0, 20.0, 10.0, 5.0, 2.0, 1.0)
_SHOWN = 6.0
"""mm on the page that the farthest place may stand off, and what is allowed."""

_INTO = 0.7
"""Of a hole's half width, to which the line of what is allowed may reach into it."""

_PLACES, _HOLES = 8, 12
"""Places and holes that are named one by one."""

_SIZES = (0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0)
"""mm; one of these is drawn beside the part."""

_SEEN = 2.0
"""mm on the page that such a length takes at least, so far as there is one."""

_FLAT = 0.02
_APART = 4.2  # mm between two numbers beside the part
_SAYS = {
    CutVerdict.AS_DRAWN: "cut as drawn",
    CutVerdict.NOT_PROVEN: "not proven: the picture is not sure enough",
    CutVerdict.NOT_AS_DRAWN: "not cut as drawn",
}


def deviation_map(found: CutComparison, checks: AsCut, title: str) -> Picture:
    """A page wide."""
    left, low, right, high = found.drawn.bounds
    wide, tall = right - left, high - low
    below = _below(found, checks)
    room = min(_HIGHEST, _PAGE - below.height - 2 * _ROOM - 20)
    scale = min((_WIDTH - 2 * _SIDE) / wide, room / tall)
    largest = max([found.within, *(abs(one.out) for one in found.worst)])
    factor = next((one for one in _FACTORS if largest * one * scale <= _SHOWN), _FACTORS[-1])
    picture = Picture(_WIDTH, tall * scale + 2 * _ROOM + 20 + below.height, title, checks.drawn.units)
    origin = (_WIDTH - wide * scale) / 2 - left * scale, below.height + 8 + _ROOM - low * scale

    def at(place: Sequence[float]) -> Point:
        return origin[0] + place[0] * scale, origin[1] + place[1] * scale

    def line(places: Array, width: float, dash: tuple[float, ...] = (), grey: float = 0.0) -> None:
        picture.line(*[at(one) for one in (*places.tolist(), places[0].tolist())], width=width, dash=dash, grey=grey)

    for contour in found.drawn.contours:
        line(np.array(contour.flattened(_FLAT)), 0.15)
    for one in found.strays:
        feet, way, out = one.feet, one.way, one.out[:, None]
        contour = found.drawn.outer if one.number == 0 else found.drawn.inner[one.number - 1]
        half = 2 * contour.area / contour.length  # a circle's radius, half of a slot's width
        for side in (-1.0, 1.0):
            if side > 0 and one.number > 0 and found.within * factor > _INTO * half:
                continue  # it would cross itself in a small hole
            line(_thinned(feet + side * found.within * factor * way, scale), 0.12, (0.7, 0.7), 0.35)
        line(_thinned(feet + factor * out * way, scale), 0.5)
    for words, those in (("not cut", found.missing), ("not drawn", found.extra)):
        for left_over in those:
            _crossed(picture, at(left_over.at), words)
    _numbers(picture, found, at, (at((left, low))[0] - 12.0, at((right, high))[0] + 12.0))
    y = picture.height - 6
    picture.words((2, y), title, 10, bold=True)
    turned = "; the picture shows it turned over" if found.mirrored else ""
    picture.words((2, y - 5), f"{_SAYS[found.verdict]} within {both(found.within)}{turned}", 8)
    _bar(picture, (2.0, below.height + 4.0), factor, scale)
    below.onto(picture, (0.0, 0.0))
    return picture


def _thinned(places: Array, scale: float) -> Array:
    """As many as a line on paper shows: 0.15 mm apart."""
    step = max(1, int(0.15 / (scale * 0.06)))
    return places[::step]


def _numbers(picture: Picture, found: CutComparison, at: object, sides: tuple[float, float]) -> None:
    """Beside the part, a line to each place; none lies on another."""
    assert callable(at)
    rows = [(n, at(one.at)) for n, one in enumerate(found.worst[:_PLACES], 1)]
    middle = picture.width / 2
    for side, x in ((0, sides[0]), (1, sides[1])):
        own = sorted((row for row in rows if (row[1][0] > middle) == bool(side)), key=lambda row: row[1][1])
        heights = [place[1] for _, place in own]
        for n in range(1, len(heights)):
            heights[n] = max(heights[n], heights[n - 1] + _APART)
        for (number, place), height in zip(own, heights, strict=True):
            picture.line(place, (x, height), width=0.12)
            picture.area(*_dot(place), fill=0.0)
            to_right = 1.0 if side else -1.0
            picture.words((x + to_right, height - 1.1), f"{number}", 9, "start" if side else "end", bold=True)


def _crossed(picture: Picture, place: Point, words: str) -> None:
    x, y = place
    picture.line((x - 2, y - 2), (x + 2, y + 2), width=0.4)
    picture.line((x - 2, y + 2), (x + 2, y - 2), width=0.4)
    picture.words((x + 3, y - 1.1), words, 8)


def _dot(place: Point) -> list[Point]:
    x, y = place
    return [(x - 0.5, y), (x, y - 0.5), (x + 0.5, y), (x, y + 0.5)]


def _bar(picture: Picture, at: Point, factor: float, scale: float) -> None:
    """As long as a tenth of a millimetre, or the next size that can be seen, is drawn."""
    size = next((one for one in _SIZES if one * factor * scale >= _SEEN), _SIZES[-1])
    x, y = at
    long = size * factor * scale
    picture.line((x, y), (x + long, y), width=0.5)
    for end in (x, x + long):
        picture.line((end, y - 1), (end, y + 1), width=0.25)
    words = f"{size:g} mm off the drawing: {factor:g} times as far as the part itself is drawn ({scale:.2f} : 1)"
    picture.words((x + long + 2, y - 1), words, 8)


def _below(found: CutComparison, checks: AsCut) -> Picture:
    """The words and the table under the part."""
    part = checks.drawn.part
    rows = [["", "outwards [mm]", "+- at 95 %", "where"]]
    for n, one in enumerate(found.worst[:_PLACES], 1):
        name = edge_name(found, part, one.edge)
        where = f"{name} at {place_text(one.at)}" if one.edge == 0 else name
        rows.append([f"{n}", f"{one.out:+.3f}", f"{TWO_SIDED_95 * one.sigma:.3f}", where])
    holes = [["hole", "moved [mm]", "+- at 95 %", "diameter [mm]", "+- at 95 %", "drawn [mm]"]]
    for hole in found.holes[:_HOLES]:
        sure = f"{TWO_SIDED_95 * hole.diameter_sigma:.3f}"
        wide = ("not round", "") if hole.diameter is None else (f"{hole.diameter:.3f}", sure)
        moved = f"{hole.moved:.3f}", f"{TWO_SIDED_95 * hole.shift_sigma:.3f}"
        holes.append([hole_name(part, hole.at), *moved, *wide, f"{hole.drawn:.3f}"])
    picture = Picture(_WIDTH, 0.0, "")
    y = 0.0
    lines = (
        "Thin: the drawing; thick: the part's edge, so many times as far off; short dashes: what may be off, as many"
    )
    y -= paragraph(picture, (2, y), f"{lines} times as far. Numbers: the farthest places.", _WIDTH - 4, 8)
    offset = f"Offset all round {both(found.fit.offset, 3)}, outwards positive."
    checked = f"As it was cut: {checks.verdict.value}; as drawn: {checks.drawn.verdict.value}."
    y -= paragraph(picture, (2, y), f"{offset} {checked}", _WIDTH - 4, 8) + 2
    y -= table(picture, (2, y), (8, 27, 24, 90), rows, 8) + 4
    if len(holes) > 1:
        y -= table(picture, (2, y), (54, 21, 21, 27, 21, 22), holes, 8)
    whole = Picture(_WIDTH, -y + 3, "")
    picture.onto(whole, (0.0, -y + 3))
    return whole
