"""Solder readings to one squish clearance: its mean, and the two ends of the pin's axis.

Pin axis   the line through the wrist pin, left to right. The piston rocks about it, front to back, and not along it:
           readings on the axis are true, so the mean of left and right is the clearance.
Plane      through all readings: its middle, its slope along the pin and its slope across. What readings there are
           beyond those that settle it is `spare`, and shows whether they agree (`agreement.py`).
Along      how far left and right differ: head, deck or cylinder not square. It counts for the tight place.
Across     how far front and rear differ: the piston rocked, or the head sits off centre. It is judged apart.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin

import numpy as np

from gasketcut.engine.squish.gap import as_sure, gap_by_deck
from gasketcut.engine.stack.clearance import Clearance, End
from gasketcut.job.model import PLACES, Engine, Reading, SquishSpec
from gasketcut.length import Measured

_ON_AXIS = 1e-6
"""Rank of the plane below this: readings all on one line."""


@dataclass(frozen=True, slots=True)
class Squish:
    """Clearance as measured, least and most of all readings, difference along and across the pin [mm]; None where the
    readings cannot tell."""

    clearance: Clearance
    least: float
    most: float
    along: float | None = None
    across: float | None = None

    @property
    def mean(self) -> Measured:
        return self.clearance.mean

    @property
    def rocks(self) -> bool:
        """Are the two ends taken from places where the piston may have rocked, as none along the pin are known?"""
        return self.clearance.ends is not None and self.along is None


@dataclass(frozen=True, slots=True)
class Plane:
    """Middle, half the difference along the pin (right more than left), half of that across (front more than rear);
    their covariance; and by how much the readings miss it: sum of the squared residuals, each by its own standard
    deviation, and how many readings are spare."""

    middle: float
    along: float
    across: float
    covariance: np.ndarray
    chi2: float
    rank: int
    spare: int


def squish_of(spec: SquishSpec, engine: Engine | None = None) -> Squish:
    """The clearance that the readings give: mean of left and right where both are there, else of the plane through all;
    without readings the mean that the user worked out, else the sum by the deck, which `engine` may say.

    Source of the rule: left and right in the direction of the pin, and the average of the two counts (technical
    regulation of a 125 cc kart class, 2020, article 1.1).
    """
    value = spec.measured or (None if spec.readings else gap_by_deck(spec, engine))
    if value is not None:
        return Squish(Clearance(as_sure(value)), value.value, value.value)
    values = [reading.value.value for reading in spec.readings]
    places = {reading.at: _mean_at(spec.readings, reading.at) for reading in spec.readings}
    plane = plane_of(spec.readings)
    along, across = (abs(2 * plane.along), abs(2 * plane.across)) if plane.rank == 3 else (None, None)
    if "left" in places and "right" in places:
        clearance = _between("left", places["left"], "right", places["right"])
        along = abs(places["left"].value - places["right"].value)
        if across is None and "front" in places and "rear" in places:
            across = abs(places["front"].value - places["rear"].value)
    elif plane.rank == 3:
        clearance = _of_plane(plane)
    else:
        if "front" in places and "rear" in places:
            across = abs(places["front"].value - places["rear"].value)
        clearance = _between_extremes(places)
    return Squish(clearance, min(values), max(values), along, across)


def sigma_of(reading: Reading) -> float:
    """Its standard deviation [mm]; our assumption where the job says none."""
    return as_sure(reading.value).sigma


def direction(at: str) -> float:
    """Degrees round the bore of a place by name, or of an angle such as `30 deg`."""
    return PLACES[at] if at in PLACES else float(at.removesuffix("deg"))


def plane_of(readings: tuple[Reading, ...]) -> Plane:
    """The plane that misses the readings least, each by its own standard deviation; of several, where they lie on one
    line, the one that slopes least."""
    turns = [radians(direction(reading.at)) for reading in readings]
    weights = 1 / np.array([sigma_of(reading) for reading in readings])
    columns = np.array([[1.0, cos(turn), sin(turn)] for turn in turns]) * weights[:, None]
    values = np.array([reading.value.value for reading in readings]) * weights
    inverse = np.linalg.pinv(columns, rcond=_ON_AXIS)
    found = inverse @ values
    rank = int(np.linalg.matrix_rank(columns / weights[:, None], tol=_ON_AXIS))
    missed = values - columns @ found
    middle, along, across = (float(one) for one in found)
    return Plane(middle, along, across, inverse @ inverse.T, float(missed @ missed), rank, spare=len(readings) - rank)


def _mean_at(readings: tuple[Reading, ...], at: str) -> Measured:
    """Of the repeats at one place."""
    there = [reading for reading in readings if reading.at == at]
    sigma = float(np.linalg.norm([sigma_of(reading) for reading in there])) / len(there)
    return Measured(sum(reading.value.value for reading in there) / len(there), sigma)


def _between(low_at: str, low: Measured, high_at: str, high: Measured) -> Clearance:
    """Two places read apart from each other, one at either end."""
    mean = Measured((low.value + high.value) / 2, float(np.hypot(low.sigma, high.sigma)) / 2)
    return Clearance(mean, (End(low_at, low), End(high_at, high)))


def _of_plane(plane: Plane) -> Clearance:
    middle, slope = plane.covariance[0, 0], plane.covariance[1, 1]
    both = plane.covariance[0, 1]
    left = Measured(plane.middle - plane.along, float(np.sqrt(middle + slope - 2 * both)))
    right = Measured(plane.middle + plane.along, float(np.sqrt(middle + slope + 2 * both)))
    mean = Measured(plane.middle, float(np.sqrt(middle)))
    return Clearance(mean, (End("left", left), End("right", right)), float(middle - slope))


def _between_extremes(places: dict[str, Measured]) -> Clearance:
    """Of readings that do not tell the slope along the pin: their mean, and the two that lie farthest apart as ends,
    since nobody knows how much of it is the piston's rock."""
    sigma = float(np.linalg.norm([place.sigma for place in places.values()])) / len(places)
    mean = Measured(sum(place.value for place in places.values()) / len(places), sigma)
    if len(places) == 1:
        return Clearance(mean)
    low, high = min(places, key=lambda at: places[at].value), max(places, key=lambda at: places[at].value)
    if low == high:
        low, high = tuple(places)[:2]
    return Clearance(mean, (End(low, places[low]), End(high, places[high])))
