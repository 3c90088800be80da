"""One part of a picture: its outline, round holes and other openings, fitted to their rings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import dist, hypot

import numpy as np
import shapely
from shapely.geometry import LinearRing

from gasketcut.capture.fitted import Fitted, Round, as_round, fitted
from gasketcut.capture.mirror import halved, middle_of, mirrored, mirrors_of
from gasketcut.capture.photo import Photo
from gasketcut.capture.proposals import Proposal, applied, proposals_for
from gasketcut.capture.rings import Array, Figure
from gasketcut.capture.scale import Scale
from gasketcut.capture.squared import outline_proposals, with_accepted
from gasketcut.shape.loop import Circle, Contour, Point


@dataclass(frozen=True, slots=True)
class Hole:
    """A round opening by its name, in mm about the middle of the part, y up."""

    name: str
    circle: Circle
    sigma: float


@dataclass(frozen=True, slots=True)
class TracedPart:
    """Outline, round holes, other openings; `ring` and `rings` are the points they were fitted to [mm]."""

    outline: Fitted
    holes: tuple[Hole, ...]
    openings: tuple[Fitted, ...]
    ring: Array
    rings: tuple[Array, ...]
    middle: Point
    """Of the outline, in mm from the picture's upper left corner, y down."""

    @property
    def contours(self) -> tuple[Contour, ...]:
        """Fitted to `ring` and to each of `rings`, in that order."""
        return (self.outline.contour, *(hole.circle for hole in self.holes), *(one.contour for one in self.openings))


def part_of(figure: Figure, scale: Scale | Photo, fit: float | None, *, only_holes: bool = False) -> TracedPart:
    """The figure in mm about the middle of its outline."""
    ring = scale.mm(figure.outer)
    middle = (ring.min(axis=0) + ring.max(axis=0)) / 2
    ring = ring - middle
    rounds: list[tuple[Round, Array]] = []
    others: list[Array] = []
    for inner in figure.inner:
        points = scale.mm(inner) - middle
        found = as_round(points)
        if found is not None:
            rounds.append((found, points))
        else:
            others.append(points)
    rounds.sort(key=lambda one: (round(one[0].circle.center[0], 1), -one[0].circle.center[1]))
    holes = tuple(
        Hole(_name(n), one.circle, hypot(one.sigma, 2 * one.circle.radius * scale.sigma))
        for n, (one, _) in enumerate(rounds)
    )
    outer = as_round(ring)
    if outer is not None:
        outline = Fitted(outer.circle, _off(ring, outer.circle), 0.0)
    elif only_holes:
        outline = Fitted(Circle((0.0, 0.0), 1.0), 0.0, 0.0)
    else:
        outline = fitted(ring, fit)
    openings = () if only_holes else tuple(fitted(one, fit) for one in others)
    return TracedPart(outline, holes, openings, ring, (*(points for _, points in rounds), *others),
                      (float(middle[0]), -float(middle[1])))  # fmt: skip


def _name(number: int) -> str:
    letters = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def _off(ring: Array, circle: Circle) -> float:
    return float(np.max(np.abs(np.hypot(*(ring - circle.center).T) - circle.radius)))


def torn(part: TracedPart) -> list[str]:
    """Where the edge leaves what was fitted by far more than its noise."""
    if part.outline.deviation <= max(0.06, 12 * part.outline.noise):
        return []
    line = LinearRing(part.outline.contour.flattened(0.005))
    off = shapely.distance(shapely.points(part.ring), line)
    x, y = part.ring[int(np.argmax(off))]
    where = f"({x:.1f}, {y:.1f})"
    return [f"the edge strays by {off.max():.2f} mm at {where}: torn, dirty, or no line or arc; see the overlay"]


def meant(
    part: TracedPart, number: int, sigma: float, fit: float | None, accept: Callable[[Proposal], bool]
) -> tuple[TracedPart, list[Proposal]]:
    """What may be meant by the part, and the part with what was accepted of that.

    number : of the part in its picture
    sigma  : of the scale, relative
    """
    made, said = part, []
    for one in mirrors_of(part.ring, number):
        taken = replace(one, accepted=accept(one))
        said.append(taken)
        if taken.accepted and taken.value is not None:
            made = _halved(made, taken.value, fit)
    shaped = [replace(one, accepted=accept(one)) for one in outline_proposals(made.outline, sigma, number)]
    said += shaped
    outline = with_accepted(made.outline, made.ring, [one for one in shaped if one.accepted])
    made = replace(made, outline=outline)
    offered = [replace(one, part=number) for one in proposals_for([hole.circle for hole in made.holes], sigma)]
    taken_holes = [replace(one, accepted=accept(one)) for one in offered]
    said += taken_holes
    circles = applied([hole.circle for hole in made.holes], [one for one in taken_holes if one.accepted])
    holes = tuple(replace(hole, circle=circle) for hole, circle in zip(made.holes, circles, strict=True))
    return replace(made, holes=holes), said


def _halved(part: TracedPart, axis: float, fit: float | None) -> TracedPart:
    """The mean of the part and its mirror image; a hole without a partner stays as it is."""
    middle = middle_of(part.ring)
    ring = halved(part.ring, part.ring, middle, axis)
    holes = []
    for hole in part.holes:
        image = mirrored(np.array([hole.circle.center]), middle, axis)[0]
        partner = min(part.holes, key=lambda one, image=image: dist(one.circle.center, image)).circle  # type: ignore[misc]
        back = mirrored(np.array([partner.center]), middle, axis)[0]
        if dist(back, hole.circle.center) > 1.0 or abs(partner.radius - hole.circle.radius) > 0.5:
            holes.append(hole)
            continue
        x, y = (hole.circle.center + back) / 2
        circle = Circle((float(x), float(y)), (hole.circle.radius + partner.radius) / 2)
        holes.append(replace(hole, circle=circle, sigma=hole.sigma / 2**0.5))
    return replace(part, outline=fitted(ring, fit), ring=ring, holes=tuple(holes))
