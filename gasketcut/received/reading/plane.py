"""Where a drawing's numbers end up: a map of the plane, made of shifts, scales and turns."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, hypot, radians, sin

from gasketcut.plane import Point
from gasketcut.shape.loop import Segment

_SAME = 1e-9


@dataclass(frozen=True, slots=True)
class Plane:
    """(x, y) -> (a x + c y + e, b x + d y + f)."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def __call__(self, x: float, y: float) -> Point:
        return self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f

    def after(self, inner: Plane) -> Plane:
        """First `inner`, then this."""
        e, f = self(inner.e, inner.f)
        return Plane(
            self.a * inner.a + self.c * inner.b,
            self.b * inner.a + self.d * inner.b,
            self.a * inner.c + self.c * inner.d,
            self.b * inner.c + self.d * inner.d,
            e,
            f,
        )

    def back(self, point: Point) -> Point:
        """The place that comes to lie on `point`."""
        det, x, y = self.a * self.d - self.b * self.c, point[0] - self.e, point[1] - self.f
        return (self.d * x - self.c * y) / det, (self.a * y - self.b * x) / det

    @property
    def turns_over(self) -> bool:
        return self.a * self.d - self.b * self.c < 0

    @property
    def scale(self) -> float:
        """By how much lengths grow, where they all grow alike."""
        return hypot(self.a, self.b)

    @property
    def keeps_circles(self) -> bool:
        size = hypot(self.a, self.b)
        like = abs(hypot(self.c, self.d) - size) <= _SAME * size
        return like and abs(self.a * self.c + self.b * self.d) <= _SAME * size * size

    def segment(self, segment: Segment) -> Segment:
        """Only where circles stay circles."""
        bulge = -segment.bulge if self.turns_over else segment.bulge
        return Segment(self(*segment.start), self(*segment.end), bulge)


BELOW = Plane(a=-1.0)
"""From the object coordinates of something drawn from below: source: the arbitrary axis algorithm, DXF reference."""


def inserted(at: Point, scale: Point, turn: float, base: Point) -> Plane:
    """Of a block with its base point, put at `at`, scaled and turned [deg]."""
    c, s = cos(radians(turn)), sin(radians(turn))
    a, b, cc, d = c * scale[0], s * scale[0], -s * scale[1], c * scale[1]
    return Plane(a, b, cc, d, at[0] - a * base[0] - cc * base[1], at[1] - b * base[0] - d * base[1])
