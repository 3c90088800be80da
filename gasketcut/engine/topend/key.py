"""The key between crank and flywheel: metal off it lets the flywheel sit turned, the spark come earlier or later.

Offset  how far the flywheel goes round at the taper's mean radius where the key sits: as much as comes off one side.
Arc     offset round the taper: degrees = (180 / pi) 2 s / d; chord: 2 asin(s / d). At these sizes they differ by 0.1 %.

The key only locates. What carries the torque is the taper: clean, dry, lapped if need be, tightened as its maker says.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, degrees, pi

from gasketcut.engine.ports.crank import Crank
from gasketcut.errors import GasketError
from gasketcut.job.topend import Direction, IgnitionSpec


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyWork:
    """What filing the key does, as far as the job says enough.

    mean                 diameter of the taper in the middle of the key [mm]
    mm_per_degree        metal that one degree stands for there [mm]
    removed, direction   metal off one side of the key [mm], and which way the flywheel then goes
    turn, turn_by_chord  of the flywheel [deg]
    left                 of the key [mm]
    before, after        spark before and after the work [deg before TDC], before_mm and after_mm [mm before TDC]
    measured             spark as measured after the work [deg before TDC]
    removed_by_measured  metal that this stands for [mm]
    """

    mean: float
    mm_per_degree: float
    removed: float
    direction: Direction
    turn: float
    turn_by_chord: float
    left: float | None
    before: float | None
    after: float | None
    before_mm: float | None
    after_mm: float | None
    measured: float | None
    removed_by_measured: float | None


def turn_of(removed: float, diameter: float) -> float:
    """Degrees that the flywheel goes round, by arc.

    >>> round(turn_of(1.0, 15.0), 3)
    7.639
    """
    return degrees(2 * removed / diameter)


def turn_by_chord(removed: float, diameter: float) -> float:
    """The same, with the metal as a chord.

    >>> round(turn_by_chord(1.0, 12.0), 3)
    9.56
    """
    return degrees(2 * asin(removed / diameter))


def removed_for(turn: float, diameter: float) -> float:
    """Metal to take off for so many degrees [mm], by arc."""
    return turn * pi * diameter / 360


def key_work(spec: IgnitionSpec, crank: Crank | None) -> KeyWork:
    """Raise `GasketError` for a dial reading beyond the stroke."""
    mean = (spec.large + spec.small) / 2
    turn = turn_of(spec.removed, mean)
    signed = turn if spec.direction == "advance" else -turn
    after = None if spec.present is None else spec.present + signed
    measured = spec.measured
    if measured is None and spec.dial is not None and crank is not None:
        if spec.dial > crank.full_travel:
            raise GasketError(f"[ignition] dial {spec.dial:g} mm is more than the stroke of {crank.full_travel:.1f} mm")
        measured = crank.before(spec.dial)
    gained = None if measured is None or spec.present is None else measured - spec.present
    return KeyWork(
        mean=mean,
        mm_per_degree=removed_for(1.0, mean),
        removed=spec.removed,
        direction=spec.direction,
        turn=turn,
        turn_by_chord=turn_by_chord(spec.removed, mean),
        left=None if spec.key_width is None else spec.key_width - spec.removed,
        before=spec.present,
        after=after,
        before_mm=_travel(crank, spec.present),
        after_mm=_travel(crank, after),
        measured=measured,
        removed_by_measured=None if gained is None else removed_for(abs(gained), mean),
    )


def _travel(crank: Crank | None, before_tdc: float | None) -> float | None:
    return None if crank is None or before_tdc is None else float(crank.travel(-before_tdc))
