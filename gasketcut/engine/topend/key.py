"""The key between crank and flywheel: metal taken off it lets the flywheel sit turned, the spark come earlier or later.

Offset  how far the flywheel goes round at the taper's mean radius where the key sits: as much as is taken off one side.
Arc     offset round the taper: degrees = (180 / pi) 2 s / d; chord: 2 asin(s / d). At these sizes they differ by 0.1 %.

The key only locates. What carries the torque is the taper: clean, dry, lapped if need be, tightened as its maker says.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, degrees, pi

from gasketcut.engine.ports.crank import Crank
from gasketcut.errors import GasketError
from gasketcut.job.topend import IgnitionSpec


@dataclass(frozen=True, slots=True)
class KeyWork:
    """Mean taper diameter, what one degree is there [mm], the turn [deg] by arc and chord, what is left of the key [mm]
    and the spark before and after [deg and mm before TDC], as far as the job says enough.

    found          spark as measured after the work [deg before TDC]
    taken_by_found metal that this stands for [mm]
    """

    mean: float
    mm_per_degree: float
    turn: float
    turn_by_chord: float
    left: float | None
    before: float | None
    after: float | None
    before_mm: float | None
    after_mm: float | None
    found: float | None
    taken_by_found: float | None


def turn_of(taken: float, diameter: float) -> float:
    """Degrees that the flywheel goes round, by arc.

    >>> round(turn_of(1.0, 15.0), 3)
    7.639
    """
    return degrees(2 * taken / diameter)


def turn_by_chord(taken: float, diameter: float) -> float:
    """The same, with the metal as a chord.

    >>> round(turn_by_chord(1.0, 12.0), 3)
    9.56
    """
    return degrees(2 * asin(taken / diameter))


def taken_for(turn: float, diameter: float) -> float:
    """Metal to take for so many degrees [mm], by arc."""
    return turn * pi * diameter / 360


def key_work(spec: IgnitionSpec, crank: Crank | None) -> KeyWork:
    """Raise `GasketError` if more is taken than the key is wide."""
    if spec.key_width is not None and spec.taken >= spec.key_width:
        raise GasketError(
            f"[ignition] takes {spec.taken:g} mm from a key of {spec.key_width:g} mm: nothing is left of it; "
            "take less, or leave the key out and set the flywheel by dial"
        )
    mean = (spec.large + spec.small) / 2
    turn = turn_of(spec.taken, mean)
    signed = turn if spec.way == "advance" else -turn
    after = None if spec.present is None else spec.present + signed
    found = spec.found
    if found is None and spec.dial is not None and crank is not None:
        if spec.dial > crank.full_travel:
            raise GasketError(f"[ignition] dial {spec.dial:g} mm is more than the stroke of {crank.full_travel:.1f} mm")
        found = crank.before(spec.dial)
    gained = None if found is None or spec.present is None else found - spec.present
    return KeyWork(
        mean=mean,
        mm_per_degree=taken_for(1.0, mean),
        turn=turn,
        turn_by_chord=turn_by_chord(spec.taken, mean),
        left=None if spec.key_width is None else spec.key_width - spec.taken,
        before=spec.present,
        after=after,
        before_mm=_travel(crank, spec.present),
        after_mm=_travel(crank, after),
        found=found,
        taken_by_found=None if gained is None else taken_for(abs(gained), mean),
    )


def _travel(crank: Crank | None, before_tdc: float | None) -> float | None:
    return None if crank is None or before_tdc is None else float(crank.travel(-before_tdc))
