"""How far what was read lies from what was meant; every proof of a drawing asks this."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan, pi

import numpy as np

from gasketcut.arrays import Array
from gasketcut.errors import ReadBackError
from gasketcut.shape.loop import Circle, Segment, chords_needed
from gasketcut.shape.nearest import distances
from gasketcut.tolerances import CHORD, READ_BACK


def stray(read: Array, wanted: Array) -> float:
    """The greatest distance [mm], both ways, between two lines as points; infinite where one is no line of numbers.

    Both have to be divided finely, so that vertices are enough. Point by point is tried first: two lines that were
    divided alike need no search.
    """
    if min(len(read), len(wanted)) < 2 or not np.isfinite(read).all():
        return float("inf")
    if read.shape == wanted.shape:
        off = float(np.max(np.hypot(*(read - wanted).T)))
        if off <= READ_BACK:
            return off
    return float(max(np.max(distances(read, [wanted])), np.max(distances(wanted, [read]))))


def prove_lines(
    read: Sequence[tuple[str, Array]], wanted: Sequence[tuple[str, Array]], name: str, tolerance: float = READ_BACK
) -> None:
    """Each line read lies on its layer where it should, in its turn.

    read, wanted : layer and points of each [mm]

    Raise `ReadBackError` if one is missing, too many, on another layer, or strays by more than the tolerance.
    """
    if [layer for layer, _ in read] != [layer for layer, _ in wanted]:
        raise ReadBackError(f"{name}: the file written has other cuts than the path; this is a fault of the program")
    for (layer, found), (_, meant) in zip(read, wanted, strict=True):
        off = stray(found, meant)
        if off > tolerance:
            raise ReadBackError(f"{name}: a cut on {layer} strays {off * 1000:.1f} um from the path")


def divided(segments: Sequence[Segment], pieces: int = 1) -> Array:
    """Points along lines and arcs, from start to end, no chord more than CHORD off an arc [mm].

    pieces : an arc that stands in a file as so many equal ones is divided as those are
    """
    found = [_points(segment, pieces) for segment in segments]
    return np.vstack([*found, np.array([segments[-1].end])])


def round_of(circle: Circle) -> Array:
    """Points round a circle, the first repeated at the end [mm]."""
    (x, y), turns = circle.center, np.linspace(0, 2 * pi, chords_needed(circle.radius, 2 * pi, CHORD) + 1)
    return np.column_stack([x + circle.radius * np.cos(turns), y + circle.radius * np.sin(turns)])


def _points(segment: Segment, pieces: int) -> Array:
    """From its start up to but without its end."""
    if segment.bulge == 0:
        return np.array([segment.start])
    (x, y), radius, sweep = segment.center, segment.radius, 4 * atan(segment.bulge)
    count = pieces * chords_needed(radius, abs(sweep) / pieces, CHORD)
    turns = segment.start_angle + sweep / count * np.arange(count)
    return np.column_stack([x + radius * np.cos(turns), y + radius * np.sin(turns)])
