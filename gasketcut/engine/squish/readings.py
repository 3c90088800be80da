"""Solder readings to one squish clearance, and what their pattern says about the engine.

Pin axis   the line through the wrist pin, left to right. The piston rocks about it, front to back, and not along it:
           readings on the axis are true, so the mean of left and right is the clearance.
Along      how far left and right differ: head, deck or cylinder not square.
Across     how far front and rear differ: the piston rocked, or the head sits off centre.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, radians, sin

import numpy as np

from gasketcut.engine.assumptions import READING_SIGMA, SPREAD, TILT, UNMARKED, WIRE
from gasketcut.engine.squish.gap import as_sure, gap_by_deck
from gasketcut.finding import Finding, Weight
from gasketcut.job.model import PLACES, Engine, Reading, SquishSpec
from gasketcut.length import Measured, both


@dataclass(frozen=True, slots=True)
class Squish:
    """Clearance as measured [mm]: mean on the pin axis with its standard deviation, least and most of all readings,
    difference along and across the pin (None where the readings cannot tell)."""

    mean: Measured
    least: float
    most: float
    along: float | None = None
    across: float | None = None


def squish_of(spec: SquishSpec, engine: Engine | None = None) -> Squish:
    """The clearance that the readings give: mean of left and right where both are there, else of the plane through all;
    without readings the mean that the user worked out, else the sum by the deck, which `engine` may say.

    Source of the rule: left and right in the direction of the pin, and the average of the two counts (technical
    regulation of a 125 cc kart class, 2020, article 1.1).
    """
    value = spec.measured or (None if spec.readings else gap_by_deck(spec, engine))
    if value is not None:
        return Squish(as_sure(value), value.value, value.value)
    values = np.array([reading.value.value for reading in spec.readings])
    left, right = _at(spec.readings, "left"), _at(spec.readings, "right")
    shares, along, across = _plane(spec.readings)
    if left and right:
        counts = {"left": 2 * len(left), "right": 2 * len(right)}
        shares = np.array([1 / counts[reading.at] if reading.at in counts else 0.0 for reading in spec.readings])
    sigma = float(np.linalg.norm(shares * [_sigma(reading) for reading in spec.readings]))
    level = Measured(float(shares @ values), sigma)
    return Squish(level, float(values.min()), float(values.max()), along, across)


def pattern(spec: SquishSpec, squish: Squish) -> Iterator[Finding]:
    """What the readings say besides their mean."""
    if spec.readings and len(spec.readings) < 2:
        yield _finding(
            "warn", "one reading is not enough: the piston may have rocked", "read left and right on the pin"
        )
    yield from _wire(spec, squish)
    yield from _repeats(spec)
    if squish.along is not None and squish.along > TILT:
        left, right = _at(spec.readings, "left"), _at(spec.readings, "right")
        tight = f", tighter on the {'left' if _mean(left) < _mean(right) else 'right'}" if left and right else ""
        yield _finding(
            "warn",
            f"left and right differ by {both(squish.along)}{tight}: head, deck or cylinder is not square",
            "check the faces with a straight-edge, clean them, tighten evenly and read again",
            squish.along,
            TILT,
        )
    if squish.across is not None and squish.across > TILT:
        yield _finding(
            "note",
            f"front and rear differ by {both(squish.across)}: the piston rocked, or the head sits off centre",
            "go by left and right; if it stays so with the piston held, centre the head",
            squish.across,
            TILT,
        )
    if squish.most - squish.least > SPREAD:
        yield _finding(
            "warn",
            f"the readings lie {both(squish.most - squish.least)} apart",
            "measure again with fresh solder",
            squish.most - squish.least,
            SPREAD,
        )


def _wire(spec: SquishSpec, squish: Squish) -> Iterator[Finding]:
    if spec.solder is None:
        return
    if squish.most >= spec.solder * UNMARKED:
        yield _finding(
            "stop",
            f"solder of {both(spec.solder)} was not marked: the gap may be any larger than {both(squish.most)}",
            f"use solder of {both(squish.most * 2)} or more and read again",
            squish.most,
            spec.solder,
        )
    elif spec.solder < WIRE * squish.most:
        yield _finding(
            "warn",
            f"solder of {both(spec.solder)} is hardly thicker than the gap of {both(squish.most)}",
            f"use solder of {both(WIRE * squish.most)} or more",
            spec.solder,
            WIRE * squish.most,
        )


def _repeats(spec: SquishSpec) -> Iterator[Finding]:
    for at in sorted({reading.at for reading in spec.readings}):
        values = _at(spec.readings, at)
        if len(values) > 1 and max(values) - min(values) > SPREAD / 2:
            yield _finding(
                "warn",
                f"repeats at {at} differ by {both(max(values) - min(values))}",
                "measure there again",
                max(values) - min(values),
                SPREAD / 2,
            )


def _finding(weight: Weight, text: str, do: str, found: float | None = None, wanted: float | None = None) -> Finding:
    return Finding(rule="readings", weight=weight, part=None, text=text, do=do, found=found, wanted=wanted)


def _at(readings: tuple[Reading, ...], at: str) -> list[float]:
    return [reading.value.value for reading in readings if reading.at == at]


def _mean(values: list[float]) -> float:
    return sum(values) / len(values)


def _sigma(reading: Reading) -> float:
    return reading.value.sigma or READING_SIGMA


def direction(at: str) -> float:
    """Degrees round the bore of a place by name, or of an angle such as `30 deg`."""
    return PLACES[at] if at in PLACES else float(at.removesuffix("deg"))


def _plane(readings: tuple[Reading, ...]) -> tuple[np.ndarray, float | None, float | None]:
    """How much each reading counts in the level of the plane through them all, and the plane's difference along and
    across the pin, where they can tell."""
    turns = [radians(direction(reading.at)) for reading in readings]
    values = np.array([reading.value.value for reading in readings])
    columns = np.array([[1.0, cos(turn), sin(turn)] for turn in turns])
    if np.linalg.matrix_rank(columns, tol=1e-6) == 3:
        shares = np.linalg.pinv(columns)
        _, x, y = shares @ values
        return shares[0], abs(2 * float(x)), abs(2 * float(y))
    pairs = [(_at(readings, "left"), _at(readings, "right")), (_at(readings, "front"), _at(readings, "rear"))]
    along, across = (abs(_mean(a) - _mean(b)) if a and b else None for a, b in pairs)
    return np.full(len(values), 1 / len(values)), along, across
