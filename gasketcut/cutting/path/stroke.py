"""What the tool does between coming down and going up.

Stroke   lines and arcs joined end to end, on one layer, for one part; closed if it ends where it starts.
Layer    MARK is drawn on the sheet; CUT-INSIDE and CUT-OUTSIDE are cut; LEAD is cut too, in the scrap, and OVERCUT
         once more along what is cut already; TAB is what stays uncut, shown only so that it can be seen.

The part is on the left of every closed stroke (outer contours run counter-clockwise, inner ones clockwise), so the
scrap is on the right.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import atan, cos, hypot, pi, sin, tan
from typing import Literal

from gasketcut.parts.part import Mark
from gasketcut.plane import Point
from gasketcut.shape.loop import Circle, Contour, Loop, Outline, Segment
from gasketcut.tolerances import CHORD

Layer = Literal["MARK", "CUT-INSIDE", "CUT-OUTSIDE", "LEAD", "OVERCUT", "TAB"]
MARK: Layer = "MARK"
INSIDE: Layer = "CUT-INSIDE"
OUTSIDE: Layer = "CUT-OUTSIDE"
LEAD: Layer = "LEAD"
OVERCUT: Layer = "OVERCUT"
TAB: Layer = "TAB"

_SAME = 1e-7  # mm: rounding of sums, far below what is written


@dataclass(frozen=True, slots=True)
class Stroke:
    """`part` is the number of the piece it belongs to; `circle` is set while the stroke is just that whole circle."""

    layer: Layer
    part: int
    segments: tuple[Segment, ...]
    circle: Circle | None = None

    @property
    def start(self) -> Point:
        return self.segments[0].start

    @property
    def end(self) -> Point:
        return self.segments[-1].end

    @property
    def is_closed(self) -> bool:
        return len(self.segments) > 1 and _is_same(self.start, self.end)

    @property
    def length(self) -> float:
        return sum(segment.length for segment in self.segments)

    def flattened(self, chord: float = CHORD) -> list[Point]:
        """From start to end, both included, no chord more than `chord` off an arc [mm]."""
        return [*(point for segment in self.segments for point in segment.points(chord)), self.end]

    def contour(self) -> Contour:
        """The closed stroke as what a writer draws; raise ValueError if it is open."""
        if not self.is_closed:
            raise ValueError("an open stroke is no contour")
        if self.circle:
            return self.circle
        return Loop(tuple(one.start for one in self.segments), tuple(one.bulge for one in self.segments))

    def reversed(self) -> Stroke:
        segments = tuple(Segment(one.end, one.start, -one.bulge) for one in reversed(self.segments))
        return replace(self, segments=segments)

    def from_vertex(self, number: int) -> Stroke:
        """The same closed stroke, started at the vertex of that number."""
        if number == 0:
            return self
        return replace(self, segments=self.segments[number:] + self.segments[:number], circle=None)

    def from_place(self, along: float) -> Stroke:
        """The same closed stroke, started `along` mm after its start; a vertex is added there if there is none."""
        along %= self.length
        if along < _SAME:
            return self
        return replace(self, segments=between(self.segments, along, along + self.length), circle=None)


def strokes_of(outline: Outline, part: int = 0, marks: Iterable[Mark] = ()) -> tuple[Stroke, ...]:
    """Marks, inner contours, outer contour, in that order and as they are."""
    return (
        *(mark(segments, part) for segments in marks),
        *(_closed(contour, INSIDE, part) for contour in outline.inner),
        _closed(outline.outer, OUTSIDE, part),
    )


def mark(segments: Mark, part: int = 0) -> Stroke:
    """A stroke on the mark layer, a whole circle as such."""
    return Stroke(MARK, part, segments, _circle_of(segments))


def through(points: Sequence[Point]) -> Mark:
    """Straight lines from point to point; raise ValueError if they have no length."""
    segments = tuple(Segment(start, end, 0.0) for start, end in pairwise(points) if not _is_same(start, end))
    if not segments:
        raise ValueError("a mark needs two points that differ")
    return segments


def between(segments: Sequence[Segment], first: float, last: float) -> tuple[Segment, ...]:
    """What lies from `first` to `last` mm along a closed chain; `last` may be up to a whole round beyond its end."""
    found, at = [], 0.0
    for segment in (*segments, *segments):
        length = segment.length
        begin, stop = max(first - at, 0.0), min(last - at, length)
        if stop - begin > _SAME:
            found.append(cut_out(segment, begin, stop))
        at += length
        if at >= last:
            break
    return tuple(found)


def cut_out(segment: Segment, first: float, last: float) -> Segment:
    """The stretch of a line or arc from `first` to `last` mm along it."""
    length = segment.length
    whole_start, whole_end = first < _SAME, last > length - _SAME
    if whole_start and whole_end:
        return segment
    start = segment.start if whole_start else point_at(segment, first / length)
    end = segment.end if whole_end else point_at(segment, last / length)
    return Segment(start, end, tan(atan(segment.bulge) * (last - first) / length) if segment.bulge else 0.0)


def point_at(segment: Segment, share: float) -> Point:
    """The point at that share of the segment's length, from 0 to 1."""
    (x0, y0), (x1, y1) = segment.start, segment.end
    if segment.bulge == 0:
        return x0 + (x1 - x0) * share, y0 + (y1 - y0) * share
    (x, y), turn = segment.center, segment.start_angle + 4 * atan(segment.bulge) * share
    return x + segment.radius * cos(turn), y + segment.radius * sin(turn)


def direction_at(segment: Segment, share: float) -> Point:
    """The unit vector along the segment there."""
    (x0, y0), (x1, y1) = segment.start, segment.end
    length = segment.chord
    x, y = (x1 - x0) / length, (y1 - y0) / length
    turn = 4 * atan(segment.bulge) * (share - 0.5)  # an arc's chord points as the arc does at its middle
    return x * cos(turn) - y * sin(turn), x * sin(turn) + y * cos(turn)


def corners(segments: Sequence[Segment]) -> Iterator[tuple[float, float]]:
    """Of a closed chain: where each segment starts [mm along], how far the path turns there [rad, left positive]."""
    at = 0.0
    for number, segment in enumerate(segments):
        (ax, ay), (bx, by) = direction_at(segments[number - 1], 1.0), direction_at(segment, 0.0)
        turn = _angle(ax * bx + ay * by, ax * by - ay * bx)
        yield at, turn
        at += segment.length


def _angle(cosine: float, sine: float) -> float:
    return 2 * atan(sine / (hypot(cosine, sine) + cosine)) if cosine > -1 + 1e-12 else pi


def _closed(contour: Contour, layer: Layer, part: int) -> Stroke:
    if isinstance(contour, Loop):
        return Stroke(layer, part, tuple(contour.segments()))
    (x, y), r = contour.center, contour.radius
    way = 1.0 if layer == OUTSIDE else -1.0  # the part on the left
    right, left = (x + r, y), (x - r, y)
    return Stroke(layer, part, (Segment(right, left, way), Segment(left, right, way)), contour)


def _circle_of(segments: Mark) -> Circle | None:
    """Two half circles about one middle."""
    if len(segments) != 2 or any(abs(one.bulge) != 1.0 for one in segments):
        return None
    first, second = segments
    is_round = first.bulge == second.bulge and _is_same(first.start, second.end) and _is_same(first.end, second.start)
    return Circle(first.center, first.radius) if is_round else None


def _is_same(one: Point, other: Point) -> bool:
    return hypot(one[0] - other[0], one[1] - other[1]) < _SAME
