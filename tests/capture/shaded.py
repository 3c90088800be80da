"""Scans of things in shades of one's choice, said in levels from 0 to 255 as the file holds them."""

import io
from functools import lru_cache
from math import cos, radians, sin

import numpy as np
from PIL import Image
from scipy.special import erf

from gasketcut.capture.image.picture_file import linear
from tests.scans import gasket, rounded, srgb

BLUR = 0.1  # mm, a Gaussian's sigma: a pixel of 150 dpi and a little of the lens


def card(u, v):
    """ISO/IEC 7810 ID-1, upright."""
    return rounded(u, v, 53.98, 85.60, 3.18)


def upper_card(u, v):
    """Its upper half, and a little more."""
    return np.maximum(card(u, v), -5.0 - v)


def lower_card(u, v):
    """What is left of it."""
    return np.maximum(card(u, v), 5.0 + v)


@lru_cache(maxsize=32)
def covered(shape, at, turn, page, dpi):
    """How much of each pixel a thing covers; `at` is its middle from the page's lower left corner [mm]."""
    pixel = 25.4 / dpi
    columns, rows = (int(size / pixel) for size in page)
    right, up = np.meshgrid(
        (np.arange(columns) + 0.5) * pixel - at[0], page[1] - (np.arange(rows) + 0.5) * pixel - at[1]
    )
    c, s = cos(radians(turn)), sin(radians(turn))
    return 0.5 * (1 - erf(shape(c * right + s * up, -s * right + c * up) / (BLUR * 2**0.5)))


def shaded(ground, *things, page=(165.0, 105.0), dpi=150, grain=2.5, tag=None, jpeg=None, seed=1):
    """The file's bytes; each thing is a shape, its level, where its middle lies and its turn. They lie over each other
    in their order."""
    levels = linear(np.array([ground, *(level for _, level, _, _ in things)], dtype=np.float32) / 255)
    light = levels[0]
    for level, (shape, _, at, turn) in zip(levels[1:], things, strict=True):
        light = light + (level - light) * covered(shape, at, turn, page, dpi)
    if not things:
        light = np.full([int(size / 25.4 * dpi) for size in page[::-1]], light)
    grey = srgb(light) * 255 + np.random.default_rng(seed).normal(0, grain, light.shape)
    picture = Image.fromarray(np.clip(np.round(grey), 0, 255).astype(np.uint8))
    stream = io.BytesIO()
    tags = {} if tag is None else {"dpi": (tag, tag)}
    if jpeg is None:
        picture.save(stream, "PNG", compress_level=1, **tags)
    else:
        picture.save(stream, "JPEG", quality=jpeg, **tags)
    return stream.getvalue()


def part_at(level, x=42.0, y=52.0, turn=3.0):
    return gasket, level, (x, y), turn


def card_at(level, x=120.0, y=52.0, turn=4.0):
    return card, level, (x, y), turn
