"""An edge joined from one sound end to another, over what is torn or dirty there: only where the user says so."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from gasketcut.arrays import Array
from gasketcut.capture.edges.curve import Curve
from gasketcut.capture.edges.fitted_edge import FittedEdge, averaged, refit_edge
from gasketcut.capture.edges.rings import nearest_on
from gasketcut.capture.edges.runs import Runs
from gasketcut.capture.torn.between import Between, between, straight
from gasketcut.capture.torn.ring import cyclic
from gasketcut.capture.torn.stretch import Stretch, is_open_hole, places_between, stretches_of
from gasketcut.errors import GasketError
from gasketcut.plane import Point
from gasketcut.shape.circlefit import Fit
from gasketcut.shape.loop import Circle

TRIMMED = 0.15
"""Of a sound stretch at either end, not asked what it is part of: a tear begins before the edge bends. As in a fit."""

_STEP = 0.1  # mm between points that are put in place of those seen

_SAID = re.compile(r"\s*(\d+)\s*-\s*(\d+)\s*(?::\s*(straight)\s*)?")


@dataclass(frozen=True, slots=True)
class Asked:
    """The stretches at both sound ends, and whether the way between is to be straight."""

    first: int
    last: int
    straight: bool = False

    @property
    def words(self) -> str:
        return f"{self.first}-{self.last}{':straight' if self.straight else ''}"


@dataclass(frozen=True, slots=True)
class Bridge:
    """What was joined: the points that were seen there and are no longer followed, and those in their place [mm]."""

    asked: Asked
    of: str
    seen: Array
    made: Array
    text: str


def bridge_of(text: str) -> Asked:
    """As written; raise `GasketError` if it is written otherwise.

    >>> bridge_of("12-14:straight")
    Asked(first=12, last=14, straight=True)
    """
    found = _SAID.fullmatch(text)
    if found is None:
        raise GasketError(
            f"{text!r}: write the numbers of the two sound ends, e.g. 12-14, or 12-14:straight for a straight line"
        )
    return Asked(int(found[1]), int(found[2]), found[3] is not None)


def suggested(edge: FittedEdge, ring: Array, of: Sequence[Stretch], asked: Asked) -> Between:
    """What would join the two ends; raise `GasketError` for ends that cannot be joined.

    of : the stretches of this edge, in their order
    """
    assert edge.runs is not None
    i, j = place_of(of, asked.first), place_of(of, asked.last)
    lost = places_between(of, i, j)
    if not lost and i != j:
        raise GasketError(f"{asked.words}: {asked.first} and {asked.last} meet, so there is nothing between them")
    if asked.straight:
        return straight(of[i], of[j])
    sound = [one for n, one in enumerate(of) if n not in lost]
    seen = (points_of(edge.runs, ring, i), points_of(edge.runs, ring, j))
    return between(of[i], of[j], seen, sound, edge.runs.tolerance)


@dataclass(frozen=True, slots=True)
class Bridged:
    """The edge with two ends joined, its ring with the points of that, its stretches as they are now, what was done."""

    edge: FittedEdge
    ring: Array
    stretches: tuple[Stretch, ...]
    bridge: Bridge


def bridged(edge: FittedEdge, ring: Array, of: Sequence[Stretch], asked: Asked) -> Bridged:
    """The edge with the two ends joined; raise `GasketError` for ends that cannot be joined."""
    assert edge.runs is not None
    found = suggested(edge, ring, of, asked)
    i, j = place_of(of, asked.first), place_of(of, asked.last)
    runs, numbers = _joined(edge.runs, of, i, j, found)
    whole = runs.curves[0]
    if len(runs.curves) == 1 and isinstance(whole, Fit):
        contour = Circle((whole.x, whole.y), whole.radius)
        made = FittedEdge(contour, 0.0, edge.noise)
        ends = of[i].foot(of[i].end), of[j].foot(of[j].start)
        way = _round(whole, of[i], ends)
    elif len(runs.curves) < 2:
        raise GasketError(f"{asked.words}: a straight line alone closes no edge")
    else:
        made = replace(edge, runs=runs)
        way = _way(runs, len(found.pieces), found.after is None, of[i], of[j])
    ring, seen = _spliced(ring, way)
    if made.runs is None:
        assert isinstance(made.contour, Circle)
        off = np.hypot(*(ring - made.contour.center).T) - made.contour.radius
        made = replace(made, deviation=float(np.max(np.abs(off))))
    else:
        made = refit_edge(made, ring, made.runs.curves)
    off_seen = float(np.max(np.hypot(*(nearest_on(ring, seen) - seen).T))) if len(seen) else 0.0
    text = f"bridged {asked.words}: {found.words}; up to {off_seen:.2f} mm from the edge that was seen there"
    text += "".join(_lost_hole(of[n]) for n in places_between(of, i, j) if is_open_hole(of, n))
    bridge = Bridge(asked, of[i].of, seen, way, text)
    return Bridged(made, ring, tuple(stretches_of(of[i].of, made.runs, numbers)), bridge)


def _lost_hole(one: Stretch) -> str:
    assert isinstance(one.curve, Fit)
    where = f"({one.curve.x:.2f}, {one.curve.y:.2f})"
    return (
        f"; the hole of {2 * one.curve.radius:.2f} mm at {where} was torn open and is not in the part: add it by hand"
    )


def place_of(of: Sequence[Stretch], number: int) -> int:
    """Where in the chain the stretch of that number is."""
    return next(n for n, one in enumerate(of) if number in one.numbers)


def points_of(runs: Runs, ring: Array, number: int) -> Array:
    """Points of a stretch, away from its ends."""
    points = averaged(ring)
    first, last = (_nearest(points, runs.knots[n % len(runs.knots)]) for n in (number, number + 1))
    stretch = cyclic(points, first, last)
    cut = int(len(stretch) * TRIMMED)
    return stretch[cut : len(stretch) - cut] if len(stretch) - 2 * cut >= 3 else stretch


def _joined(runs: Runs, of: Sequence[Stretch], i: int, j: int, found: Between) -> tuple[Runs, list[tuple[int, ...]]]:
    """The chain from the first sound end round to itself, and the numbers of its links."""
    count = len(runs.curves)
    is_one = found.after is None
    after = [(j + n) % count for n in range((i - j) % count)]
    numbers = of[i].numbers + of[j].numbers if is_one and i != j else of[i].numbers
    links: list[tuple[Curve, Point, Point, tuple[int, ...]]] = [
        (found.before, runs.knots[i], runs.middles[i], numbers),
        *((one.curve, one.begin, one.middle, ()) for one in found.pieces),
        *(
            (runs.curves[n], found.begin if n == j else runs.knots[n], runs.middles[n], of[n].numbers)
            for n in after[int(is_one) :]
        ),
    ]
    curves, knots, middles, named = zip(*links, strict=True)
    return Runs(curves, knots, middles, runs.tolerance), list(named)


def _way(runs: Runs, pieces: int, is_one: bool, before: Stretch, after: Stretch) -> Array:
    """Points from the sound end of the first to the sound start of the last, as the joined edge runs there."""
    made = stretches_of("", runs, [()] * len(runs.curves))
    if is_one:
        return _part(made[0], before.end, after.start)
    first, last = made[0], made[(1 + pieces) % len(made)]
    between_them = [one.points(_STEP) for one in made[1 : 1 + pieces]]
    return np.vstack([_part(first, before.end, first.end), *between_them, _part(last, last.start, after.start)])


def _part(stretch: Stretch, first: Point, last: Point) -> Array:
    """Of its points those from one place to another beside it; of two places the other way round, the second."""
    points = stretch.points(_STEP)
    a, b = _nearest(points, first), _nearest(points, last)
    return points[a : b + 1] if b > a else points[b : b + 1]


def _round(whole: Fit, before: Stretch, ends: tuple[Point, Point]) -> Array:
    """Points of the circle over the gap, the way the edge runs."""
    centre = np.array([whole.x, whole.y])
    first, last = (np.arctan2(end[1] - whole.y, end[0] - whole.x) for end in ends)
    sense = 1.0 if before.turn >= 0 else -1.0
    sweep = sense * ((sense * (last - first)) % (2 * np.pi))
    turns = first + sweep * np.linspace(0.0, 1.0, max(3, int(abs(sweep) * whole.radius / _STEP)))
    return np.asarray(centre + whole.radius * np.column_stack([np.cos(turns), np.sin(turns)]))


def _spliced(ring: Array, way: Array) -> tuple[Array, Array]:
    """The ring with the way in place of what lay between its ends, and what that was."""
    first, last = _nearest(ring, way[0]), _nearest(ring, way[-1])
    seen = cyclic(ring, first, last)
    rest = cyclic(ring, last, first) if first != last else np.roll(ring, -first, axis=0)
    return np.vstack([way, rest[1:-1]]), seen


def _nearest(points: Array, to: Point | Array) -> int:
    return int(np.argmin(np.hypot(points[:, 0] - to[0], points[:, 1] - to[1])))
