"""How unsure a place, or a length, of a picture is by the picture's scale."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

import numpy as np

from gasketcut.arrays import Array


def sigma_by_scale(covariance: Array, place: Sequence[float] | Array, way: Sequence[float] | Array) -> float:
    """Sigma along a way of length 1 of a place so far from the middle [mm]; of a length, that runs so far that way.

    covariance : (3, 3) of the relative errors of the scale along x and y, and of the angle by which they are not square

    >>> round(sigma_by_scale(np.diag([0.002**2, 0.0, 0.0]), (100.0, 0.0), (1.0, 0.0)), 6)
    0.2
    """
    by = np.array([way[0] * place[0], way[1] * place[1], way[0] * place[1]])
    return sqrt(max(float(by @ covariance @ by), 0.0))
