"""Solder readings to one squish clearance.

Pin axis   the line through the wrist pin, left to right. The piston rocks about it, front to back, and not along it:
           readings on the axis are true, so the mean of left and right is the clearance.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from gasketcut.job.model import Reading, SquishSpec
from gasketcut.length import Measured


@dataclass(frozen=True, slots=True)
class Squish:
    """Clearance as measured [mm]: mean on the pin axis with its standard deviation, least and most of all readings."""

    mean: Measured
    least: float
    most: float


def squish_of(spec: SquishSpec) -> Squish:
    """The clearance that the readings give: mean of left and right where both are there, else of all readings.

    Source of the rule: left and right in the direction of the pin, their average counts (a kart class regulation, see
    tests/authorities).
    """
    if spec.measured is not None:
        return Squish(spec.measured, spec.measured.value, spec.measured.value)
    values = [reading.value.value for reading in spec.readings]
    left, right = _mean(spec.readings, "left"), _mean(spec.readings, "right")
    mean = (
        Measured((left.value + right.value) / 2, sqrt(left.sigma**2 + right.sigma**2) / 2) if left and right else None
    )
    return Squish(mean or _average(spec.readings), min(values), max(values))


def _mean(readings: tuple[Reading, ...], at: str) -> Measured | None:
    there = tuple(reading for reading in readings if reading.at == at)
    return _average(there) if there else None


def _average(readings: tuple[Reading, ...]) -> Measured:
    count = len(readings)
    value = sum(reading.value.value for reading in readings) / count
    return Measured(value, sqrt(sum(reading.value.sigma**2 for reading in readings)) / count)
