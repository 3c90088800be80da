"""The ground of a scan: the one shade that its rim mostly has, and how far that wanders.

Shades are compared in levels, from 0 to 255 of the encoded picture, as grain is alike in them whether the ground is
dark or bright.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from gasketcut.arrays import Array
from gasketcut.capture.image.coarse import Coarse, coarsened, smoothed
from gasketcut.capture.image.picture_file import Light, PictureError, encoded, linear

_MOST, _LEAST = 700, 300
"""Pixels along the longer side of the coarse picture; the fewer of a grainy one. Our choice."""

_QUIET = 1.2
"""Levels by which the ground of the coarse picture may wander before it is made coarser. Our choice."""

_MOST_GRAIN = 40.0
"""Levels of grain beyond which nothing else shows. Our choice: a poor scanner has 8."""

_ROUNDS = 4
"""Times it is smoothed at most if it is still not quiet: a card's corners stay. Our choice."""

_NEAR = 10.0
"""Levels to either side of the rim's commonest that are still the ground. Our choice."""

_SHARE = 0.25
"""Of the rim that has to be of the ground's shade. Our choice."""

_GRAINY = 8.0
"""Times the grain that a thing stands out from the ground at least: one that does less is smoothed first, and a card's
proportions are not trusted. Our choice."""


@dataclass(frozen=True, slots=True)
class Ground:
    """`level` of the coarse picture's ground, `noise` of that, and `grain` of the picture itself: standard deviations,
    all in levels."""

    coarse: Coarse
    level: float
    noise: float
    grain: float

    @property
    def light(self) -> float:
        """Linear."""
        return float(linear(np.array([self.level / 255], dtype=np.float32))[0])

    @property
    def levels(self) -> Array:
        """Of the coarse picture."""
        return levels_of(self.coarse.light)

    def is_grainy_for(self, light: float) -> bool:
        """Does the grain hide the edge of a thing of that light?"""
        apart = abs(float(levels_of(np.array([light], dtype=np.float32))[0]) - self.level)
        return apart < _GRAINY * self.grain


def levels_of(light: Light) -> Array:
    """From 0 to 255, as encoded."""
    result: Array = encoded(light).astype(float) * 255
    return result


def ground_of(light: Light) -> Ground:
    """Raise `PictureError` if the rim has no shade of its own."""
    step = -(-max(light.shape) // _MOST)
    while True:
        coarse = coarsened(light, step)
        levels = levels_of(coarse.light)
        level, noise, share = _rim(levels)
        if noise <= _QUIET or max(light.shape) // (step + 1) < _LEAST:
            break
        step += 1
    for _ in range(_ROUNDS):
        if noise <= _QUIET:
            break
        coarse = replace(coarse, light=smoothed(coarse.light))
        levels = levels_of(coarse.light)
        level, noise, share = _rim(levels)
    grain = _grain(light, coarse, levels, level)
    if share < _SHARE or grain > _MOST_GRAIN:
        raise PictureError(
            "the picture is all noise or its ground has no shade of its own, so no part shows; lay plain paper behind "
            "the part, larger than the picture"
        )
    return Ground(coarse, level, noise, grain)


def _rim(levels: Array) -> tuple[float, float, float]:
    """The commonest level, how far it wanders, and how much of the rim is near it."""
    rim = np.concatenate([levels[:2].ravel(), levels[-2:].ravel(), levels[:, :2].ravel(), levels[:, -2:].ravel()])
    counts, _ = np.histogram(rim, bins=260, range=(-2.0, 258.0))
    middle = float(np.argmax(np.convolve(counts, np.ones(9), mode="same"))) - 1.5
    near = rim[np.abs(rim - middle) < _NEAR]
    level = float(np.median(near))
    return level, 1.4826 * float(np.median(np.abs(near - level))), near.size / rim.size


def _grain(light: Light, coarse: Coarse, levels: Array, level: float) -> float:
    """From neighbouring pixels of the ground, every so many."""
    rows, columns = np.nonzero(np.abs(levels - level) < _NEAR)
    every = max(1, rows.size // 4000)
    rows, columns = rows[::every] * coarse.step, columns[::every] * coarse.step
    columns = np.minimum(columns, light.shape[1] - 2)
    apart = levels_of(light[rows, columns]) - levels_of(light[rows, columns + 1])
    return 1.4826 * float(np.median(np.abs(apart))) / 2**0.5
