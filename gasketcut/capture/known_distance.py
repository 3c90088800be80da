"""A length that somebody measured on the part: it gives the picture its scale, or is compared with it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot

import numpy as np

from gasketcut.arrays import Array
from gasketcut.capture.edges.fitted_edge import fit_edge, round_edge
from gasketcut.capture.image.picture_file import PictureError
from gasketcut.capture.scale.dpi import Scale
from gasketcut.capture.scale.photo import Photo
from gasketcut.capture.traced_part import TracedPart
from gasketcut.capture.uncertainty.scale_spread import SCANNER, SQUARE, ScaleSpread
from gasketcut.plane import Point
from gasketcut.shape.loop import Outline

_LARGE = 8.0
"""mm; radius of the least hole by which a scanner's unequal scales show. Our choice."""

_WIDER = 0.0008
"""Of its diameter, by which a round hole must look wider one way to be named. Our choice."""


CALIPER = 0.02
"""mm, standard deviation of a caliper's reading where nobody says another. Common practice: the step of its scale."""

_LEANS = 0.7
"""Of the height, by which a part's left and right ends usually lie one over the other. Our choice."""

_COARSE = 0.05
"""mm that lines and arcs may lie off an outline of which only the width and height are asked. Our choice."""

_SEEN = 0.005
"""mm by which the picture shows such a distance wrong beside its scale. Measured on simulated scans."""


@dataclass(frozen=True, slots=True)
class KnownDistance:
    """Between two holes by name, or `left:right`, `bottom:top` of the outline; `sigma` is the reading's [mm]."""

    first: str
    second: str
    mm: float
    sigma: float = CALIPER


def _span(part: TracedPart, distance: KnownDistance) -> Point:
    """From the first to the second, along x and y."""
    (left, low), (right, high) = _box(part)
    if (distance.first, distance.second) == ("left", "right"):
        return right - left, 0.0
    if (distance.first, distance.second) == ("bottom", "top"):
        return 0.0, high - low
    known: Mapping[str, Point] = {hole.name: hole.circle.center for hole in part.holes}
    for name in (distance.first, distance.second):
        if name not in known:
            names = ", ".join(known) or "none"
            raise PictureError(f"there is no hole {name}; known are {names}, and left:right and bottom:top")
    (x, y), (u, v) = known[distance.first], known[distance.second]
    return u - x, v - y


def _box(part: TracedPart) -> tuple[Point, Point]:
    """Lower left and upper right of the outline, fitted: the ring's extremes are those of its noise, or a speck's."""
    outer = round_edge(part.ring)
    contour = outer.circle if outer is not None else fit_edge(part.ring, _COARSE).contour
    left, low, right, high = Outline(contour, (), 0.0).bounds
    return (left, low), (right, high)


def _unsure(part: TracedPart, distance: KnownDistance) -> float:
    """Standard deviation beside the scale's own, relative: of the reading, of what the picture shows, and, of a width,
    of sides that lean as rows and columns are not square."""
    leaning = 0.0
    if (distance.first, distance.second) == ("left", "right"):
        (_, low), (_, high) = _box(part)
        leaning = _LEANS * (high - low) * SQUARE
    return hypot(distance.sigma, _SEEN, leaning) / distance.mm


def scale_by(part: TracedPart, along: KnownDistance | None, across: KnownDistance | None) -> Scale:
    """By how much the part, as it stands, is too small along x and y: (sx dx)^2 + (sy dy)^2 = d^2 for each of two
    distances; by one, the same both ways.

    Raise `PictureError` for names that are not there, and for distances that give no scale.
    """
    known = [one for one in (along, across) if one is not None]
    rows = [(*_span(part, one), one.mm) for one in known]
    if any(hypot(dx, dy) == 0 for dx, dy, _ in rows):
        raise PictureError("a distance from a hole to itself is no scale")
    ways = np.array([(dx, dy) for dx, dy, _ in rows]) / [[hypot(dx, dy)] for dx, dy, _ in rows]
    sure = np.array([_unsure(part, one) for one in known])
    if len(rows) == 1:
        dx, dy, mm = rows[0]
        s = mm / hypot(dx, dy)
        return Scale("calipers", s, s, _spread_by_one(ways[0], float(sure[0])))
    matrix = np.array([[dx * dx, dy * dy] for dx, dy, _ in rows])
    if abs(np.linalg.det(matrix)) < 0.05 * float(np.prod(np.linalg.norm(matrix, axis=1))):
        raise PictureError("both distances lie the same way; take one along the picture and one across")
    squares = np.linalg.solve(matrix, np.array([mm * mm for _, _, mm in rows]))
    if (squares <= 0).any() or not 0.8 < (squares[0] / squares[1]) ** 0.5 < 1.25:
        raise PictureError("the two distances contradict each other: no scanner stretches that much; measure again")
    sx, sy = np.sqrt(squares)
    return Scale("calipers", float(sx), float(sy), _spread_by_two(ways, sure))


def _spread_by_two(ways: Array, sure: Array) -> ScaleSpread:
    """Each reading gives c^2 ex + s^2 ey, but for its own error and what is out of square.

    ways : of length 1, shape (2, 2); sure : relative, of each reading
    """
    back = np.linalg.inv(ways**2)
    leaning = np.prod(ways, axis=1) * SQUARE
    found = back @ (np.diag(sure**2) + np.outer(leaning, leaning)) @ back.T
    return ScaleSpread(float(found[0, 0]), float(found[1, 1]), float(found[0, 1]))


def _spread_by_one(way: Array, sure: float) -> ScaleSpread:
    """One scale for both ways, though a scanner's two differ: by how much is as unsure as for the dpi."""
    along, across = float(way[0]) ** 2, float(way[1]) ** 2
    own, apart = sure**2 + along * across * SQUARE**2, 2 * SCANNER**2
    return ScaleSpread(own + across**2 * apart, own + along**2 * apart, own - along * across * apart)


def unequal_scales(part: TracedPart, scale: Scale | Photo) -> list[str]:
    """What a large hole that is wider one way says of the scanner's scales, if the hole is round."""
    if not part.holes or isinstance(scale, Photo) or scale.source == "calipers":
        return []
    largest = max(range(len(part.holes)), key=lambda n: part.holes[n].circle.radius)
    points, circle = part.rings[largest], part.holes[largest].circle
    spokes = points - circle.center
    turn = np.arctan2(spokes[:, 1], spokes[:, 0])
    off = np.hypot(*spokes.T) - circle.radius
    wider = 4 * float(np.mean(off * np.cos(2 * turn))) / (2 * circle.radius)
    if circle.radius < _LARGE or abs(wider) < _WIDER:
        return []
    name, way = part.holes[largest].name, "x" if wider > 0 else "y"
    return [
        f"hole {name} is {abs(wider) * 100:.2f} % wider along {way}; if it is round, the scanner is not: "
        "give --along and --across"
    ]


def compared(part: TracedPart, check: KnownDistance) -> str:
    """The distance in the picture beside what was measured; raise `PictureError` for names that are not there."""
    found = hypot(*_span(part, check))
    both = f"{found:.3f} mm in the picture, {check.mm:.3f} by caliper, {found - check.mm:+.3f}"
    return f"check {check.first}:{check.second}: {both}"
