"""One part of a picture: its outline, round holes and other windows, fitted to their rings."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from math import dist

import numpy as np
import shapely
from shapely.geometry import LinearRing

from gasketcut.arrays import Array
from gasketcut.capture.edges.fitted_edge import FittedEdge, RoundEdge, fit_edge, round_edge
from gasketcut.capture.edges.rings import Silhouette
from gasketcut.capture.lettering import from_the_left, letter
from gasketcut.capture.proposals.offers import Proposal, applied, proposals_for
from gasketcut.capture.proposals.squared import outline_proposals, with_accepted
from gasketcut.capture.proposals.symmetry import Symmetry, mean_of
from gasketcut.capture.scale.calipers import Moved
from gasketcut.capture.scale.dpi import Scale
from gasketcut.capture.scale.isometry import Isometry
from gasketcut.capture.scale.photo import Photo
from gasketcut.capture.torn.bridge import Bridge
from gasketcut.capture.torn.stretch import Stretch
from gasketcut.capture.uncertainty.edge_shift import UNSEEN, EdgeShift
from gasketcut.capture.uncertainty.ripple import ripple
from gasketcut.capture.uncertainty.uncertainty import Uncertainty
from gasketcut.plane import Point, place_text
from gasketcut.profile.fasteners import Fasteners
from gasketcut.shape.loop import Circle, Contour, Outline

_PARTNER = 1.0
"""mm by which an opening may be off the image of another and still be its partner. Our choice."""


@dataclass(frozen=True, slots=True)
class TracedHole:
    """A round opening by its name, in mm about the middle of the part, y up."""

    name: str
    circle: Circle
    noise: float
    """Standard deviation of its radius by its points alone [mm]; figures have more: `uncertainty.figures`."""


@dataclass(frozen=True, slots=True)
class TracedWindow:
    """An opening that is not round, by its name: W1, W2, ..."""

    name: str
    edge: FittedEdge

    @property
    def middle(self) -> Point:
        """Of the box round it [mm]."""
        right, up = zip(*self.edge.contour.flattened(0.01), strict=True)
        return (min(right) + max(right)) / 2, (min(up) + max(up)) / 2


@dataclass(frozen=True, slots=True)
class TracedPart:
    """Outline, round holes, other windows; `ring` and `rings` are the points they were fitted to [mm]."""

    outline: FittedEdge
    holes: tuple[TracedHole, ...]
    windows: tuple[TracedWindow, ...]
    ring: Array
    rings: tuple[Array, ...]
    middle: Point
    """Of the outline, in mm from the picture's upper left corner, y down."""
    uncertainty: Uncertainty

    stretches: tuple[Stretch, ...] = ()
    """Of the edges as they were seen, whatever was accepted since: their numbers are what a person points with."""

    bridges: tuple[Bridge, ...] = ()

    @property
    def contours(self) -> tuple[Contour, ...]:
        """Fitted to `ring` and to each of `rings`, in that order."""
        return (
            self.outline.contour,
            *(hole.circle for hole in self.holes),
            *(one.edge.contour for one in self.windows),
        )


def part_of(
    silhouette: Silhouette,
    scale: Scale | Photo,
    fit: float | None,
    shift: EdgeShift = UNSEEN,
    *,
    only_holes: bool = False,
) -> TracedPart:
    """The figure in mm about the middle of its outline.

    shift : how its edges were seen
    """
    ring = scale.mm(silhouette.outer)
    middle = (ring.min(axis=0) + ring.max(axis=0)) / 2
    ring = ring - middle
    outline, box = _outline(ring, fit, only_holes=only_holes)
    ring, middle = ring - box, middle + box
    rounds: list[tuple[RoundEdge, Array]] = []
    others: list[Array] = []
    for inner in silhouette.inner:
        points = scale.mm(inner) - middle
        found = round_edge(points)
        if found is not None:
            rounds.append((found, points))
        else:
            others.append(points)
    width = float(np.ptp(ring, axis=0).max())
    rounds = [rounds[n] for n in from_the_left([one[0].circle.center for one in rounds], width)]
    others = [others[n] for n in from_the_left([_middle_of(one) for one in others], width)]
    holes = tuple(TracedHole(letter(n), one.circle, one.noise) for n, (one, _) in enumerate(rounds))
    windows = () if only_holes else _windows(fit_edge(one, fit) for one in others)
    return TracedPart(outline, holes, windows, ring, (*(points for _, points in rounds), *others),
                      (float(middle[0]), -float(middle[1])), _uncertainty(scale, shift))  # fmt: skip


def _outline(ring: Array, fit: float | None, *, only_holes: bool) -> tuple[FittedEdge, Array]:
    """Fitted, about the middle of its own box, and where that was: the ring's own extremes are those of its noise."""
    outer = round_edge(ring)
    if outer is not None:
        outline = FittedEdge(outer.circle, _off(ring, outer.circle), outer.noise)
    elif only_holes:
        outline = FittedEdge(Circle((0.0, 0.0), 1.0), 0.0, 0.0)
    else:
        outline = fit_edge(ring, fit)
    left, low, right, high = Outline(outline.contour, (), 0.0).bounds
    box = np.array([left + right, low + high]) / 2
    return outline.moved(-float(box[0]), -float(box[1])), box


def _uncertainty(scale: Scale | Photo, shift: EdgeShift) -> Uncertainty:
    pixel = (scale.sx + scale.sy) / 2
    return Uncertainty(scale.spread, shift.sigma * pixel, ripple(shift.width) * pixel, pixel)


def _middle_of(ring: Array) -> Point:
    x, y = (ring.min(axis=0) + ring.max(axis=0)) / 2
    return float(x), float(y)


def _windows(edges: Iterable[FittedEdge]) -> tuple[TracedWindow, ...]:
    return tuple(TracedWindow(f"W{number}", edge) for number, edge in enumerate(edges, 1))


def _off(ring: Array, circle: Circle) -> float:
    return float(np.max(np.abs(np.hypot(*(ring - circle.center).T) - circle.radius)))


def large_residuals(part: TracedPart) -> list[str]:
    """Where the edge leaves what was fitted by far more than its noise."""
    if part.outline.deviation <= max(0.06, 12 * part.outline.noise):
        return []
    line = LinearRing(part.outline.contour.flattened(0.005))
    off = shapely.distance(shapely.points(part.ring), line)
    x, y = part.ring[int(np.argmax(off))].tolist()
    where = place_text((x, y))
    return [f"the edge strays by {off.max():.2f} mm at {where}: damaged, dirty, or no line or arc; see the overlay"]


def meant(
    part: TracedPart,
    number: int,
    sigma: float,
    fit: float | None,
    fasteners: Fasteners,
    moved: Moved | None,
    symmetry: Symmetry,
    accept: Callable[[Proposal], bool],
) -> tuple[TracedPart, list[Proposal]]:
    """The part with what was accepted, and all that was proposed.

    number : of the part in its picture
    sigma  : of the scale, relative
    fasteners : whose clearance holes the holes may be meant to be
    moved  : a hole that caliper readings put elsewhere
    symmetry : of its outline
    """
    made = part
    proposals: list[Proposal] = []
    if moved is not None:
        one = _moving(part, moved, number)
        one = replace(one, accepted=accept(one))
        proposals.append(one)
        made = _with_moved(part, one) if one.accepted else part
    for one in symmetry.proposals:
        decided = replace(one, accepted=accept(one))
        proposals.append(decided)
        made = _averaged(made, decided.images, fit) if decided.accepted else made
    shaped = [replace(one, accepted=accept(one)) for one in outline_proposals(made.outline, sigma, number)]
    proposals += shaped
    outline = with_accepted(made.outline, made.ring, [one for one in shaped if one.accepted])
    made = replace(made, outline=outline)
    offered = [
        replace(one, part=number) for one in proposals_for([hole.circle for hole in made.holes], sigma, fasteners)
    ]
    of_holes = [replace(one, accepted=accept(one)) for one in offered]
    proposals += of_holes
    circles = applied([hole.circle for hole in made.holes], [one for one in of_holes if one.accepted])
    holes = tuple(replace(hole, circle=circle) for hole, circle in zip(made.holes, circles, strict=True))
    return replace(made, holes=holes), proposals


def _moving(part: TracedPart, moved: Moved, number: int) -> Proposal:
    place = next(n for n, hole in enumerate(part.holes) if hole.name == moved.hole)
    x, y = part.holes[place].circle.center
    text = f"hole {moved.hole} from ({x:.2f}, {y:.2f}) to ({x + moved.dx:.2f}, {y + moved.dy:.2f}), as its readings say"
    return Proposal("moved-hole", text, (place,), shift=(moved.dx, moved.dy), part=number)


def _with_moved(part: TracedPart, proposal: Proposal) -> TracedPart:
    assert proposal.shift is not None
    (place,), (dx, dy) = proposal.holes, proposal.shift
    holes = list(part.holes)
    (x, y), radius = holes[place].circle.center, holes[place].circle.radius
    holes[place] = replace(holes[place], circle=Circle((x + dx, y + dy), radius))
    return replace(part, holes=tuple(holes))


def _averaged(part: TracedPart, images: tuple[Isometry, ...], fit: float | None) -> TracedPart:
    """The mean of the part and its images; an opening without a partner under each of them stays as it is."""
    ring = mean_of(part.ring, images, [part.ring] * len(images))
    holes = []
    for hole in part.holes:
        group = [hole.circle]
        for image in images:
            x, y = image.back.of(np.array([hole.circle.center]))[0]
            partner = min(part.holes, key=lambda one, x=x, y=y: dist(one.circle.center, (x, y))).circle  # type: ignore[misc]
            if dist(partner.center, (x, y)) <= _PARTNER and abs(partner.radius - hole.circle.radius) <= _PARTNER / 2:
                u, v = image.of(np.array([partner.center]))[0]
                group.append(Circle((float(u), float(v)), partner.radius))
        if len(group) <= len(images):
            holes.append(hole)
            continue
        x, y = (float(one) for one in np.mean([one.center for one in group], axis=0))
        circle = Circle((x, y), float(np.mean([one.radius for one in group])))
        holes.append(replace(hole, circle=circle, noise=hole.noise / len(group) ** 0.5))
    rings = list(part.rings[len(part.holes) :])
    made = [_averaged_opening(one, rings, images) for one in rings]
    windows = _windows(
        one.edge if made[n] is rings[n] else fit_edge(made[n], fit) for n, one in enumerate(part.windows)
    )
    return replace(part, outline=fit_edge(ring, fit), ring=ring, holes=tuple(holes), windows=windows,
                   rings=(*part.rings[: len(part.holes)], *made))  # fmt: skip


def _averaged_opening(ring: Array, rings: list[Array], images: tuple[Isometry, ...]) -> Array:
    """With those that the images take onto it; itself if one of them finds none."""
    others = []
    for image in images:
        x, y = image.back.of(ring).mean(axis=0)
        partner = min(rings, key=lambda one, x=x, y=y: dist(one.mean(axis=0), (x, y)))  # type: ignore[misc]
        line = LinearRing(image.of(partner))
        if float(np.max(shapely.distance(shapely.points(ring), line))) > _PARTNER:
            return ring
        others.append(partner)
    return mean_of(ring, images, others)
