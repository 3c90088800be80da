"""Numbers of an edge's lines and arcs on the sheet, a tick where each begins; what was joined or filled in, dashed."""

from __future__ import annotations

import shapely
from shapely.geometry import LineString

from gasketcut.arrays import Array
from gasketcut.capture.torn.ring import signed_area
from gasketcut.capture.torn.stretch import OUTLINE, Stretch
from gasketcut.capture.traced import Traced
from gasketcut.capture.traced_part import TracedPart
from gasketcut.output.picture import Picture
from gasketcut.pages.free_place import Box, box_of, free_corner, on_white
from gasketcut.pages.traced.edges import FITTED
from gasketcut.pages.traced.frame import Frame
from gasketcut.pages.traced.measures import size_of
from gasketcut.plane import Point

TYPE = 5.5
_TICK = 0.9  # mm on paper to either side of the edge
_AWAY = (1.2, 2.4, 4.0, 6.0, 9.0)
_FAR = 2.0  # mm on paper from which a number has a line to its edge
_DASH = (1.2, 0.8)
_GONE = 0.3
"""mm; what lies farther from the edge as it is now has been joined over or filled in, and its number is not shown."""


def number_stretches(picture: Picture, frame: Frame, part: TracedPart, taken: list[Box]) -> None:
    """Beside the edge, on the side where there is no material; none lies on another, or on an edge."""
    field = frame.field
    edges = {OUTLINE: part.outline, **{one.name: one.edge for one in part.windows}}
    lines = {name: shapely.LinearRing(edge.contour.flattened(0.01)) for name, edge in edges.items()}
    for one in part.stretches:
        start, at = frame.at(part, one.start), frame.at(part, one.middle)
        if not _is_in(at, field) or lines[one.of].distance(shapely.Point(one.middle)) > _GONE:
            continue
        if _is_in(start, field):
            x, y = _outward(part, one, one.start)
            picture.line((start[0] - x * _TICK, start[1] - y * _TICK), (start[0] + x * _TICK, start[1] + y * _TICK),
                         width=0.2)  # fmt: skip
        x, y = _outward(part, one, one.middle)
        size = size_of(str(one.number), TYPE)
        ways = ((x, y), (x * 0.8 - y * 0.6, y * 0.8 + x * 0.6), (x * 0.8 + y * 0.6, y * 0.8 - x * 0.6), (-x, -y))
        corner = free_corner(at, size, taken, field, away=_AWAY, ways=ways)
        if corner is None:
            continue
        box = box_of(corner, size)
        middle = corner[0] + size[0] / 2, corner[1] + size[1] / 2
        if max(abs(middle[0] - at[0]) - size[0] / 2, abs(middle[1] - at[1]) - size[1] / 2) > _FAR:
            picture.line(at, middle, width=0.1)
        on_white(picture, box)
        picture.words(corner, str(one.number), TYPE)
        taken.append(box)


def draw_mended(picture: Picture, frame: Frame, traced: Traced, part: TracedPart, number: int) -> bool:
    """White dashes over the fitted line where it was joined or filled in; is there such a place?"""
    ways = [one.made for one in part.bridges]
    fills = [one.fill for one in traced.proposals if one.accepted and one.fill is not None and one.part == number]
    ways += [piece.way for fill in fills for piece in fill.pieces]
    for way in ways:
        dashed(picture, frame, part, way, colour="#ffffff", width=FITTED * 0.7)
    return bool(ways)


def dashed(
    picture: Picture, frame: Frame, part: TracedPart, way: Array, *, colour: str = "", width: float = FITTED
) -> None:
    """A line of dashes, as far as it lies in the field."""
    for line in within([frame.at(part, point) for point in way], frame.field):
        picture.line(*line, width=width, dash=_DASH, colour=colour)


def within(points: list[Point], field: Box) -> list[list[Point]]:
    """Those parts of a line that lie in the field."""
    if len(points) < 2:
        return []
    seen = shapely.get_parts(shapely.clip_by_rect(LineString(points), *field))
    return [[(x, y) for x, y in line.coords] for line in seen if isinstance(line, LineString) and len(line.coords) > 1]


def _outward(part: TracedPart, one: Stretch, at: Point) -> Point:
    """Square to the edge, away from the material."""
    x, y = one.heading(at)
    ring = part.ring if one.of == OUTLINE else _ring_of(part, one.of)
    way = 1.0 if (signed_area(ring) > 0) is (one.of == OUTLINE) else -1.0
    return y * way, -x * way


def _ring_of(part: TracedPart, name: str) -> Array:
    number = next(n for n, window in enumerate(part.windows) if window.name == name)
    return part.rings[len(part.holes) + number]


def _is_in(at: Point, field: Box) -> bool:
    return field[0] <= at[0] <= field[2] and field[1] <= at[1] <= field[3]
