"""A contour as it will be written: lines, arcs and circles in place of chords and of many short lines, within `fit`.

One decision for both: what `inspect` says and what `mend` does come from here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from shapely.geometry import Polygon

from gasketcut.plane import Point
from gasketcut.received.arcs.rounds import as_circle
from gasketcut.received.faults.contour_search import Closed
from gasketcut.received.faults.flaw import Flaw
from gasketcut.received.looks.look import Look
from gasketcut.received.reading.plane import Plane
from gasketcut.shape.arcs import KnownArcs, trace
from gasketcut.shape.loop import Circle, Contour, Loop
from gasketcut.tolerances import ARC_FIT, GRID

MANY = 48
"""Straight lines in a contour from which on they may be a curve. Our choice: few parts have so many true edges."""

_FEWER = 3  # times fewer lines and arcs must come out; ours
_MORE = 1.5  # times as many arcs are taken, if they lie on the curve by far better; ours
_CHORD = 0.002  # mm
_LEAST = 2 * GRID
_KNOWN = 50  # circles of the drawing that a curve is held against


@dataclass(frozen=True, slots=True)
class Smooth:
    """`off` : how far it lies off what was drawn [mm]."""

    contour: Contour
    off: float = 0.0


@dataclass(frozen=True, slots=True)
class Smoothed:
    """The contours in their order, and what was found: what is mended, and what only a person can want."""

    contours: tuple[Smooth, ...]
    flaws: tuple[Flaw, ...]
    looks: tuple[Look, ...]


def smoothed(closed: Sequence[Closed], plane: Plane, fit: float) -> Smoothed:
    """plane : from the file's numbers to mm, for places; fit : greatest deviation [mm]."""
    circles = tuple(one.contour for one in closed if isinstance(one.contour, Circle))[:_KNOWN]
    contours: list[Smooth] = []
    flaws: list[Flaw] = []
    looks: list[Look] = []
    for one in closed:
        smooth = Smooth(one.contour)
        if isinstance(one.contour, Loop):
            if one.curve:
                smooth = _traced(one.contour, circles, fit)
            elif (found := as_circle(one.contour)) is not None:
                smooth = _rounded(one.contour, *found, plane, fit, flaws, looks)
            elif (shorter := _shorter(one.contour, circles, fit)) is not None:
                smooth = shorter
                flaws.append(_many_lines(one.contour, smooth, plane))
            else:
                smooth = Smooth(_rejoined(one.contour))
        contours.append(smooth)
    return Smoothed(tuple(contours), tuple(flaws), tuple(looks))


def _rounded(
    loop: Loop, circle: Circle, off: float, plane: Plane, fit: float, flaws: list[Flaw], looks: list[Look]
) -> Smooth:
    """The circle, where it lies within `fit`; else the lines, and what would make them a circle."""
    text = f"a circle of {2 * circle.radius:.4g} mm as {len(loop.points)} lines, {off:.2g} mm off it"
    at = plane.back(circle.center)
    if off <= fit:
        flaws.append(Flaw("circle-as-lines", at, text, "make it a circle"))
        return Smooth(circle, off)
    advice = f"if a circle is meant: --fit {ceil(off * 1000) / 1000:g}mm"
    looks.append(Look("circle-as-lines", at, f"{text}: more than {fit:g} mm, so it stays as it is", advice))
    return Smooth(_rejoined(loop))


def _many_lines(loop: Loop, smooth: Smooth, plane: Plane) -> Flaw:
    lines = sum(not bulge for bulge in loop.bulges)
    count = len(smooth.contour.points) if isinstance(smooth.contour, Loop) else 1
    text = f"a curve as {lines} short lines; {count} lines and arcs lie within {max(smooth.off, 1e-4):.2g} mm of it"
    return Flaw("curve-as-lines", plane.back(loop.points[0]), text, "make it arcs")


def _shorter(loop: Loop, circles: tuple[Circle, ...], fit: float) -> Smooth | None:
    """The loop with arcs for its many short lines; None if it has few, or they are no curve."""
    if sum(not bulge for bulge in loop.bulges) < MANY:
        return None
    smooth = _traced(loop, circles, fit)
    count = len(smooth.contour.points) if isinstance(smooth.contour, Loop) else 1
    return smooth if _FEWER * count <= len(loop.points) else None


def _traced(loop: Loop, circles: tuple[Circle, ...], fit: float) -> Smooth:
    """Arcs within `fit`, and far nearer where nearly as few do: what is made of arcs comes back as those."""
    chord = min(fit / 8, _CHORD)
    ring = loop.flattened(chord)
    if not Polygon(ring).is_valid:  # reported as crossing itself; nothing to trace
        return Smooth(loop)
    own = tuple(Circle(one.center, one.radius) for one in loop.segments() if one.bulge)[:_KNOWN]
    known = KnownArcs((*circles, *dict.fromkeys(own)))
    contour, off = trace(ring, known, fit - chord)
    if fit > ARC_FIT:
        finer, less = trace(ring, known, ARC_FIT)
        if _count(finer) <= _MORE * _count(contour):
            contour, off = finer, less
    if not Polygon(contour.flattened(_CHORD)).is_valid:  # a neck narrower than the tolerance
        return Smooth(_rejoined(loop))
    return Smooth(contour, off + chord)


def _count(contour: Contour) -> int:
    return len(contour.points) if isinstance(contour, Loop) else 1


def _rejoined(loop: Loop) -> Loop:
    """Without edges that joining has made zero length, or that the file's last digit would."""
    kept: list[tuple[Point, float]] = [
        (segment.start, segment.bulge) for segment in loop.segments() if segment.length > _LEAST
    ]
    return Loop(tuple(point for point, _ in kept), tuple(bulge for _, bulge in kept)) if len(kept) > 1 else loop
