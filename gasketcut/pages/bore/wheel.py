"""The degree wheel at full size: degrees outside, piston travel on the back ring, the ports at their angles.

Degrees run from 0 at TDC to 180 both ways, so that "so many after TDC" and "so many before TDC" are read straight off.
Turn     degrees from TDC, after it positive (see `engine/events.py`).
Compass  degrees clockwise from the top of the page; how turns lie on it depends on which way the crank turns.
Old is solid, new is dashed and heavier: nothing is said by colour.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, floor, pi, radians, sin
from typing import Literal

from gasketcut.engine.ports.crank import Crank
from gasketcut.engine.ports.events import Event
from gasketcut.length import PT
from gasketcut.output.picture import Picture, arc
from gasketcut.pages.columns import wide
from gasketcut.plane import Point

Way = Literal["clockwise", "counter-clockwise"]

_OLD, _NEW = (0.35, ()), (0.6, (1.4, 0.9))  # width and dashes [mm]
_HOLES = (6, 8, 10, 12)  # mm; circles to cut the middle out by, for the end of a crank. Our choice
_LABEL = 7.0  # points of type
_SMALLEST = 60.0  # mm; the rings alone take 40


@dataclass(frozen=True, slots=True)
class Wheel:
    """What a disc is drawn from: middle and radius on the page [mm], way of turning, crank, events, title."""

    middle: Point
    radius: float
    way: Way
    crank: Crank
    events: tuple[Event, ...]
    title: str

    def compass(self, turn: float) -> float:
        """A crank that turns clockwise brings what lies counter-clockwise of TDC to the pointer after it."""
        return -turn if self.way == "clockwise" else turn

    def at(self, radius: float, turn: float) -> Point:
        direction = radians(self.compass(turn))
        return self.middle[0] + radius * sin(direction), self.middle[1] + radius * cos(direction)


def draw_wheel(picture: Picture, wheel: Wheel) -> None:
    """Draw the disc into the picture. Raise `ValueError` below a radius of 60 mm, where its rings are not readable."""
    if wheel.radius < _SMALLEST:
        raise ValueError(f"a wheel of {2 * wheel.radius:.0f} mm is too small to be read")
    _degrees(picture, wheel)
    _travel(picture, wheel)
    _events(picture, wheel)
    _middle(picture, wheel)


def _circle(picture: Picture, wheel: Wheel, radius: float, width: float) -> None:
    picture.line(*arc(wheel.middle, radius, 0, 360), width=width)


def _tick(picture: Picture, wheel: Wheel, turn: float, outer: float, length: float, width: float) -> None:
    picture.line(wheel.at(outer, turn), wheel.at(outer - length, turn), width=width)


def _number(picture: Picture, wheel: Wheel, turn: float, radius: float, words: str, size: float) -> None:
    """With its feet to the middle: upright where the pointer stands on top."""
    picture.words(wheel.at(radius, turn), words, size, "middle", turn=-wheel.compass(turn))


def _degrees(picture: Picture, wheel: Wheel) -> None:
    r = wheel.radius
    _circle(picture, wheel, r, 0.25)
    for turn in range(-179, 181):
        length, width = (6.5, 0.25) if turn % 10 == 0 else (4.8, 0.18) if turn % 5 == 0 else (3.2, 0.13)
        _tick(picture, wheel, turn, r, length, width)
        if turn % 10 == 0:
            _number(picture, wheel, turn, r - 10.2, str(abs(turn)), 9)
    _circle(picture, wheel, r - 12.0, 0.13)


def _travel(picture: Picture, wheel: Wheel) -> None:
    """The back ring: mm of travel on both strokes, each by the crank's own angle."""
    r, crank = wheel.radius - 12.0, wheel.crank
    for travel, after, before in crank.travel_marks():
        whole, five = travel % 1 == 0, travel % 5 == 0
        for turn in (after, before):
            if abs(turn) > crank.bdc - 1e-6:
                continue
            _tick(picture, wheel, turn, r, 4.0 if five else 2.8 if whole else 1.6, 0.2 if five else 0.13)
            if (five and _clear(travel, crank)) or (whole and travel < 5):
                _number(picture, wheel, turn, r - 6.6, f"{travel:.0f}", 7)
    _number(picture, wheel, 0, r - 6.6, "0", 7)
    _number(picture, wheel, crank.bdc, r - 6.6, f"{crank.full_travel:.1f}", 7)
    for turn in (0.0, crank.bdc):
        _tick(picture, wheel, turn, r, 4.0, 0.35)
    _circle(picture, wheel, r - 8.2, 0.13)


def _clear(travel: float, crank: Crank) -> bool:
    """Far enough from BDC for a number of its own beside that of the whole stroke."""
    return crank.bdc - crank.after(travel) > 7 and floor(travel) < crank.full_travel


# -- events ----------------------------------------------------------------------------------------------------


def _events(picture: Picture, wheel: Wheel) -> None:
    marks: list[tuple[float, str, str, bool]] = []
    for event in wheel.events:
        changed = event.new is not None and abs(event.new - event.old) >= 0.05
        rest = f" {event.what} {abs(event.old):.1f}" + (" old" if changed else "")
        marks.append((event.old, event.port, rest, False))
        if changed and event.new is not None:
            marks.append((event.new, event.port, f" {event.what} {abs(event.new):.1f} new", True))
    marks.sort()
    outer, inner = wheel.radius - 27.0, 31.0
    apart = _LABEL / PT * 1.1 / inner * 180 / pi
    places = spread([mark[0] for mark in marks], apart)
    for (turn, port, rest, new), place in zip(marks, places, strict=True):
        width, dash = _NEW if new else _OLD
        r = wheel.radius
        for first, last in ((r, r - 6.9), (r - 11.4, r - 16.2), (r - 19.8, r - 22.5)):  # the numbers stay free
            picture.line(wheel.at(first, turn), wheel.at(last, turn), width=width, dash=dash)
        picture.line(wheel.at(r - 22.5, turn), wheel.at(outer + 0.8, place), width=0.18)
        _label(picture, wheel, place, (port, rest), (inner, outer))


def _label(picture: Picture, wheel: Wheel, turn: float, words: tuple[str, str], reach: tuple[float, float]) -> None:
    """Along the radius, its outer end at the mark."""
    inner, outer = reach
    text, size = _fitted(*words, outer - inner)
    compass = wheel.compass(turn) % 360
    flip = compass > 180
    x, y = wheel.at(outer, turn)
    lean = 90 - compass + (180 if flip else 0)
    drop = 0.36 * size / PT
    foot = (x + drop * sin(radians(lean)), y - drop * cos(radians(lean)))
    picture.words(foot, text, size, "start" if flip else "end", turn=lean)


def _fitted(name: str, rest: str, room: float) -> tuple[str, float]:
    """Words and size that go into the room [mm]: smaller first, then all words of the name but the last cut short."""
    *first, last = name.split() or [name]
    for keep in (99, 3, 1):
        text = " ".join([*(word if len(word) <= keep else f"{word[:keep]}." for word in first), last]) + rest
        for size in (_LABEL, 6.5, 6.0, 5.5):
            if wide(text, size) <= room:
                return text, size
    while len(last) > 1 and wide(f"{last}…{rest}", 5.5) > room:
        last = last[:-1]
    return f"{last}…{rest}", 5.5


def spread(turns: list[float], apart: float) -> list[float]:
    """Places for labels, in order and at least `apart` from each other, as near to their turns as that allows.

    >>> spread([10.0, 11.0, 40.0], 4.0)
    [8.5, 12.5, 40.0]
    """
    blocks: list[tuple[float, int]] = []  # middle of the first label's wish, and how many
    for turn in turns:
        start, count = turn, 1
        while blocks and blocks[-1][0] + blocks[-1][1] * apart > start:
            before, number = blocks.pop()
            start = (before * number + (start - number * apart) * count) / (number + count)
            count += number
        blocks.append((start, count))
    return [start + apart * number for start, count in blocks for number in range(count)]


# -- the middle ------------------------------------------------------------------------------------------------


def _middle(picture: Picture, wheel: Wheel) -> None:
    (x, y), sign = wheel.middle, 1 if wheel.way == "clockwise" else -1
    for diameter in _HOLES:
        _circle(picture, wheel, diameter / 2, 0.13)
    picture.line((x - 9, y), (x + 9, y), width=0.13)
    picture.line((x, y - 9), (x, y + 9), width=0.13)
    picture.words((x, y - 12), "circles: " + " ".join(str(one) for one in _HOLES) + " mm", 6.5, "middle")
    picture.words((x - sign * 21, y - 1), "after TDC", 8, "middle", bold=True)
    picture.words((x + sign * 21, y - 1), "before TDC", 8, "middle", bold=True)
    picture.words((x, y + 29), "TDC", 9, "middle", bold=True)
    picture.words((x, y - 31), "BDC", 9, "middle", bold=True)
    bow = arc(wheel.middle, 25.0, -sign * 42, sign * 42)
    picture.line(*bow, width=0.5)
    tip, tail = bow[-1], arc(wheel.middle, 25.0, sign * 33, sign * 33)[0]
    side = arc(wheel.middle, 26.6, sign * 34, sign * 34)[0], arc(wheel.middle, 23.4, sign * 34, sign * 34)[0]
    picture.area(tip, side[0], tail, side[1], fill=0.0)
    picture.words((x, y + 18.5), f"turns {wheel.way}", 7, "middle", bold=True)
    picture.words((x, y + 14.5), "as you look at this face", 6, "middle")
    size = 7.0
    while wide(wheel.title, size) > 40 and size > 4.5:
        size -= 0.25
    picture.words((x, y - 18.5), wheel.title, size, "middle")
    picture.words((x, y - 22.5), f"stroke {wheel.crank.stroke:g}, rod {wheel.crank.rod:g} mm", 6.5, "middle")
    if wheel.crank.offset:
        picture.words((x, y - 26), f"pin offset {wheel.crank.offset:g} mm", 6.5, "middle")
