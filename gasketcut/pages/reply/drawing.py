"""A received drawing with numbered places: axes with the file's own numbers, lines by what becomes of them, a legend.

Colours have a second mark each, so that it reads in black and white: lines their dashes, places the form of their ring.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor, hypot, log10

from gasketcut.output.picture import Picture, arc
from gasketcut.pages.columns import wide
from gasketcut.pages.free_place import AWAY, box_of, free_corner, on_white
from gasketcut.pages.reply.items import Form, Item
from gasketcut.plane import Point
from gasketcut.received.inspection import Inspection
from gasketcut.shape.loop import Segment

_RING, _TYPE, _AXIS_TYPE = 1.9, 7.5, 6.0  # mm, points of type
_NEAR = 3.0
"""mm on paper; places nearer than this share a ring."""

_CHORD = 0.03  # mm on paper
_LEAST_TALL = 20.0
_COLOURS: dict[Form, str] = {"ask": "#b00020", "look": "#8a5a00", "mend": "#1a5fa0"}
_LEGEND: dict[Form, str] = {"ask": "to be decided", "look": "please look", "mend": "put right by us"}
_CUT, _OPEN, _MARK = "#000000", "#b00020", "#2e7d32"
_OUTSIDE = "at the edge of the frame: lies beyond it"
_OPEN_DASH, _MARK_DASH = (2.0, 1.0), (0.4, 0.8)


@dataclass(frozen=True, slots=True)
class _Frame:
    """The field on the picture, and the way from the drawing's mm onto it."""

    left: float
    low: float
    width: float
    height: float
    scale: float
    corner: Point

    def at(self, point: Point) -> Point:
        return self.left + (point[0] - self.corner[0]) * self.scale, self.low + (point[1] - self.corner[1]) * self.scale

    def within(self, point: Point) -> Point:
        """On the edge, where it lies outside."""
        x, y = self.at(point)
        return min(max(x, self.left), self.left + self.width), min(max(y, self.low), self.low + self.height)


def drawing_of(found: Inspection, items: Sequence[Item], width: float, tallest: float) -> Picture:
    """As wide as said and no taller [mm]; not to scale, which the axes say. There has to be a line in it."""
    lines = [(one.contour.flattened, one.is_mark) for one in found.closed]
    fine = max(*found.size, 1e-6) / 500
    rough = [point for flattened, _ in lines for point in flattened(fine)]
    rough += [point for one in found.open for point in _points(one.segments, fine)]
    across, up = [x for x, _ in rough], [y for _, y in rough]
    low, high = (min(across), min(up)), (max(across), max(up))
    frame, foot = _framed(found, low, high, (width, tallest))
    picture = Picture(width, frame.low + frame.height + _RING + 2.0, "what was found")
    chord = _CHORD / frame.scale
    for flattened, is_mark in lines:
        points = [frame.at(point) for point in flattened(chord)]
        if is_mark:
            picture.line(*points, points[0], width=0.5, dash=_MARK_DASH, colour=_MARK)
        else:
            picture.line(*points, points[0], width=0.35, colour=_CUT)
    for one in found.open:
        points = [frame.at(point) for point in _points(one.segments, chord)]
        picture.line(*points, width=0.5 if one.is_mark else 0.7, dash=_MARK_DASH if one.is_mark else _OPEN_DASH,
                     colour=_MARK if one.is_mark else _OPEN)  # fmt: skip
    _axes(picture, found, frame)
    _numbers(picture, found, frame, items)
    _legend(picture, found, items, frame, foot)
    return picture


def _framed(found: Inspection, low: Point, high: Point, room: Point) -> tuple[_Frame, float]:
    """The field, and the height of the legend's upper line."""
    foot = 3.4 * _rows_of_legend(found)
    below, above, right = foot + 9.0, _RING + 2.0, 5.0
    labels = [f"{found.plane.back((low[0], y))[1]:.{_decimals(_step(found))}f}" for y in (low[1], high[1])]
    left = max(wide(label, _AXIS_TYPE) for label in labels) + 4.0
    across, up = room[0] - left - right, room[1] - below - above
    size = max(high[0] - low[0], 1e-9), max(high[1] - low[1], 1e-9)
    scale = min((across - 6.0) / size[0], (up - 6.0) / size[1])
    height = max(size[1] * scale + 6.0, _LEAST_TALL)
    corner = (low[0] + high[0]) / 2 - across / 2 / scale, (low[1] + high[1]) / 2 - height / 2 / scale
    return _Frame(left, below, across, height, scale, corner), foot


def _step(found: Inspection) -> float:
    """Between two ticks, in the file's own unit: 1, 2 or 5 times a power of ten, about eight along the longer side."""
    side = max(*found.size, 1e-6) / found.plane.scale / 8
    power = 10.0 ** floor(log10(max(side, 1e-9)))
    return next(power * times for times in (1, 2, 5, 10) if power * times >= side * 0.999)


def _decimals(step: float) -> int:
    return max(0, -floor(log10(step) + 1e-9))


def _axes(picture: Picture, found: Inspection, frame: _Frame) -> None:
    """A frame with ticks along the bottom and the left side."""
    right, top = frame.left + frame.width, frame.low + frame.height
    corners = ((frame.left, frame.low), (right, frame.low), (right, top), (frame.left, top), (frame.left, frame.low))
    picture.line(*corners, width=0.13, grey=0.4)
    end = frame.corner[0] + frame.width / frame.scale, frame.corner[1] + frame.height / frame.scale
    first, last = found.plane.back(frame.corner), found.plane.back(end)
    step = _step(found)
    decimals = _decimals(step)
    clear = frame.left  # right end of the last number along the bottom
    for number in _ticks(first[0], last[0], step):
        x = frame.at(found.plane(number, first[1]))[0]
        picture.line((x, frame.low), (x, frame.low + 1.2), width=0.13, grey=0.4)
        label = f"{number:.{decimals}f}"
        half = wide(label, _AXIS_TYPE) / 2
        if x - half > clear + 1.0 and x + half < right + 4.0:
            picture.words((x, frame.low - 3.0), label, _AXIS_TYPE, "middle")
            clear = x + half
    for number in _ticks(first[1], last[1], step):
        y = frame.at(found.plane(first[0], number))[1]
        picture.line((frame.left, y), (frame.left + 1.2, y), width=0.13, grey=0.4)
        picture.words((frame.left - 1.0, y - 0.8), f"{number:.{decimals}f}", _AXIS_TYPE, "end")
    unit = found.unit.likely or "the file's own unit"
    picture.words((right, frame.low - 6.0), f"numbers along the edges: {unit}, as in the file", _AXIS_TYPE, "end")


def _ticks(first: float, last: float, step: float) -> list[float]:
    count = min(60, max(0, floor(last / step) - ceil(first / step) + 1))
    return [(ceil(first / step) + one) * step for one in range(count)]


def _numbers(picture: Picture, found: Inspection, frame: _Frame, items: Sequence[Item]) -> None:
    """A ring at each place, and its number beside it where nothing else stands."""
    rings: list[tuple[Point, Form, list[int]]] = []
    for item in items:
        for place in item.places:
            at = frame.within(found.plane(*place.at))
            near = (one for one in rings if one[1] == item.form and hypot(one[0][0] - at[0], one[0][1] - at[1]) < _NEAR)
            ring = next(near, None)
            if ring is None:
                rings.append((at, item.form, [place.number]))
            else:
                ring[2].append(place.number)
    taken = [(x - _RING, y - _RING, x + _RING, y + _RING) for (x, y), _, _ in rings]
    field = (0.5, 12.0, picture.width - 0.5, picture.height - 0.3)
    for at, form, numbers in rings:
        _ring(picture, at, form)
        label = _runs(numbers)
        size = wide(label, _TYPE, bold=True), _TYPE * 0.27
        corner = free_corner(at, size, taken, field) or (at[0] + AWAY[0], at[1] - size[1] / 2)
        box = box_of(corner, size)
        taken.append(box)
        middle = corner[0] + size[0] / 2, corner[1] + size[1] / 2
        far = hypot(middle[0] - at[0], middle[1] - at[1])
        if far > 6.0 + size[0] / 2:
            picture.line((at[0] + (middle[0] - at[0]) * _RING / far, at[1] + (middle[1] - at[1]) * _RING / far), middle,
                         width=0.13, colour=_COLOURS[form])  # fmt: skip
        on_white(picture, box)
        picture.words(corner, label, _TYPE, bold=True)


def _ring(picture: Picture, at: Point, form: Form) -> None:
    """A circle to be decided, a square to look at, a dashed circle that is put right."""
    x, y = at
    if form == "look":
        side = _RING * 0.9
        corners = ((x - side, y - side), (x + side, y - side), (x + side, y + side), (x - side, y + side))
        picture.line(*corners, corners[0], width=0.5, colour=_COLOURS[form])
    else:
        dash = (0.8, 0.6) if form == "mend" else ()
        picture.line(*arc(at, _RING, 0.0, 360.0), width=0.5, dash=dash, colour=_COLOURS[form])


def _runs(numbers: Sequence[int]) -> str:
    """As short as it goes.

    >>> _runs([1, 2, 3, 7, 9, 10])
    '1-3, 7, 9, 10'
    """
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs)


def _rows_of_legend(found: Inspection) -> int:
    return 2 if found.closed or found.open else 1


def _legend(picture: Picture, found: Inspection, items: Sequence[Item], frame: _Frame, foot: float) -> None:
    """What the lines are, and below it what the rings are; only what is there."""
    x, y = frame.left, foot - 2.6
    has_marks = any(one.is_mark for one in found.closed) or any(one.is_mark for one in found.open)
    samples = [
        (any(not one.is_mark for one in found.closed), "closed, is cut", 0.35, (), _CUT),
        (any(not one.is_mark for one in found.open), "does not close", 0.7, _OPEN_DASH, _OPEN),
        (has_marks, "mark, not cut through", 0.5, _MARK_DASH, _MARK),
    ]
    for there, words, width, dash, colour in samples:
        if there:
            picture.line((x, y + 0.9), (x + 9.0, y + 0.9), width=width, dash=dash, colour=colour)
            picture.words((x + 10.5, y), words, _AXIS_TYPE)
            x += 10.5 + wide(words, _AXIS_TYPE) + 6.0
    if _rows_of_legend(found) == 2:
        x, y = frame.left, y - 3.4
    for form, words in _LEGEND.items():
        if any(item.form == form and item.places for item in items):
            _ring(picture, (x + _RING, y + 0.8), form)
            picture.words((x + 2 * _RING + 1.5, y), words, _AXIS_TYPE)
            x += 2 * _RING + 1.5 + wide(words, _AXIS_TYPE) + 6.0
    places = (found.plane(*place.at) for item in items for place in item.places)
    if any(frame.within(point) != frame.at(point) for point in places):
        picture.words((x, y), _OUTSIDE, _AXIS_TYPE)


def _points(segments: Sequence[Segment], chord: float) -> list[Point]:
    return [*(point for one in segments for point in one.points(chord)), segments[-1].end]
