"""What a cutter follows.

Vertex   a point and the bulge of the segment that starts there.
Bulge    tan(sweep / 4): 0 a straight line, positive counter-clockwise, 1 half a circle, never more than that here.
Loop     vertices joined end to end and closed; the first vertex is not repeated.
Circle   a whole circle, by its own numbers.
Contour  a Loop or a Circle.
Outline  one outer contour, counter-clockwise, and inner contours, clockwise; `deviation` from the polygon [mm].
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import acos, atan, atan2, ceil, cos, degrees, hypot, pi, sin, tan

from gasketcut.plane import Point
from gasketcut.tolerances import CHORD, SAME_PLACE


@dataclass(frozen=True, slots=True)
class Segment:
    """From `start` to `end`; straight if `bulge` is 0, otherwise an arc of at most half a circle."""

    start: Point
    end: Point
    bulge: float

    @property
    def chord(self) -> float:
        return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])

    @property
    def sweep(self) -> float:
        """Turn of the arc in degrees, positive counter-clockwise; 0 for a line."""
        return degrees(4 * atan(self.bulge))

    @property
    def radius(self) -> float:
        """Radius of the arc; source: chord (1 + b^2) / (4 |b|), from the definition of the bulge."""
        return self.chord * (1 + self.bulge**2) / (4 * abs(self.bulge))

    @property
    def center(self) -> Point:
        (x0, y0), (x1, y1), b = self.start, self.end, self.bulge
        offset = (1 - b * b) / (4 * b)  # along the left normal, in chords
        return (x0 + x1) / 2 - (y1 - y0) * offset, (y0 + y1) / 2 + (x1 - x0) * offset

    @property
    def length(self) -> float:
        return self.chord if self.bulge == 0 else self.radius * abs(4 * atan(self.bulge))

    @property
    def start_angle(self) -> float:
        """Direction from the centre to `start`, in radians."""
        x, y = self.center
        return atan2(self.start[1] - y, self.start[0] - x)

    def halves(self) -> tuple[Segment, ...]:
        """Two arcs of half the turn, for formats in which the radius alone says how far an arc bows: near half a circle
        its last digit is worth a hundred times as much there. A line stays one."""
        if self.bulge == 0:
            return (self,)
        (x, y), radius, turn = self.center, self.radius, self.start_angle + 2 * atan(self.bulge)
        middle = (x + radius * cos(turn), y + radius * sin(turn))
        bulge = tan(atan(self.bulge) / 2)
        return Segment(self.start, middle, bulge), Segment(middle, self.end, bulge)

    def points(self, chord: float = CHORD) -> list[Point]:
        """From `start` up to but without `end`, so that no chord is more than `chord` off the arc."""
        if self.bulge == 0:
            return [self.start]
        (x, y), radius, first = self.center, self.radius, self.start_angle
        sweep = 4 * atan(self.bulge)
        count = chords_needed(radius, abs(sweep), chord)
        inner = [first + sweep * step / count for step in range(1, count)]
        return [self.start, *((x + radius * cos(turn), y + radius * sin(turn)) for turn in inner)]


@dataclass(frozen=True, slots=True)
class Loop:
    """Vertices and the bulge of the segment that starts at each."""

    points: tuple[Point, ...]
    bulges: tuple[float, ...]

    @classmethod
    def of_apart(cls, points: Sequence[Point], bulges: Sequence[float]) -> Loop:
        """The loop without segments of no length: where one radius takes up a whole side."""
        after = [*points[1:], points[0]]
        kept = [
            (start, bulge)
            for start, bulge, end in zip(points, bulges, after, strict=True)
            if hypot(start[0] - end[0], start[1] - end[1]) > SAME_PLACE
        ]
        return cls(tuple(start for start, _ in kept), tuple(bulge for _, bulge in kept))

    def segments(self) -> Iterator[Segment]:
        for number, start in enumerate(self.points):
            yield Segment(start, self.points[(number + 1) % len(self.points)], self.bulges[number])

    @property
    def signed_area(self) -> float:
        """Exact, arcs included; positive when counter-clockwise."""
        x0, y0 = self.points[0]  # near the origin of the sum: no digits lost far from (0, 0)
        total = 0.0
        for segment in self.segments():
            (xa, ya), (xb, yb) = segment.start, segment.end
            total += ((xa - x0) * (yb - y0) - (xb - x0) * (ya - y0)) / 2
            if segment.bulge:
                turn = 4 * atan(segment.bulge)
                total += segment.radius**2 * (turn - sin(turn)) / 2
        return total

    @property
    def area(self) -> float:
        return abs(self.signed_area)

    @property
    def length(self) -> float:
        return sum(segment.length for segment in self.segments())

    def flattened(self, chord: float = CHORD) -> list[Point]:
        """Points of a closed polygon within `chord` of the loop; the first is not repeated."""
        return [point for segment in self.segments() for point in segment.points(chord)]

    def moved(self, dx: float, dy: float) -> Loop:
        return Loop(tuple((x + dx, y + dy) for x, y in self.points), self.bulges)

    def reversed(self) -> Loop:
        points = self.points[::-1]
        bulges = tuple(-bulge for bulge in self.bulges[::-1])
        return Loop(points, bulges[1:] + bulges[:1])


@dataclass(frozen=True, slots=True)
class Circle:
    """A whole circle."""

    center: Point
    radius: float

    @property
    def area(self) -> float:
        return pi * self.radius**2

    @property
    def length(self) -> float:
        return 2 * pi * self.radius

    def flattened(self, chord: float = CHORD) -> list[Point]:
        count, (x, y) = max(8, chords_needed(self.radius, 2 * pi, chord)), self.center
        turns = [2 * pi * step / count for step in range(count)]
        return [(x + self.radius * cos(turn), y + self.radius * sin(turn)) for turn in turns]

    def moved(self, dx: float, dy: float) -> Circle:
        return Circle((self.center[0] + dx, self.center[1] + dy), self.radius)

    def halves(self) -> Loop:
        """The same as two half circles, counter-clockwise, for formats without a circle."""
        (x, y), r = self.center, self.radius
        return Loop(((x - r, y), (x + r, y)), (1.0, 1.0))


Contour = Loop | Circle


@dataclass(frozen=True, slots=True)
class Outline:
    """A part's contours, and how far they deviate from its polygon [mm]."""

    outer: Contour
    inner: tuple[Contour, ...]
    deviation: float

    @property
    def contours(self) -> tuple[Contour, ...]:
        """Inner ones first: the order in which they are cut."""
        return (*self.inner, self.outer)

    @property
    def area(self) -> float:
        """Net area [mm2], exact for lines, arcs and circles."""
        return self.outer.area - sum(contour.area for contour in self.inner)

    @property
    def cut_length(self) -> float:
        return sum(contour.length for contour in self.contours)

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Least x, least y, most x, most y of the outer contour."""
        if isinstance(self.outer, Circle):
            (x, y), r = self.outer.center, self.outer.radius
            return x - r, y - r, x + r, y + r
        xs, ys = zip(*(point for segment in self.outer.segments() for point in _extremes(segment)), strict=True)
        return min(xs), min(ys), max(xs), max(ys)

    def moved(self, dx: float, dy: float) -> Outline:
        inner = tuple(contour.moved(dx, dy) for contour in self.inner)
        return Outline(self.outer.moved(dx, dy), inner, self.deviation)


def circle_of(segments: Sequence[Segment]) -> Circle | None:
    """The circle that arcs end to end make together; None if they make none."""
    first = segments[0]
    if any(one.bulge == 0 for one in segments):
        return None
    center, radius = first.center, first.radius
    for one in segments[1:]:
        if hypot(one.center[0] - center[0], one.center[1] - center[1]) > 1e-6 or abs(one.radius - radius) > 1e-6:
            return None
    turn = sum(one.sweep for one in segments)
    return Circle(center, radius) if abs(abs(turn) - 360.0) < 1e-6 else None


def place_of(contour: Contour) -> Point:
    """A point that stands for it: the middle of a circle, the first vertex of a loop."""
    return contour.center if isinstance(contour, Circle) else contour.points[0]


def from_below(contour: Contour) -> Point:
    """To sort by: from the bottom upwards, then from the left."""
    x, y = place_of(contour)
    return round(y, 6), round(x, 6)


def chords_needed(radius: float, sweep_radians: float, chord: float) -> int:
    """How many chords keep within `chord` of an arc."""
    if radius <= chord:
        return max(1, ceil(sweep_radians / (pi / 2)))
    return max(1, ceil(sweep_radians / (2 * acos(1 - chord / radius))))


def _extremes(segment: Segment) -> Iterator[Point]:
    """The ends, and where an arc is farthest left, right, up or down."""
    yield segment.start
    if segment.bulge == 0:
        return
    (x, y), radius, first, sweep = segment.center, segment.radius, segment.start_angle, 4 * atan(segment.bulge)
    for quarter in range(4):
        turn = quarter * pi / 2
        gone = (turn - first) % (2 * pi) if sweep > 0 else (first - turn) % (2 * pi)
        if gone <= abs(sweep):
            yield x + radius * cos(turn), y + radius * sin(turn)
