"""How far what was read lies from what was meant; every proof of a drawing asks this."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan, pi

import numpy as np
from shapely.geometry import Polygon

from gasketcut.arrays import Array
from gasketcut.cutting.path.stroke import INSIDE, OUTSIDE, TAB, Stroke
from gasketcut.errors import ReadBackError
from gasketcut.shape.loop import Circle, Segment, chords_needed
from gasketcut.shape.nearest import distances, rings_of
from gasketcut.tolerances import CHORD, READ_BACK


def stray(read: Array, wanted: Array) -> float:
    """The greatest distance [mm], both ways, between two lines as points; infinite where one is no line of numbers.

    Both have to be divided finely, so that vertices are enough. Two lines that run the same way from the same start
    need no search: each point is first looked for as far along the other line as it lies on its own.
    """
    if min(len(read), len(wanted)) < 2 or not np.isfinite(read).all():
        return float("inf")
    off = float(np.max(np.hypot(*(read - wanted).T))) if read.shape == wanted.shape else float("inf")
    off = off if off <= READ_BACK else max(_beside(read, wanted), _beside(wanted, read))
    if off <= READ_BACK:
        return off
    return float(max(np.max(distances(read, [wanted])), np.max(distances(wanted, [read]))))


def _beside(points: Array, line: Array) -> float:
    """At most how far any of the points lies from the line: measured to three edges of it only."""
    place = np.searchsorted(_share(line), _share(points), side="right") - 1
    best = np.full(len(points), np.inf)
    for step in (-1, 0, 1):
        edge = np.clip(place + step, 0, len(line) - 2)
        start, along = line[edge], line[edge + 1] - line[edge]
        off = points - start
        length = np.maximum((along**2).sum(axis=1), 1e-18)
        share = np.clip((off * along).sum(axis=1) / length, 0.0, 1.0)
        best = np.minimum(best, np.hypot(*(off - along * share[:, None]).T))
    return float(best.max())


def _share(line: Array) -> Array:
    """How far along each point lies, from 0 to 1."""
    gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    return np.asarray(gone / max(gone[-1], 1e-9))


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


def prove_strokes(strokes: Sequence[Stroke], solid: Polygon, name: str) -> None:
    """What is cut and what tabs hold is, taken together, the edge of the part as it is cut, and all of it.

    Raise `ReadBackError` where either strays from the other by more than READ_BACK, or a piece is missing or there
    twice: within a straight edge, that is seen by the length alone. An edge that is READ_BACK off all round is 2 pi as
    much longer.
    """
    edge = [one for one in strokes if one.layer in (INSIDE, OUTSIDE, TAB)]
    rings, lines = rings_of(solid), [np.array(one.flattened(CHORD / 2)) for one in edge]
    if not lines:
        raise ReadBackError(f"{name}: the path cuts nothing; this is a fault of the program")
    off = float(max(np.max(distances(np.vstack(a), b)) for a, b in ((lines, rings), (rings, lines))))
    if off > READ_BACK:
        raise ReadBackError(f"{name}: the path strays {off * 1000:.1f} um from the part")
    more = sum(one.length for one in edge) - solid.length
    if abs(more) > 2 * pi * READ_BACK * len(rings):
        raise ReadBackError(f"{name}: the path is {more:+.3f} mm longer than the part's edge")


def divided(segments: Sequence[Segment]) -> Array:
    """Points along lines and arcs, from start to end, no chord more than CHORD off an arc [mm]."""
    return np.vstack([*(_points(segment) for segment in segments), np.array([segments[-1].end])])


def round_of(circle: Circle, first: float = 0.0) -> Array:
    """Points round a circle, counter-clockwise from that direction [rad], the first repeated at the end [mm]."""
    (x, y), count = circle.center, chords_needed(circle.radius, 2 * pi, CHORD)
    turns = np.linspace(first, first + 2 * pi, count + 1)
    return np.column_stack([x + circle.radius * np.cos(turns), y + circle.radius * np.sin(turns)])


def _points(segment: Segment) -> Array:
    """From its start up to but without its end."""
    if segment.bulge == 0:
        return np.array([segment.start])
    (x, y), radius, sweep = segment.center, segment.radius, 4 * atan(segment.bulge)
    count = chords_needed(radius, abs(sweep), CHORD)
    turns = segment.start_angle + sweep / count * np.arange(count)
    return np.column_stack([x + radius * np.cos(turns), y + radius * np.sin(turns)])
