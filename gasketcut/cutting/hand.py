"""A part cut by hand: what comes first, and with which punch.

Step   one feature in its turn; `at` is where its number stands.
Punch  the nearest of a set to a hole, and whether what it makes goes over the stud.
Chain  holes drilled inside an opening in metal, so that it comes out and is filed to the line.

Order (common practice): two holes far apart first, through which the sheet is bolted to the flange or a board so that
it cannot creep; then the other holes; then bore and ports; the outside last, while there is still sheet to hold. A
round part whose opening has the same middle is cut outside first: the circle cutter needs the middle for both.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import dist, hypot, sqrt

import numpy as np
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry import Polygon

from gasketcut.parts.part import Hole, Part
from gasketcut.plane import Point
from gasketcut.profile.punches import Punches
from gasketcut.shape.loop import Circle, Outline
from gasketcut.shape.nearest import distances, rings_of

INSIDE = 12.0
"""mm; in holes from this diameter on, their number stands inside. Our choice."""

SAME = 0.01
"""mm; middles nearer than this are one. Our choice, far below what a circle cutter can tell."""


@dataclass(frozen=True, slots=True)
class Step:
    """`number` counts from 1; `diameter` of a round hole [mm], else None; does the number stand on what falls out?"""

    number: int
    what: str
    at: Point
    diameter: float | None = None
    on_waste: bool = False


@dataclass(frozen=True, slots=True)
class Punch:
    """`error` is punch less hole [mm]; `clears` is False if the punched hole would not go over the stud."""

    words: str
    diameter: float
    error: float
    clears: bool


@dataclass(frozen=True, slots=True)
class Chain:
    """Drill and spacing along the line [mm]; `web` is what is left between two holes."""

    drill: float
    count: int
    spacing: float

    @property
    def web(self) -> float:
        return self.spacing - self.drill


@dataclass(frozen=True, slots=True)
class HandWork:
    """How a part is cut by hand: the steps in their order, the punches for each round hole, and a template's chain of
    drill holes."""

    steps: tuple[Step, ...]
    punches: tuple[tuple[Hole, tuple[Punch, ...]], ...]
    chain: Chain | None


def hand_work(part: Part, outline: Outline, punches: Punches) -> HandWork:
    """All of it; one row of punches for each size of hole."""
    sizes = {(hole.diameter, hole.stud): hole for hole in sorted(part.round_holes, key=lambda hole: -hole.diameter)}
    rows = [(hole, punches_for(hole, punches)) for hole in sorted(sizes.values(), key=lambda hole: hole.diameter)]
    return HandWork(hand_plan(part, outline), tuple(rows), chain_of(part))


def hand_plan(part: Part, outline: Outline) -> tuple[Step, ...]:
    """The features in the order in which to cut them."""
    holes = sorted(part.round_holes, key=lambda hole: (hole.center[1], hole.center[0]))
    studs = [hole for hole in holes if hole.role == "stud"]
    first = _farthest_apart(studs or [hole for hole in holes if hole.role == "hole"])
    others = [hole for hole in holes if hole not in first and hole.role != "opening"]
    round_openings = [hole for hole in holes if hole.role == "opening"]
    openings = [Polygon(contour.flattened(0.1)) for contour in outline.inner if not isinstance(contour, Circle)]
    beside = dict(zip(holes, _at_holes(holes, part), strict=True))
    left, low, right, _ = outline.bounds
    outside = ("outside", ((left + right) / 2, low - 3.0), None, False)
    steps: list[tuple[str, Point, float | None, bool]] = [
        *(("hole, then bolt the sheet down through it", *beside[hole]) for hole in first),
        *(("hole", *beside[hole]) for hole in others),
        *(("opening", *beside[hole]) for hole in round_openings),
        *(("opening", _inside(opening), None, True) for opening in openings),
    ]
    if _is_concentric(part, outline):
        steps.insert(0, ("outside, with the circle cutter, while its middle is still there", *outside[1:]))
    else:
        steps.append(outside)
    return tuple(Step(number, *step) for number, step in enumerate(steps, 1))


def _at_holes(holes: Sequence[Hole], part: Part) -> Iterator[tuple[Point, float, bool]]:
    """In a large hole beside its middle; else beside it, on the diagonal that is farthest from every cut."""
    places = [_diagonals(hole) for hole in holes]
    if not holes:
        return
    room = distances(np.array(places).reshape(-1, 2), rings_of(part.solid)).reshape(-1, 4).round(3)
    for hole, four, free in zip(holes, places, room, strict=True):
        if hole.diameter >= INSIDE:
            yield (hole.center[0] + 3.0, hole.center[1] + 3.0), hole.diameter, True
        else:
            yield four[int(np.argmax(free))], hole.diameter, False


def _diagonals(hole: Hole) -> list[Point]:
    (x, y), reach = hole.center, (hole.diameter / 2 + 2.4) * sqrt(0.5)
    return [(x + a * reach, y + b * reach) for a, b in ((1, 1), (-1, 1), (1, -1), (-1, -1))]


def _inside(opening: Polygon) -> Point:
    left, low, right, high = opening.bounds
    middle = ShapelyPoint((left + right) / 2, (low + high) / 2)
    place = middle if opening.contains(middle) else opening.representative_point()
    return place.x, place.y


def punches_for(hole: Hole, punches: Punches) -> tuple[Punch, ...]:
    """The nearest punch of the metric and of the inch set; one that clears the stud where there is one near."""
    # A hole wider than the widest punch is cut with a knife or a circle cutter.
    sets = [one for one in punches.sets if hole.diameter <= max(size for _, size in one) + 1]
    return tuple(_nearest(hole, sizes, punches.clear) for sizes in sets)


def chain_of(part: Part) -> Chain | None:
    """How a template's openings are drilled out, or None where nothing is."""
    if part.drill is None:
        return None
    arms = [(line[0].start, line[-1].end) for line in part.marks[::2]]
    centres = [((x0 + x1) / 2, (y0 + y1) / 2) for (x0, y0), (x1, y1) in arms]
    if len(centres) < 2:
        return None
    return Chain(part.drill, len(centres), min(dist(a, b) for a, b in combinations(centres, 2)))


def _nearest(hole: Hole, sizes: Sequence[tuple[str, float]], clear: float) -> Punch:
    least = hole.stud + clear if hole.stud is not None else 0.0
    goes = [one for one in sizes if one[1] >= least]
    words, size = min(goes or sizes, key=lambda one: abs(one[1] - hole.diameter))
    return Punch(words, size, size - hole.diameter, size >= least)


def _farthest_apart(holes: list[Hole]) -> list[Hole]:
    if len(holes) < 2:
        return holes
    centres = np.array([hole.center for hole in holes])
    best, pair = -1.0, (0, 1)
    for first in range(len(holes) - 1):
        apart = np.hypot(*(centres[first + 1 :] - centres[first]).T).round(6)
        if apart.max() > best:
            best, pair = float(apart.max()), (first, first + 1 + int(np.argmax(apart)))
    return [holes[pair[0]], holes[pair[1]]]


def _is_concentric(part: Part, outline: Outline) -> bool:
    if not isinstance(outline.outer, Circle):
        box = part.outer.bounds
        loop = outline.outer
        middle = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
        radius = (box[2] - box[0]) / 2
        off = max(abs(hypot(x - middle[0], y - middle[1]) - radius) for x, y in loop.points)
        if off > SAME or not all(loop.bulges):
            return False
    else:
        middle = outline.outer.center
    return any(hole.role == "opening" and dist(hole.center, middle) < SAME for hole in part.round_holes)
