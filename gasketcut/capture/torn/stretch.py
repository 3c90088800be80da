"""The lines and arcs of an edge by their numbers, so that a person can point at one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import acos, ceil, dist, hypot

import numpy as np

from gasketcut.arrays import Array
from gasketcut.capture.edges.curve import Curve, Line
from gasketcut.capture.edges.runs import Runs, swept
from gasketcut.capture.torn.ring import signed_area
from gasketcut.plane import Point
from gasketcut.shape.circlefit import Fit

OUTLINE = "outline"

SMOOTH = 0.35
"""rad; what meets under more is a corner. A torn edge has one every few mm. Our choice."""

_MOST_OF_IT = 2.0
"""rad; what is left of a torn hole turns by more, so that its circle is known. Our choice."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A line or an arc from `start` to `end`, in the order in which the edge is followed.

    numbers : its own; of several that a bridge made one, of each; none where a bridge put it
    of      : the outline, or the name of a window
    turn    : of the arc [rad], positive counter-clockwise; 0 for a line
    """

    numbers: tuple[int, ...]
    of: str
    curve: Curve
    start: Point
    end: Point
    turn: float

    @property
    def number(self) -> int:
        return self.numbers[0]

    @property
    def length(self) -> float:
        return abs(self.turn) * self.curve.radius if isinstance(self.curve, Fit) else dist(self.start, self.end)

    @property
    def middle(self) -> Point:
        x, y = self.points(self.length / 2 + 1e-9)[1]
        return float(x), float(y)

    def heading(self, at: Point) -> Point:
        """Which way the edge runs there, of length 1."""
        if isinstance(self.curve, Line):
            dx, dy = self.curve.dx, self.curve.dy
            along = (self.end[0] - self.start[0]) * dx + (self.end[1] - self.start[1]) * dy
            return (dx, dy) if along >= 0 else (-dx, -dy)
        x, y = at[0] - self.curve.x, at[1] - self.curve.y
        far = max(hypot(x, y), 1e-12)
        return (-y / far, x / far) if self.turn >= 0 else (y / far, -x / far)

    def foot(self, of: Point) -> Point:
        """The nearest place on its line or circle, which goes on beyond its ends."""
        curve = self.curve
        if isinstance(curve, Line):
            share = (of[0] - curve.x) * curve.dx + (of[1] - curve.y) * curve.dy
            return curve.x + share * curve.dx, curve.y + share * curve.dy
        x, y = of[0] - curve.x, of[1] - curve.y
        far = max(hypot(x, y), 1e-12)
        return curve.x + x / far * curve.radius, curve.y + y / far * curve.radius

    def points(self, step: float) -> Array:
        """From start to end, both among them, no farther apart than `step` [mm]; shape (n, 2)."""
        count = max(2, ceil(self.length / max(step, 1e-6))) + 1
        share = np.linspace(0.0, 1.0, count)[:, None]
        if isinstance(self.curve, Line):
            result: Array = np.array(self.start) + share * (np.array(self.end) - self.start)
            return result
        middle = np.array([self.curve.x, self.curve.y])
        turns = (share * self.turn).ravel()
        x, y = np.array(self.start) - middle
        c, s = np.cos(turns), np.sin(turns)
        return np.asarray(middle + np.column_stack([c * x - s * y, s * x + c * y]))


def stretches_of(name: str, runs: Runs | None, numbers: Sequence[tuple[int, ...]]) -> list[Stretch]:
    """Of one edge, with a number each; an edge that is no chain of lines and arcs has none."""
    if runs is None:
        return []
    joints = runs.joints()
    ends = zip(joints, (*joints[1:], joints[0]), strict=True)
    return [
        Stretch(number, name, curve, start, end, swept(curve, start, end, middle))
        for number, curve, middle, (start, end) in zip(numbers, runs.curves, runs.middles, ends, strict=True)
    ]


def places_between(of: Sequence[Stretch], i: int, j: int) -> list[int]:
    """Where in the chain those after the one at `i` and before the one at `j` are; all others where both are one."""
    return [(i + 1 + n) % len(of) for n in range((j - i - 1) % len(of))]


def is_open_hole(of: Sequence[Stretch], n: int) -> bool:
    """What is left of a round hole that was torn open: it turns against the edge's way, with a corner at either end."""
    one, before, after = of[n], of[n - 1], of[(n + 1) % len(of)]
    way = signed_area(np.vstack([stretch.points(0.5)[:-1] for stretch in of]))
    has_corners = bend(before, one) >= SMOOTH and bend(one, after) >= SMOOTH
    return has_corners and one.turn * way < 0 and abs(one.turn) > _MOST_OF_IT


def bend(a: Stretch, b: Stretch) -> float:
    """Angle between two where they meet [rad]."""
    return abs(turned(a, b))


def turned(a: Stretch, b: Stretch) -> float:
    """The same, positive counter-clockwise."""
    (x, y), (u, v) = a.heading(a.end), b.heading(b.start)
    angle = acos(max(-1.0, min(1.0, x * u + y * v)))
    return angle if x * v - y * u >= 0 else -angle
