"""Caliper readings compared with a traced part: they correct its scale and show which reading does not agree, or which
hole, where a gasket is torn or stretched.

Model   a reading is the distance of two centres, with a scale of its own along and across, and the radii over which the
        jaws went.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

import numpy as np

from gasketcut.arrays import Array
from gasketcut.capture.image.picture_file import PictureError
from gasketcut.capture.uncertainty.scale_spread import ScaleSpread
from gasketcut.job.model import CaliperReading
from gasketcut.measure.least_squares import slopes_of, solved
from gasketcut.measure.network import SIGNS
from gasketcut.shape.loop import Circle

_OUTLIER = 4.0
"""Standard deviations beyond which a reading is left out and named. Our choice."""

_ALONE = 0.35
"""Sine of the least angle between readings that place a hole. Our choice."""

_CLEARLY = 9.0
"""Sum of squares, in standard deviations, by which one hole must explain the readings better than any other: three of
them. Our choice."""

_UNLIKE = 0.005
"""By how much a scanner's two scales usually differ: half a per cent or less."""

_TRACED = 0.01
"""mm by which a traced distance may be off beside the scale: noise of the picture. Measured."""


@dataclass(frozen=True, slots=True)
class ComparedReading:
    """A reading beside what the picture gives with its scale corrected, and the difference [mm]."""

    name: str
    read: float
    traced: float

    @property
    def off(self) -> float:
        return self.traced - self.read


@dataclass(frozen=True, slots=True)
class Moved:
    """A hole that all its readings put elsewhere than the picture does, by so much along x and y [mm]."""

    hole: str
    dx: float
    dy: float
    readings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Calipered:
    """By what the picture's scales are multiplied, how sure that is, the readings used, those left out,
    and a hole that does not lie where its readings put it."""

    fx: float
    fy: float
    spread: ScaleSpread
    rows: tuple[ComparedReading, ...]
    left_out: tuple[ComparedReading, ...]
    moved: Moved | None = None

    @property
    def words(self) -> tuple[str, ...]:
        """For the user."""
        along, across = (self.fx - 1) * 100, (self.fy - 1) * 100
        drift = f"by the calipers the scale changes by {along:+.2f} % along and {across:+.2f} % across"
        worst = max(self.rows, key=lambda row: abs(row.off))
        notes = [f"{drift}; then {len(self.rows)} readings agree within {abs(worst.off):.3f} mm ({worst.name})"]
        notes += [
            f"reading {row.name} of {row.read:.2f} mm does not agree: the picture has {row.traced:.2f}; take it again"
            for row in self.left_out
        ]
        if self.moved is not None:
            one = self.moved
            notes.append(
                f"hole {one.hole} does not agree: {', '.join(one.readings)} put it {hypot(one.dx, one.dy):.2f} mm from "
                "where the picture has it; torn or stretched there, or the readings share a fault"
            )
        return tuple(notes)


def calipered(holes: dict[str, Circle], distances: Sequence[CaliperReading], sigma: float) -> Calipered:
    """Compare the readings with the holes by name; raise `PictureError` for names that are not there.

    sigma : of the picture's scale so far, relative
    """
    for one in distances:
        for name in (one.first, one.second):
            if name not in holes:
                raise PictureError(f"there is no hole {name} in the picture; known are {', '.join(holes) or 'none'}")
    if not distances:
        raise PictureError("the job has no [[measure.distance]]")
    whole = _without_outliers(holes, list(distances), sigma)
    if len(whole.left_out) < 2:
        return whole
    return _one_hole_moved(holes, distances, sigma) or whole


def _without_outliers(holes: dict[str, Circle], used: list[CaliperReading], sigma: float) -> Calipered:
    """Leave out the reading that agrees worst until all the others do."""
    left_out: list[CaliperReading] = []
    while True:
        scales, spread = _scales(holes, used, sigma)
        off = _off(holes, used, scales)
        worst = int(np.argmax(np.abs(off)))
        if abs(off[worst]) <= _OUTLIER or len(used) < 3:
            break
        left_out.append(used.pop(worst))
    return Calipered(
        float(scales[0]),
        float(scales[1]),
        spread,
        tuple(_row(holes, one, scales) for one in used),
        tuple(_row(holes, one, scales) for one in left_out),
    )


def _off(holes: dict[str, Circle], distances: Sequence[CaliperReading], scales: Array) -> Array:
    """In standard deviations."""
    return np.array([(_predicted(holes, one, scales) - one.reading.value) / _sigma(one) for one in distances])


def _one_hole_moved(holes: dict[str, Circle], distances: Sequence[CaliperReading], sigma: float) -> Calipered | None:
    """The hole by whose place all readings agree best; None if there is none, or another does nearly as well."""
    agreeing: list[tuple[float, Calipered]] = []
    for name in holes:
        own = [one for one in distances if name in (one.first, one.second)]
        rest = [one for one in distances if one not in own]
        if len(own) < 2 or len(rest) < 2:
            continue
        by_rest = _without_outliers(holes, rest, sigma)
        if by_rest.left_out:
            continue
        scales = np.array([by_rest.fx, by_rest.fy])
        shift = _shift(holes, name, own, scales)
        if shift is None:
            continue
        there = _shifted(holes, name, shift)
        off = _off(there, distances, scales)
        if float(np.max(np.abs(off))) <= _OUTLIER:
            rows = tuple(_row(there, one, scales) for one in distances)
            names = tuple(_row(there, one, scales).name for one in own)
            moved = Moved(name, float(shift[0] * scales[0]), float(shift[1] * scales[1]), names)
            agreeing.append((float(off @ off), Calipered(by_rest.fx, by_rest.fy, by_rest.spread, rows, (), moved)))
    agreeing.sort(key=lambda one: one[0])
    if not agreeing or (len(agreeing) > 1 and agreeing[1][0] - agreeing[0][0] < _CLEARLY):
        return None
    return agreeing[0][1]


def _shifted(holes: dict[str, Circle], name: str, shift: Array) -> dict[str, Circle]:
    old = holes[name]
    return {**holes, name: Circle((old.center[0] + float(shift[0]), old.center[1] + float(shift[1])), old.radius)}


def _shift(holes: dict[str, Circle], name: str, own: list[CaliperReading], scales: Array) -> Array | None:
    """By how much the hole has to move for its readings, least squares; None if they all lie one way."""

    def off(shift: Array) -> Array:
        return _off(_shifted(holes, name, shift), own, scales)

    if _lie_one_way(slopes_of(off, np.zeros(2))):
        return None
    found = solved(off, np.zeros(2), steps=8)
    return None if _lie_one_way(found.slopes) else found.numbers


def _lie_one_way(slopes: Array) -> bool:
    spread = np.linalg.svd(slopes, compute_uv=False)
    return bool(spread[1] < _ALONE * spread[0])


def _scales(holes: dict[str, Circle], distances: Sequence[CaliperReading], sigma: float) -> tuple[Array, ScaleSpread]:
    """Both scales by least squares; where readings say nothing of one of them it stays near the other."""
    loose = max(10 * sigma, 0.02)

    def off(scales: Array) -> Array:
        held = [(scales[0] - 1) / loose, (scales[1] - 1) / loose, (scales[0] - scales[1]) / _UNLIKE]
        return np.concatenate([_off(holes, distances, scales), held])

    found = solved(off, np.ones(2), steps=6)
    (xx, xy), (_, yy) = found.covariance
    return found.numbers, ScaleSpread(float(xx), float(yy), float(xy))


def _sigma(one: CaliperReading) -> float:
    return hypot(one.reading.sigma or 0.02, _TRACED)


def _predicted(holes: dict[str, Circle], one: CaliperReading, scales: Array) -> float:
    a, b = holes[one.first], holes[one.second]
    first, second = SIGNS[one.over]
    apart = hypot(scales[0] * (b.center[0] - a.center[0]), scales[1] * (b.center[1] - a.center[1]))
    return float(apart + (first * a.radius + second * b.radius) * (scales[0] + scales[1]) / 2)


def _row(holes: dict[str, Circle], one: CaliperReading, scales: Array) -> ComparedReading:
    name = f"{one.first}-{one.second} {one.over}"
    return ComparedReading(name, one.reading.value, _predicted(holes, one, scales))
