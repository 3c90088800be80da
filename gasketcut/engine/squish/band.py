"""The flat band of the squish: its share of the bore, and how fast it pushes the charge inward.

Share    of the bore's area that the band covers (squish area ratio).
Bowl     the rest, in the middle.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt

import numpy as np

from gasketcut.engine.ports.crank import Crank

MEAN_OVER = 10.0
"""Degrees of the crank over which the mean is taken: those round the peak (our choice)."""

_STEPS = 200  # of Simpson's rule over those

_STEP = 0.05  # degrees between trial angles; a parabola through the best three gives the peak


def share_of(bore: float, width: float) -> float:
    """Share of the bore's area under a band of that width.

    >>> round(share_of(47.0, 6.0), 4)
    0.4455
    """
    return 1 - ((bore - 2 * width) / bore) ** 2


@dataclass(frozen=True, slots=True, kw_only=True)
class SquishVelocity:
    """How fast the charge is pushed inward at the edge of the bowl [m/s].

    peak   the greatest, and at how many degrees before TDC
    mean   over the degrees before TDC from `since` to `until`: MEAN_OVER of them, the peak in their middle
    """

    peak: float
    at: float
    mean: float
    since: float
    until: float


def squish_velocity(
    crank: Crank, bore: float, share: float, clearance: float, chamber_cc: float, rpm: float
) -> SquishVelocity:
    """Inward velocity at the edge of the bowl, by continuity at uniform density.

    v = S (D/4z) ((B/D)^2 - 1) V / (A z + V), with S the piston's speed, D the bowl's diameter, z = clearance + travel,
    A the bore's area and V the chamber less the slab A x clearance. Source: derivable in four lines; the form is that
    of a textbook on engines (from memory). Valid for a flat band parallel to the crown, without leakage or heat.
    Lengths in mm, chamber in cc.

    Raise `ValueError` if the clearance leaves no bowl in the chamber.
    """
    area = pi / 4 * bore**2
    bowl_volume = chamber_cc * 1000 - area * clearance
    if bowl_volume <= 0:
        raise ValueError(f"a clearance of {clearance:g} mm alone fills more than the chamber of {chamber_cc:g} cc")
    bowl = bore * sqrt(1 - share)
    omega = rpm * 2 * pi / 60

    def velocity(before: np.ndarray) -> np.ndarray:
        z = clearance + crank.travel(-before)
        piston = np.abs(crank.speed(-before)) * omega / 1000  # m/s
        result: np.ndarray = piston * bowl / (4 * z) * ((bore / bowl) ** 2 - 1) * bowl_volume / (area * z + bowl_volume)
        return result

    angles = np.arange(_STEP, 90.0, _STEP)
    found = velocity(angles)
    best = int(np.clip(np.argmax(found), 1, len(angles) - 2))
    left, middle, right = found[best - 1 : best + 2]
    shift = 0.5 * (left - right) / (left - 2 * middle + right)
    peak = float(angles[best] + shift * _STEP)
    until = max(peak - MEAN_OVER / 2, 0.0)
    weights = np.ones(_STEPS + 1)
    weights[1:-1:2], weights[2:-1:2] = 4, 2
    mean = float(weights @ velocity(np.linspace(until, until + MEAN_OVER, _STEPS + 1))) / (3 * _STEPS)
    return SquishVelocity(
        peak=float(velocity(np.array([peak]))[0]), at=peak, mean=mean, since=until + MEAN_OVER, until=until
    )
