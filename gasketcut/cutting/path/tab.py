"""Tabs: short gaps left uncut, so that a piece neither tips up under the tool nor falls.

They stand on straight edges if there are any, else on the flattest arcs, spread over the contour, off its corners and
off its start. As few and as small as hold it (two shops' guides: they leave a burr and have to be filed).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gasketcut.cutting.path.stroke import OUTSIDE, TAB, Stroke, between, corners

FALLS = 15.0
"""mm; a smaller piece may fall through the bed and needs no tab. Our choice."""

_SIZES = ((100.0, 2), (250.0, 3))  # mm, longer side of the piece: tabs. Our choice
_MOST = 4
_TURN = 0.09  # rad, 5 degrees: less is no corner. Our choice
_ROUND = 10.0  # tab widths; an arc of less radius is as bad as a corner. Our choice


@dataclass(frozen=True, slots=True)
class Tabbed:
    """The cuts between the tabs and the tabs themselves, in the order of the contour; how many tabs found room."""

    strokes: tuple[Stroke, ...]
    count: int


def tab_count(stroke: Stroke, asked: int | None = None) -> int:
    """How many tabs a closed cut gets: the outer contour as many as asked for, else by the size of what comes out."""
    points = stroke.flattened(0.1)
    xs, ys = [x for x, _ in points], [y for _, y in points]
    side = max(max(xs) - min(xs), max(ys) - min(ys))
    if side < FALLS:
        return 0
    if asked is not None and stroke.layer == OUTSIDE:
        return asked
    return next((count for size, count in _SIZES if side <= size), _MOST)


def with_tabs(stroke: Stroke, count: int, width: float, off_start: float = 0.0) -> Tabbed:
    """The closed stroke with up to `count` gaps of `width` mm in it; fewer where it has no room for them.

    off_start : how far from the start they keep besides, as for an overcut [mm]
    """
    if count <= 0 or width <= 0 or not stroke.is_closed:
        return Tabbed((stroke,), 0)
    places = _places(stroke, count, width, off_start)
    strokes, at = [], 0.0
    for place in places:
        gap = (place - width / 2, place + width / 2)
        strokes += [_part_of(stroke, at, gap[0]), Stroke(TAB, stroke.part, between(stroke.segments, *gap))]
        at = gap[1]
    if not places:
        return Tabbed((stroke,), 0)
    strokes.append(_part_of(stroke, at, stroke.length))
    return Tabbed(tuple(strokes), len(places))


def _part_of(stroke: Stroke, first: float, last: float) -> Stroke:
    return Stroke(stroke.layer, stroke.part, between(stroke.segments, first, last))


def _places(stroke: Stroke, count: int, width: float, off_start: float) -> list[float]:
    """Middles of the tabs [mm along], in order and at least three widths apart."""
    length = stroke.length
    straight, bent = _stretches(stroke, width, off_start)
    found: list[float] = []
    for number in range(count):
        wanted = (number + 0.5) * length / count
        share = length / count / 2
        free = [place for place in _nearest(straight, wanted, found, 3 * width) if abs(place - wanted) <= share]
        free = free or _nearest([*straight, *bent], wanted, found, 3 * width)
        if free:
            found.append(free[0])
    return sorted(found)


def _nearest(
    stretches: Sequence[tuple[float, float]], wanted: float, taken: Sequence[float], apart: float
) -> list[float]:
    """On each stretch the place nearest to the wanted one that keeps off those taken; the nearest first."""
    found = []
    for low, high in stretches:
        places = [min(max(wanted, low), high), *(one + way * apart for one in taken for way in (1, -1))]
        free = [
            place for place in places
            if low <= place <= high and all(abs(place - one) >= apart - 1e-9 for one in taken)
        ]  # fmt: skip
        found += sorted(free, key=lambda place: round(abs(place - wanted), 6))[:1]
    return sorted(found, key=lambda place: round(abs(place - wanted), 6))


def _stretches(
    stroke: Stroke, width: float, off_start: float
) -> tuple[list[tuple[float, float]], list[tuple[float, float]]]:
    """Where the middle of a tab may stand: on straight edges, and on arcs."""
    off = 2 * width  # middle to corner: a tab and a half of cut between
    length = stroke.length
    turns = list(corners(stroke.segments))
    straight, bent = [], []
    for number, segment in enumerate(stroke.segments):
        first = turns[number][0]
        last = first + segment.length
        after = turns[(number + 1) % len(turns)][1]
        # Into a neighbour that goes on smoothly the tab may reach, but its middle stays on this segment.
        low = max(first + (off if abs(turns[number][1]) > _TURN else 0.0), off + off_start)
        high = min(last - (off if abs(after) > _TURN else 0.0), length - off - off_start)
        if low <= high:
            if segment.bulge == 0:
                straight.append((low, high))
            elif segment.radius >= _ROUND * width:
                bent.append((low, high))
    return straight, bent
