"""A mirror or a turn settled on the edge itself: by least squares over all places that agree, so that what is torn off
does not pull it aside."""

from __future__ import annotations

from dataclasses import replace
from math import cos, sin

import numpy as np

from gasketcut.arrays import Array
from gasketcut.capture.edges.rings import nearest_on
from gasketcut.capture.scale.isometry import Isometry

_STEPS = 5
_SMALL = 1e-4  # rad or mm, to see which way distances change


def settled(image: Isometry, ring: Array, within: float) -> Isometry:
    """The mirror, by its line's turn and place, or the turn, by its middle.

    ring   : shape (n, 2) [mm]
    within : mm by which a place and its image agree
    """
    slope = np.roll(ring, -1, axis=0) - np.roll(ring, 1, axis=0)
    square = np.column_stack([slope[:, 1], -slope[:, 0]]) / np.maximum(np.hypot(*slope.T), 1e-12)[:, None]
    for _ in range(_STEPS):
        taken = image.of(ring)
        feet = nearest_on(ring, taken)
        way = taken - feet
        nearest = np.argmin(np.hypot(feet[:, None, 0] - ring[None, :, 0], feet[:, None, 1] - ring[None, :, 1]), axis=1)
        normal = square[nearest]
        agree = np.hypot(*way.T) < within
        if int(agree.sum()) < 10:
            return image
        off = np.sum(way * normal, axis=1)[agree]
        changes = [np.sum((_moved(image, *by).of(ring) - taken) * normal, axis=1)[agree] / _SMALL
                   for by in ((_SMALL, 0.0), (0.0, _SMALL))]  # fmt: skip
        step, *_ = np.linalg.lstsq(np.column_stack(changes), -off, rcond=None)
        image = _moved(image, float(step[0]), float(step[1]))
    return image


def _moved(image: Isometry, one: float, other: float) -> Isometry:
    """A mirror turned by `one` and moved across by `other`; a turn's middle moved by both."""
    x, y = image.middle
    if image.mirror:
        turn = image.angle
        return replace(image, angle=turn + one, middle=(x - sin(turn) * other, y + cos(turn) * other))
    return replace(image, middle=(x + one, y + other))
