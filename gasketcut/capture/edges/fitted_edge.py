"""A ring of points as a true shape: a circle if it is one, else lines and arcs within a tolerance by its own noise."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from math import hypot, pi, sqrt

import numpy as np
import shapely
from shapely.geometry import LinearRing

from gasketcut.arrays import Array
from gasketcut.capture.edges.curve import Curve, Line
from gasketcut.capture.edges.runs import Runs, noisy_runs
from gasketcut.measure.least_squares import solved
from gasketcut.shape.circlefit import fit_circle
from gasketcut.shape.loop import Circle, Contour, Loop

STEP = 0.25
"""mm between points of an averaged ring: longer than the edge's blur, shorter than any arc that is cut. Measured."""

_STRETCHED = 0.005
"""Of the radius: how oval a scanner may make a circle, 1 % from side to side. Our choice."""

_STRETCH = 0.8
"""mm of a round edge over which its points are averaged to see its noise: longer than what grain does to an edge. Our
choice."""

_STRAYING, _FINE = 3.0, 0.005
"""Times the noise, and that at the least [mm], by which points may lie off the fitted edge all along. Our choice."""

_FLAT = 0.6
"""Of its radius; the chord of an arc that may be a straight side: 35 deg. Our choice."""

_LEAST_FIT, _MOST_FIT, _SHARE = 0.02, 0.2, 0.005
"""mm; the tolerance within which noise is taken for noise, and of a small ring's lesser side how much of it. Ours."""


@dataclass(frozen=True, slots=True)
class RoundEdge:
    """A round edge; `noise` is the standard deviation of its radius [mm] by its points alone."""

    circle: Circle
    noise: float


@dataclass(frozen=True, slots=True)
class FittedEdge:
    """A contour of lines and arcs, how far the ring strays from it at most, and its noise [mm]."""

    contour: Contour
    deviation: float
    noise: float
    runs: Runs | None = None

    def moved(self, dx: float, dy: float) -> FittedEdge:
        runs = None if self.runs is None else self.runs.moved(dx, dy)
        return replace(self, contour=self.contour.moved(dx, dy), runs=runs)


def round_edge(ring: Array) -> RoundEdge | None:
    """The circle, if the ring is one: no part of it strays more than its noise allows."""
    circle = fit_circle(ring)
    if circle is None or circle.radius <= 0:
        return None
    numbers = np.array(circle)
    for _ in range(4):  # on the true distances, strays left out
        off = _off_circle(ring, numbers)
        spread = 1.4826 * float(np.median(np.abs(off - np.median(off)))) + 1e-9
        near = ring[np.abs(off - np.median(off)) <= 4 * spread]
        numbers = solved(partial(_off_circle, near), numbers, steps=1, slopes=partial(_slopes, near)).numbers
    x, y, r = (float(number) for number in numbers)
    off = _off_circle(ring, numbers)
    noise = _noise(ring)
    limit = max(0.02, 5 * noise)
    # A scanner that stretches one way makes an ellipse of it: reported elsewhere, and no reason for another shape.
    turn = np.arctan2(ring[:, 1] - y, ring[:, 0] - x)
    waves = np.column_stack([np.cos(2 * turn), np.sin(2 * turn)])
    stretch, *_ = np.linalg.lstsq(waves, off, rcond=None)
    if hypot(*stretch) <= _STRETCHED * r:
        off = off - waves @ stretch
    # A slot or a corner strays over a stretch, a torn edge in one place; noise does neither.
    smooth = np.convolve(np.concatenate([off, off[:8]]), np.ones(9) / 9, mode="valid")
    if np.quantile(np.abs(smooth), 0.98) > limit or np.ptp(np.unwrap(np.arctan2(*(ring - (x, y)).T[::-1]))) < 1.9 * pi:
        return None
    return RoundEdge(Circle((x, y), r), _of_mean(off, turn, r))


def _of_mean(off: Array, turn: Array, radius: float) -> float:
    """Standard deviation of the mean of distances round a circle.

    Neighbours are off alike, as grain and blocks of a JPEG go over several pixels: stretches are compared, not points.

    off, turn : of each point, from the circle [mm] and about its middle [rad]
    """
    count = int(np.clip(2 * pi * radius / _STRETCH, 8, 48))
    place = np.minimum(((turn + pi) / (2 * pi) * count).astype(int), count - 1)
    near = np.abs(off) <= 4 * (1.4826 * float(np.median(np.abs(off))) + 1e-9)
    held = np.bincount(place[near], minlength=count)
    means = np.bincount(place[near], off[near], minlength=count)[held > 0] / held[held > 0]
    # Three numbers of the circle and two of what is oval were fitted.
    return sqrt(float(means @ means) / max(len(means) - 5, 1) / len(means))


def _off_circle(points: Array, numbers: Array) -> Array:
    """How far the points lie outside the circle; numbers are its middle and its radius."""
    result: Array = np.hypot(points[:, 0] - numbers[0], points[:, 1] - numbers[1]) - numbers[2]
    return result


def _slopes(points: Array, numbers: Array) -> Array:
    """Of `_off_circle`, shape (n, 3)."""
    spokes = points - numbers[:2]
    return np.column_stack([-spokes / np.hypot(*spokes.T)[:, None], -np.ones(len(points))])


def fit_edge(ring: Array, fit: float | None = None) -> FittedEdge:
    """Lines and arcs as few as the noise allows.

    fit : tolerance [mm]; else from the noise, at the least at which fewer segments no longer pay
    """
    points = averaged(ring)
    noise = _noise(points)
    least = max(_LEAST_FIT, 4 * noise)
    most = max(min(_MOST_FIT, _SHARE * float(np.ptp(points, axis=0).min())), least)
    steps = [fit] if fit is not None else [least * 1.4**n for n in range(8) if least * 1.4**n <= most]
    best: tuple[float, Runs] | None = None
    for tolerance in steps:
        runs = noisy_runs(points, tolerance)
        if runs is None or len(runs.curves) > 400:
            continue
        contour = runs.loop()
        off = _off_contour(points, contour)
        if off is None:
            continue
        deviation, usual = float(np.max(off)), float(np.sqrt(np.mean(off**2)))
        # Straying more than was allowed counts against a fit, and so does straying all along; more tolerance has to
        # save segments.
        price = len(contour.points) * (tolerance / steps[0]) ** 0.4 * max(1.0, deviation / (2 * tolerance)) ** 2
        price *= max(1.0, usual / (_STRAYING * max(noise, _FINE)))
        if best is None or price < best[0]:
            best = (price, runs)
    if best is None:
        plain = Loop(tuple((float(x), float(y)) for x, y in points), (0.0,) * len(points))
        return FittedEdge(plain, _stray(points, plain), noise)
    return _straightened(best[1], points, noise)


def _straightened(runs: Runs, points: Array, noise: float) -> FittedEdge:
    """With every flat arc as a line by which the whole strays less: a short side between two corners has so few points
    of its own that those of its corners bend it."""
    contour = runs.loop()
    off = _off_contour(points, contour)
    assert off is not None  # it was fitted
    for n, curve in enumerate(runs.curves):
        joints = runs.joints()
        (x, y), (u, v) = joints[n], joints[(n + 1) % len(joints)]
        chord = hypot(u - x, v - y)
        if isinstance(curve, Line) or not 0 < chord < _FLAT * curve.radius:
            continue
        line = Line(*runs.middles[n], (u - x) / chord, (v - y) / chord)
        tried = replace(runs, curves=(*runs.curves[:n], line, *runs.curves[n + 1 :]))
        there = _off_contour(points, tried.loop())
        if there is not None and there @ there < off @ off:
            runs, contour, off = tried, tried.loop(), there
    return FittedEdge(contour, float(np.max(off)), noise, runs)


def refit_edge(before: FittedEdge, ring: Array, curves: Sequence[Curve]) -> FittedEdge:
    """With other curves in place of the fitted ones, how far they stray measured again; as it was where they would not
    go round once."""
    assert before.runs is not None
    runs = replace(before.runs, curves=tuple(curves))
    contour = runs.loop()
    off = _off_contour(averaged(ring), contour)
    return before if off is None else FittedEdge(contour, float(np.max(off)), before.noise, runs)


def _off_contour(points: Array, contour: Contour) -> Array | None:
    """How far each point lies off the contour; None if it is two lines there and back, or crosses itself."""
    flat = contour.flattened(0.001)
    if len(flat) < 3:
        return None
    line = LinearRing(flat)
    return np.asarray(shapely.distance(shapely.points(points), line), dtype=float) if line.is_simple else None


def _stray(points: Array, contour: Contour) -> float:
    """How far the points lie off the contour at most, whatever it does elsewhere."""
    return float(np.max(shapely.distance(shapely.points(points), LinearRing(contour.flattened(0.001)))))


def averaged(ring: Array, step: float = STEP) -> Array:
    """The ring at even steps, each point the mean of those about it: noise falls, corners stay within the step."""
    closed = np.vstack([ring, ring[:1]])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    count = max(12, round(along[-1] / step))
    fine = np.linspace(0.0, along[-1], count * 5, endpoint=False)
    xy = np.column_stack([np.interp(fine, along, closed[:, n]) for n in (0, 1)])
    result: Array = xy.reshape(count, 5, 2).mean(axis=1)
    return result


def _noise(ring: Array) -> float:
    """How far points lie off the middle of their neighbours, as a standard deviation [mm]; a curve adds little."""
    second = ring - (np.roll(ring, 1, axis=0) + np.roll(ring, -1, axis=0)) / 2
    chord = np.roll(ring, -1, axis=0) - np.roll(ring, 1, axis=0)
    length = np.maximum(np.hypot(*chord.T), 1e-12)
    off = (second[:, 0] * chord[:, 1] - second[:, 1] * chord[:, 0]) / length
    return float(1.4826 * np.median(np.abs(off)) / sqrt(1.5))


def segments(contour: Contour) -> int:
    """How many lines and arcs."""
    return len(contour.points) if isinstance(contour, Loop) else 1
