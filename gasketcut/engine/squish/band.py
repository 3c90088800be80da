"""The flat band of the squish: its share of the bore, and how fast it pushes the charge inward.

Share    of the bore's area that the band covers (squish area ratio).
Bowl     the rest, in the middle.
"""

from __future__ import annotations

from math import pi, sqrt

import numpy as np

from gasketcut.engine.ports.crank import Crank

_STEP = 0.05  # degrees between trial angles; a parabola through the best three gives the peak


def share_of(bore: float, width: float) -> float:
    """Share of the bore's area under a band of that width.

    >>> round(share_of(47.0, 6.0), 4)
    0.4455
    """
    return 1 - ((bore - 2 * width) / bore) ** 2


def squish_velocity(crank: Crank, bore: float, share: float, clearance: float, chamber_cc: float, rpm: float) -> float:
    """Greatest inward velocity at the edge of the bowl [m/s], by continuity at uniform density.

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
    return float(velocity(np.array([peak]))[0])
