"""How far off an edge along the pixels' rows may lie, as a contour is drawn straight between pixels' middles.

Where an edge runs askew its places cut the pixels everywhere and the fault is a ripple that averages out; along a row
all places cut alike and the whole edge is off.
"""

from __future__ import annotations

from math import erf, sqrt

import numpy as np


def ripple(width: float) -> float:
    """Standard deviation [pixels] over all ways in which such an edge can cut the pixels.

    width : of the edge from one side's light to the other's, over the pixel's own [pixels]

    >>> round(ripple(1.2), 3), round(ripple(3.0), 3)
    (0.044, 0.008)
    """
    spread = max(width, 0.8) / sqrt(2 * np.pi)
    offs = []
    for place in np.linspace(-0.5, 0.5, 21):
        pixels = np.arange(-4, 5)
        light = np.array([0.5 * (1 + erf((pixel - place) / (spread * sqrt(2)))) for pixel in pixels])
        n = int(np.argmax(light >= 0.5))
        offs.append(pixels[n - 1] + (0.5 - light[n - 1]) / (light[n] - light[n - 1]) - place)
    return float(np.sqrt(np.mean(np.square(offs))))
