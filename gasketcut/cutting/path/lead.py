"""Lead-ins: a cut that starts in the scrap, so that the hole the tool makes when it comes down is not in the part.

A quarter of a circle that runs into the cut along it (a straight one comes in square), on the right of the stroke,
where the scrap is. It starts `length` off; where there is no room it gets shorter, down to what the kerf needs, and
where there is none at all the contour keeps its start and a finding names it.
Source: that the start belongs in the scrap, half a kerf clear of the part, follows from the kerf being centred on the
path. A drag knife's tip points along the cut only after it has run a little more than its offset (a plotter maker's
guide): the quarter circle is pi / 2 times `length` long.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import hypot, pi, tan
from typing import Literal

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as ShapelyPoint

from gasketcut.cutting.path.stroke import INSIDE, LEAD, MARK, OUTSIDE, Stroke, direction_at
from gasketcut.finding import Finding
from gasketcut.plane import Point
from gasketcut.shape.loop import Segment

LeadForm = Literal["arc", "line"]

SHORTEST = 0.2
"""mm; a shorter lead-in is not worth the start. Our choice."""

_CHORD = 0.002  # mm
_STARTS = 48  # places tried on one contour
_STEPS = (1.0, 0.7, 0.5, 0.35, 0.25, 0.15, 0.1, 0.07, 0.05, 0.03)
_QUARTER = tan(pi / 8)
_STAND = 0.5  # share of its length that a lead-in's start stands off its own cut. Our choice
_POINTS = 24  # along a lead-in at which its distance is taken
_TOUCH = 1e-3  # mm: the end of the lead-in lies on the contour, whose arcs are chords here


@dataclass(frozen=True, slots=True)
class Led:
    """Lead-ins in front of their cuts, each cut started where its lead-in ends; notes for the operator."""

    strokes: tuple[Stroke, ...]
    findings: tuple[Finding, ...]


def with_leads(
    strokes: Sequence[Stroke],
    length: float,
    clear: float,
    *,
    form: LeadForm = "arc",
    names: Mapping[int, str] | None = None,
    within: Polygon | None = None,
) -> Led:
    """A lead-in for every closed cut.

    length : how far off in the scrap it starts [mm]
    clear  : what its start and all of it keep from other cuts, and its start from its own [mm]: at least half a kerf
    within : the sheet, if the lead-ins have to stay on it
    """
    room = _Room(strokes, clear, within)
    found: list[Stroke] = []
    findings: list[Finding] = []
    for number, stroke in enumerate(strokes):
        if stroke.layer not in (INSIDE, OUTSIDE) or not stroke.is_closed:
            found.append(stroke)
            continue
        lead, cut = room.led(number, length, form)
        if lead is None or _off(lead) < length - _TOUCH:
            findings.append(_finding(stroke, lead, length, (names or {}).get(stroke.part)))
        found += [cut] if lead is None else [lead, cut]
    return Led(tuple(found), tuple(findings))


class _Room:
    """Where lead-ins may run: the closed cuts, as polygons in a tree."""

    def __init__(self, strokes: Sequence[Stroke], clear: float, within: Polygon | None) -> None:
        self._strokes, self._clear, self._within = strokes, clear, within
        self._numbers = [number for number, one in enumerate(strokes) if one.layer != MARK and one.is_closed]
        self._lines = [shapely.linestrings(strokes[number].flattened(_CHORD)) for number in self._numbers]
        self._tree = shapely.STRtree(self._lines)

    def led(self, number: int, length: float, form: LeadForm) -> tuple[Stroke | None, Stroke]:
        """The longest lead-in that has room, at the place nearest to the stroke's start; and the cut from there."""
        stroke = self._strokes[number]
        own = Polygon(stroke.flattened(_CHORD))
        shapely.prepare(own)
        sizes = [length * step for step in _STEPS if length * step >= max(self._clear, SHORTEST)]
        for size in sizes:
            for cut in _begun(stroke):
                lead = _lead(cut, size, form)
                if self._has_room(lead, number, own, stroke.layer == INSIDE):
                    return lead, replace(cut, circle=None)
        return None, stroke

    def _has_room(self, lead: Stroke, number: int, own: Polygon, inside: bool) -> bool:
        line = LineString(lead.flattened(_CHORD))
        start = ShapelyPoint(lead.start)
        off = max(self._clear, _off(lead) * _STAND)  # in a small hole a long arc would run along the edge itself
        if inside != own.contains(start) or own.exterior.distance(start) < off:
            return False
        if shapely.length(line.difference(own) if inside else line.intersection(own)) > _TOUCH:
            return False
        # From its end on it only gets farther from its own contour; once it is clear of that it stays so.
        points = shapely.points(shapely.get_coordinates(line.segmentize(line.length / _POINTS))[::-1])
        away = np.asarray(shapely.distance(own.exterior, points))
        clear = away >= max(self._clear, SHORTEST)
        near = away[: int(np.argmax(clear)) if clear.any() else len(away)]
        if np.any(np.diff(near) <= 0) or not np.all(clear[len(near) :]):
            return False
        if self._within is not None and not self._within.contains(line):
            return False
        others = self._tree.query(line, predicate="dwithin", distance=self._clear)
        return all(self._numbers[int(one)] == number for one in others)


def _begun(stroke: Stroke) -> Iterator[Stroke]:
    """The closed stroke begun at its own start, then elsewhere, nearest to it first: vertices and middles."""
    yield stroke
    places, at = [], 0.0
    for segment in stroke.segments:
        length = segment.length
        pieces = max(2, 2 * round(length / stroke.length * 8))
        places += [at + length * piece / pieces for piece in range(pieces)]
        at += length
    x, y = stroke.start
    step = max(1, len(places) // _STARTS)
    begun = [stroke.from_place(place) for place in places[step::step]]
    yield from sorted(begun, key=lambda one: round(hypot(one.start[0] - x, one.start[1] - y), 6))


def _lead(cut: Stroke, size: float, form: LeadForm) -> Stroke:
    """Into the start of the cut from the right: square to it, or as a quarter circle that ends along it."""
    (ax, ay), (bx, by) = direction_at(cut.segments[-1], 1.0), direction_at(cut.segments[0], 0.0)
    x, y = cut.start
    if form == "arc":
        start = (x - size * bx + size * by, y - size * by - size * bx)
        return Stroke(LEAD, cut.part, (Segment(start, (x, y), _QUARTER * _way(start, (x, y), (bx, by))),))
    nx, ny = ay + by, -ax - bx  # to the right of both
    norm = hypot(nx, ny)
    nx, ny = (nx / norm, ny / norm) if norm > 1e-9 else (by, -bx)
    return Stroke(LEAD, cut.part, (Segment((x + size * nx, y + size * ny), (x, y), 0.0),))


def _way(start: Point, end: Point, along: Point) -> float:
    """+1 for the arc to the left and -1 for that to the right: whichever ends in the direction `along`."""
    left = direction_at(Segment(start, end, _QUARTER), 1.0)
    return 1.0 if left[0] * along[0] + left[1] * along[1] > 0.5 else -1.0


def _off(lead: Stroke) -> float:
    """How far off the lead-in was asked to start: an arc's radius, a line's length."""
    segment = lead.segments[0]
    return segment.radius if segment.bulge else segment.length


def _finding(stroke: Stroke, lead: Stroke | None, length: float, name: str | None) -> Finding:
    what = "outside" if stroke.layer == OUTSIDE else "opening"
    x, y = stroke.start
    text = f"the {what} at ({x:.1f}, {y:.1f}) has no room for a lead-in and starts on its own line"
    if lead is not None:
        text = f"the lead-in of the {what} at ({x:.1f}, {y:.1f}) is only {_off(lead):.2f} mm, for want of room"
    return Finding(
        rule="lead-in",
        weight="note",
        part=name,
        at=(x, y),
        found=0.0 if lead is None else _off(lead),
        wanted=length,
        text=text,
        do="leave it, or ask for a shorter lead-in or more space between the parts",
    )
