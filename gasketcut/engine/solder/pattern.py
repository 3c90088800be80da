"""What the readings say besides their mean: whether they agree, whether solder was marked, tilt and rock."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from gasketcut.engine.assumptions import TILT, UNMARKED, WIRE
from gasketcut.engine.solder.agreement import Agreement
from gasketcut.engine.solder.readings import Squish, sigma_of
from gasketcut.finding import Finding, Weight
from gasketcut.job.model import Reading, SquishSpec
from gasketcut.length import both, plus_minus

HELD = "in fresh solder, both sides at once, with the piston held down"


def pattern(spec: SquishSpec, squish: Squish, agreement: Agreement) -> Iterator[Finding]:
    """What the readings say besides their mean, whatever is fitted."""
    yield from _agreement(spec, agreement)
    places = {reading.at for reading in spec.readings}
    if len(places) == 1:
        (place,) = places
        only = "one reading is" if len(spec.readings) == 1 else f"{place} alone is"
        yield _finding(
            "warn", f"{only} not enough: the piston may have rocked", f"read left and right on the pin {HELD}"
        )
    elif squish.rocks:
        yield _rocking(spec, squish)
    yield from _wire(spec, squish)
    if squish.along is not None and squish.along > TILT and not agreement.is_refused:
        end = squish.clearance.tight_end
        yield _finding(
            "warn",
            f"left and right differ by {both(squish.along)}, tighter {end.words if end else 'on one'}: head, deck or "
            "cylinder is not square",
            "check the faces with a straight-edge, clean them, tighten evenly and read again",
            squish.along,
            TILT,
        )


def across_pin(squish: Squish, fitted: float, floor: float) -> Iterator[Finding]:
    """The difference across the pin, judged apart from what counts; a warning where the tightest spot of the whole
    plane would lie under the floor.

    fitted : how much more lies under the cylinder than when it was read [mm]
    """
    if squish.across is None or squish.across <= TILT or squish.rocks:
        return
    spot = squish.mean.value - hypot(squish.along or 0.0, squish.across) / 2 + fitted
    under = spot < floor
    text = f"front and rear differ by {both(squish.across)}: the piston rocked, or the head sits off centre"
    if under:
        text += f"; if it did not rock, {both(spot)} is left at the tightest spot, under your floor of {both(floor)}"
    yield _finding(
        "warn" if under else "note",
        text,
        f"read front and rear again {HELD}; go by left and right; if it stays, centre the head",
        squish.across,
        TILT,
    )


def _agreement(spec: SquishSpec, agreement: Agreement) -> Iterator[Finding]:
    if not agreement.is_scattered:
        return
    surest = plus_minus(min(sigma_of(reading) for reading in spec.readings))
    named = suspects_named(agreement)
    if agreement.is_refused:
        text = f"the readings contradict each other by more than they are sure to ({surest}): "
        weight: Weight = "stop"
    else:
        text = f"the readings scatter more than is usual for {surest}: "
        weight = "warn"
    places = " or ".join(dict.fromkeys(reading.at for reading in agreement.suspects))
    yield _finding(
        weight,
        text + (f"without {named} the rest agree" if named else "leaving out no single one of them mends it"),
        f"read {places or 'all of them'} again {HELD}",
        agreement.share,
        unit="share",
    )


def suspects_named(agreement: Agreement) -> str:
    """The readings that may be the wrong one, with their figures; empty where no single one is."""
    return " or ".join(_named(reading) for reading in agreement.suspects)


def _named(reading: Reading) -> str:
    return f"{reading.at}, {both(reading.value.value)}"


def _rocking(spec: SquishSpec, squish: Squish) -> Finding:
    places = " and ".join(dict.fromkeys(reading.at for reading in spec.readings))
    end = squish.clearance.tight_end
    least = f"; until then {end.at}, {both(end.clearance.value)}, counts as the tight place" if end else ""
    return _finding(
        "warn",
        f"only {places} were read, and the piston rocks about its pin: they do not show which side is tight{least}",
        f"read left and right on the pin {HELD}",
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


def _finding(
    weight: Weight, text: str, do: str, found: float | None = None, wanted: float | None = None, unit: str = "mm"
) -> Finding:
    return Finding(rule="readings", weight=weight, part=None, text=text, do=do, found=found, wanted=wanted, unit=unit)
