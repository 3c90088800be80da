"""Where the camera stood over the sheet, from how the sheet looks and from what is known of the focal length.

Sheet   x to the right, y up, z towards the camera, in mm; its surface is z = 0.
Focus   the focal length in halves of the picture's longer side, as places in the photograph are counted.

A sheet seen at a slant shows the focal length: the columns of its perspective must come out at right angles and equally
long (any text on photogrammetry). One seen from straight above does not, so the file's own word, or a guess, is weighed
against that. Once the focus is known, the perspective says where the camera stood.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, degrees

import numpy as np

from gasketcut.arrays import Array

_STATED = 0.05
"""Of a focal length that the file names: lenses move out when they focus near by, and are rounded. Our choice."""

_GUESSED = (1.5, 0.2)
"""Without it: a telephone's main lens, 24 to 28 mm on film; and how far off, as a share, that may be. Our choice."""

_FOCI = np.exp(np.linspace(np.log(0.6), np.log(12.0), 1500))
"""What is tried, from a wide lens to a long one."""


@dataclass(frozen=True, slots=True)
class Camera:
    """Its place over the sheet [mm], how far its height may be off as a share, and the sheet's tilt [deg].

    stated : the file names the focal length
    """

    at: tuple[float, float, float]
    sigma: float
    tilt: float
    stated: bool


def camera_of(numbers: Array, stretch: tuple[float, float], sigma: float, focus: float | None) -> Camera:
    """The camera that sees the sheet so.

    numbers : of the map from the photograph to the sheet (`lens.py`), and the `stretch` of what it gives
    sigma   : by which the sheet's own sides may be off each other, as a share
    focus   : that the file names, of the picture's longer side; None: it names none
    """
    plane = np.array([[*numbers[:3]], [*numbers[3:6]], [numbers[6], numbers[7], 1.0]])
    seen = np.linalg.inv(np.diag([*stretch, 1.0]) @ plane)
    first, second = seen[:, 0], seen[:, 1]
    scale = np.column_stack([1 / _FOCI, 1 / _FOCI, np.ones_like(_FOCI)])
    a, b = scale * first, scale * second
    long, wide = np.linalg.norm(a, axis=1), np.linalg.norm(b, axis=1)
    expected, off = (2 * focus, _STATED) if focus else _GUESSED
    misfit = ((a * b).sum(axis=1) / (long * wide) / sigma) ** 2 + (np.log(long / wide) / sigma) ** 2
    misfit += (np.log(_FOCI / expected) / off) ** 2
    weights = np.exp(-(misfit - misfit.min()) / 2)
    weights /= weights.sum()
    logs = np.log(_FOCI)
    mean = float(weights @ logs)
    spread = float(np.sqrt(weights @ (logs - mean) ** 2))
    inside = np.array([np.exp(-mean), np.exp(-mean), 1.0])
    place, tilt = _place(inside[:, None] * seen)
    return Camera(place, spread, tilt, focus is not None)


def _place(seen: Array) -> tuple[tuple[float, float, float], float]:
    """Of the camera, and the tilt [deg], from the sheet's perspective without the focal length."""
    seen = seen / ((np.linalg.norm(seen[:, 0]) + np.linalg.norm(seen[:, 1])) / 2)
    if seen[2, 2] < 0:
        seen = -seen  # the sheet lies before the camera
    turn, _, back = np.linalg.svd(np.column_stack([seen[:, :2], np.cross(seen[:, 0], seen[:, 1])]))
    axes = turn @ back  # the nearest rotation
    x, y, z = (float(one) for one in -axes.T @ seen[:, 2])
    return (x, y, abs(z)), degrees(acos(min(1.0, abs(float(axes[2, 2])))))
