"""A closed ring of vertices split into the longest runs that one line or one arc can stand for."""

from __future__ import annotations

from math import hypot, radians

import numpy as np

from gasketcut.arrays import Array
from gasketcut.shape.circlefit import Fit, cross, fit_circle, off_circle, off_vertices
from gasketcut.shape.longest_run import longest_run
from gasketcut.tolerances import CHORD, LARGEST_RADIUS, LEAST_SWEEP_DEG, SAME_PLACE, STRAIGHT

FEWEST = 5
"""Vertices of an arc run: two knots and three between them."""

EXACT = 2e-5
"""mm; vertices of our own arcs lie nearer to them than this."""

CROSSING = 1.05 * CHORD
"""How far a knot may lie off its arc: where chords cross, both are up to CHORD inside. mm."""

SEEDS = (FEWEST, 9)
"""Vertices with which an arc may begin. Where chords are of two lengths, five may say too little about their circle."""


def without_needless(points: Array) -> Array:
    """Drop the repeated end, doubled vertices, and vertices on a straight line between their neighbours."""
    if len(points) > 1 and np.allclose(points[0], points[-1], rtol=0, atol=1e-9):
        points = points[:-1]
    # What booleans leave behind: edges far shorter than anything that can be cut.
    while len(points) > 3:
        short = np.hypot(*(points - np.roll(points, 1, axis=0)).T) < SAME_PLACE
        short &= ~np.roll(short, 1)
        if not short.any():
            break
        points = points[~short]
    before, after = np.roll(points, 1, axis=0), np.roll(points, -1, axis=0)
    along = after - before
    length = np.hypot(along[:, 0], along[:, 1])
    off = np.abs(cross(along, points - before)) / np.maximum(length, 1e-12)
    ahead = np.sum((points - before) * along, axis=1)
    straight = (off < STRAIGHT / 10) & (ahead > 0) & (ahead < length**2)
    # Never drop two neighbours in one pass: a fine arc would lose every other vertex and more.
    straight &= ~np.roll(straight, 1)
    return points[~straight] if straight.any() and (~straight).sum() >= 3 else points


def first_knot(points: Array, fit: float) -> int:
    """A vertex where two runs truly meet: the end of the first arc that goes no farther. Vertex 0 may lie inside one.

    Without any arc every vertex is a knot: those on a straight line have been dropped.
    """
    count = len(points)
    closed = np.vstack([points, points, points[:1]])
    at = 0
    while at < count:
        end = _longest_arc(closed, at, at + count, fit)
        if end is not None:
            return end % count
        at = _longest_line(closed, at, at + count)
    return 0


def runs_of(points: Array, fit: float) -> list[tuple[int, int]]:
    """Split the closed ring, from vertex 0 on, into the longest runs; each as first and last vertex."""
    count = len(points)
    closed = np.vstack([points, points[:1]])
    runs = []
    at = 0
    while at < count:
        end = _longest_arc(closed, at, count, fit) or _longest_line(closed, at, count)
        runs.append((at, end))
        at = end
    return _leftovers_shared(runs, closed, fit)


def _leftovers_shared(runs: list[tuple[int, int]], points: Array, fit: float) -> list[tuple[int, int]]:
    """A few edges left over behind an arc, because the next knot comes too soon for another: share them out as two arcs
    of like length, if both hold."""
    kept: list[tuple[int, int]] = []
    for first, last in runs:
        kept.append((first, last))
        if last - first >= FEWEST - 1:
            continue
        start = len(kept) - 1
        while start > 0 and kept[start][1] - kept[start][0] < FEWEST - 1 and last - kept[start][0] < FEWEST:
            start -= 1
        begin = kept[start][0]
        slivers = last - kept[start][1]
        middle = (begin + last) // 2
        if (
            0 < slivers < FEWEST - 1
            and last - begin >= 2 * (FEWEST - 1)
            and arc_of(points[begin : middle + 1], fit) is not None
            and arc_of(points[middle : last + 1], fit) is not None
        ):
            kept[start:] = [(begin, middle), (middle, last)]
    return kept


def _longest_arc(points: Array, at: int, limit: int, fit: float) -> int | None:
    """The last vertex of the longest arc that starts at `at`, or None."""
    for seed in SEEDS:
        if at + seed - 1 > limit or not _turns_one_way(points[at : at + seed]):
            return None
        if arc_of(points[at : at + seed], fit, least_sweep=0.0) is not None:
            break
    else:
        return None
    ahead = points[at : limit + 1]
    # Where our own arcs are exact, do not run on into a neighbour that only happens to lie within the tolerance.
    exact = CHORD + 1.5 * EXACT
    if arc_of(ahead[:seed], exact, least_sweep=0.0) is not None:
        reach = _grown(ahead, seed - 1, exact)
        if 2 * reach < len(ahead) and arc_of(ahead[: 2 * reach + 1], fit, least_sweep=0.0) is not None:
            reach = _grown(ahead, 2 * reach, fit)  # so little of it is exact that it is no arc of ours
    else:
        reach = _grown(ahead, seed - 1, fit)
    return at + reach if arc_of(ahead[: reach + 1], fit) is not None else None


def _grown(points: Array, good: int, fit: float) -> int:
    return longest_run(good, len(points) - 1, lambda end: arc_of(points[: end + 1], fit, least_sweep=0.0) is not None)


def _longest_line(points: Array, at: int, limit: int) -> int:
    def fits(end: int) -> bool:
        chord = points[at + end] - points[at]
        inner = points[at + 1 : at + end] - points[at]
        along = inner @ chord
        length = hypot(chord[0], chord[1])
        return bool(
            np.all(np.abs(cross(chord, inner)) <= STRAIGHT * length)
            and np.all(np.diff(along, prepend=0.0, append=length**2) > 0)
        )

    return at + longest_run(1, limit - at, fits)


def _turns_one_way(points: Array) -> bool:
    """In plain floats, as most rings of a scan fail here."""
    xs, ys = points[:, 0].tolist(), points[:, 1].tolist()
    sign = 0.0
    for a in range(len(xs) - 2):
        turn = (xs[a + 1] - xs[a]) * (ys[a + 2] - ys[a + 1]) - (ys[a + 1] - ys[a]) * (xs[a + 2] - xs[a + 1])
        if turn == 0 or turn * sign < 0:
            return False
        sign = turn
    return True


def arc_of(run: Array, fit: float, least_sweep: float = LEAST_SWEEP_DEG) -> Fit | None:
    """The arc that stands for the run, or None.

    fit         : greatest deviation [mm] of the arc as it will be written
    least_sweep : degrees; a short run that turns less is noise on a line, though it may grow into an arc

    An arc through the run's two ends strays up to half as far again as the best arc does (a smooth curve differs from
    its best arc by a cubic), and chords lie up to CHORD inside: vertices are held to what then stays within `fit`.
    """
    fitted = fit_circle(run[1:-1])
    if fitted is None or fitted.radius > LARGEST_RADIUS:
        return None
    inner = (fit - CHORD) / 1.5
    if off_vertices(fitted, run[1:-1]) > inner or off_vertices(fitted, run[[0, -1]]) > max(inner, CROSSING):
        return None
    if off_circle(fitted, run) > max(inner, CROSSING / 2) + CHORD:
        return None
    spokes = run - (fitted.x, fitted.y)
    steps = np.arctan2(cross(spokes[:-1], spokes[1:]), np.sum(spokes[:-1] * spokes[1:], axis=1))
    if not (np.all(steps > 0) or np.all(steps < 0)):
        return None
    sweep = abs(float(steps.sum()))
    enough = 0.0 if len(run) >= SEEDS[-1] else radians(least_sweep)
    return fitted if enough <= sweep < 2 * np.pi - 1e-6 else None
