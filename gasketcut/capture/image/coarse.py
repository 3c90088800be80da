"""A coarse picture: blocks of pixels averaged, so that grain and print fade and shades stay."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gasketcut.arrays import Array
from gasketcut.capture.image.picture_file import Light


@dataclass(frozen=True, slots=True)
class Coarse:
    """`light` is linear; each of its pixels stands for `step` x `step` of the picture's."""

    light: Light
    step: int

    def in_picture(self, places: Array) -> Array:
        """Of coarse pixels, in the picture's; shape (n, 2)."""
        result: Array = places * self.step + (self.step - 1) / 2
        return result


def coarsened(light: Light, step: int) -> Coarse:
    """What is left over at the right and at the bottom is left out."""
    height, width = (size // step for size in light.shape)
    blocks = light[: height * step, : width * step].reshape(height, step, width, step)
    # Columns first: that halves the time, as neighbours in memory are summed.
    return Coarse(blocks.mean(axis=3).mean(axis=1), step)


def smoothed(light: Light) -> Light:
    """By 1, 2, 1 each way: grain falls to three eighths."""
    for axis in (0, 1):
        first, last = np.take(light, [0], axis), np.take(light, [-1], axis)
        wide = np.concatenate([first, light, last], axis)
        ends = light.shape[axis]
        light = (np.take(wide, range(ends), axis) + 2 * light + np.take(wide, range(2, ends + 2), axis)) / np.float32(4)
    return light
