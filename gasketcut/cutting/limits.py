"""Is the part too fine for the cutter? Smallest hole, narrowest web, sharpest inner corner.

Inner  corner: one into which the cut has to go from the scrap's side; the tool's own radius stays in it.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import atan, atan2, cos, pi

from gasketcut.cutting.cutter import Cutter
from gasketcut.finding import Finding
from gasketcut.length import both
from gasketcut.parts.part import Part
from gasketcut.plane import Point
from gasketcut.shape.loop import Loop, Outline, Segment
from gasketcut.shape.narrow import smallest_web, width_of

STAYS = 0.1
"""mm of sheet left in an inner corner that is worth a warning and not just a note; our choice."""

_SEEN = 0.01  # mm left in a corner: less is no corner but a kink
_SAME = 1e-3  # mm: as drawn by chords, a hole or web of just the limit is right


def limits(part: Part, outline: Outline, cutter: Cutter) -> Iterator[Finding]:
    """What of the nominal part the cutter cannot be trusted with."""
    yield from _holes(part, outline, cutter)
    yield from _web(part, cutter)
    yield from _corners(part, outline, cutter)


def _holes(part: Part, outline: Outline, cutter: Cutter) -> Iterator[Finding]:
    least = cutter.least_hole(part.thickness)
    small = [one for one in map(width_of, outline.inner) if one.width < least - _SAME]
    if not small:
        return
    worst = min(small, key=lambda one: one.width)
    count = f"; {len(small)} holes or openings are under that" if len(small) > 1 else ""
    yield Finding(
        rule="smallest hole",
        weight="warn",
        part=part.name,
        at=worst.at,
        found=worst.width,
        wanted=least,
        text=f"a hole of {both(worst.width)} is too small for {cutter.says}, which needs {both(least)}{count}",
        do="make it larger, punch or drill it afterwards, or cut a notch out to the edge instead",
    )


def _web(part: Part, cutter: Cutter) -> Iterator[Finding]:
    least = cutter.least_web(part.thickness)
    web = smallest_web(part.solid)
    if web is None or web.width >= least - _SAME:
        return
    yield Finding(
        rule="smallest web",
        weight="warn",
        part=part.name,
        at=web.at,
        found=web.width,
        wanted=least,
        text=f"a web of {both(web.width)} is too narrow for {cutter.says}, which needs {both(least)}",
        do="move the two edges apart, or let the two openings become one",
    )


def _corners(part: Part, outline: Outline, cutter: Cutter) -> Iterator[Finding]:
    if cutter.corner == 0:
        return
    loops = [contour for contour in outline.contours if isinstance(contour, Loop)]
    sharp = [corner for loop in loops for corner in _sharp_corners(loop, cutter.corner)]
    if not sharp:
        return
    left, radius, at = max(sharp)
    yield Finding(
        rule="inner corner",
        weight="warn" if left > STAYS else "note",
        part=part.name,
        at=at,
        found=radius,
        wanted=cutter.corner,
        text=f"inner corners of less than R {both(cutter.corner)} come out rounder from {cutter.says}: {len(sharp)} "
        f"of them, with up to {both(left)} of sheet left in the corner",
        do=f"give them a radius of {both(cutter.corner)} or more, or file them out",
    )


def _sharp_corners(loop: Loop, least: float) -> Iterator[tuple[float, float, Point]]:
    """Sheet left in the corner, its radius, its place. The sheet is on the left, so inner corners turn right."""
    segments = list(loop.segments())
    for before, after in zip(segments, segments[1:] + segments[:1], strict=True):
        turn = (_start_direction(after) - _end_direction(before) + pi) % (2 * pi) - pi
        if turn < 0 and (left := _left_in_corner(least, -turn)) > _SEEN:
            yield left, 0.0, after.start
    for segment in segments:
        if segment.bulge < 0 and segment.radius < least - _SAME:
            left = _left_in_corner(least - segment.radius, -4 * atan(segment.bulge))
            if left > _SEEN:
                yield left, segment.radius, segment.start


def _left_in_corner(radius: float, turn: float) -> float:
    """From the tip of a corner between straight edges to an arc of the radius that touches both [mm]."""
    return radius * (1 / max(cos(turn / 2), 0.05) - 1)


def _start_direction(segment: Segment) -> float:
    return _chord_direction(segment) - 2 * atan(segment.bulge)


def _end_direction(segment: Segment) -> float:
    return _chord_direction(segment) + 2 * atan(segment.bulge)


def _chord_direction(segment: Segment) -> float:
    return atan2(segment.end[1] - segment.start[1], segment.end[0] - segment.start[0])
