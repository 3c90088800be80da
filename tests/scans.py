"""KnownArcs gaskets as a scanner would see them.

An edge is blurred by a Gaussian of its signed distance: exact for straight edges, and for a hole of radius r off by
sigma^2 / (2 r), which is under 1 um here.
"""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np
from PIL import Image
from scipy.special import erf

BORE, HOLES = 46.0, ((-23.5, -25.5, 5.5), (23.5, -25.5, 5.5), (23.5, 25.5, 5.5), (-23.5, 25.5, 4.0))
WIDTH, HEIGHT, CORNER = 60.0, 64.0, 9.0


def rounded(u, v, width, height, corner):
    """Signed distance to a rectangle with round corners, negative inside."""
    x, y = np.abs(u) - (width / 2 - corner), np.abs(v) - (height / 2 - corner)
    return np.hypot(np.maximum(x, 0), np.maximum(y, 0)) + np.minimum(np.maximum(x, y), 0) - corner


def gasket(u, v):
    distance = rounded(u, v, WIDTH, HEIGHT, CORNER)
    for x, y, width in ((0.0, 0.0, BORE), *HOLES):
        distance = np.maximum(distance, width / 2 - np.hypot(u - x, v - y))
    return distance


def srgb(light):
    return np.where(light <= 0.0031308, 12.92 * light, 1.055 * np.maximum(light, 1e-9) ** (1 / 2.4) - 0.055)


def scan(
    dpi=300, turn=3.0, at=(40.3, 50.2), page=(82.0, 100.0), noise=2.5, part=0.2, ground=0.9, blur=0.04, stretch=1.0,
    card=None, print_=None, dust=0, seed=1, light=None, shapes=((gasket, 0.0, 0.0),), sixteen=False,
):  # fmt: skip
    """A grey picture of the gasket; `card` is the turn of a bank card beside it, on a wider page; `print_` seeds what
    is printed on that, from black to nearly the ground's white."""
    pixel = 25.4 / dpi
    columns, rows = int(page[0] / pixel), int(page[1] / pixel)
    x, y = (np.arange(columns) + 0.5) * pixel * stretch, (np.arange(rows) + 0.5) * pixel
    right, up = np.meshgrid(x, page[1] - y)
    distance = np.full(right.shape, np.inf)
    c, s = cos(radians(turn)), sin(radians(turn))
    for shape, dx, dy in shapes:
        p, q = right - at[0] - dx, up - at[1] - dy
        distance = np.minimum(distance, shape(c * p + s * q, -s * p + c * q))
    printed = None
    if card is not None:
        c, s = cos(radians(card)), sin(radians(card))
        p, q = right - (page[0] - 52.0 if page[0] > 170 else page[0] - 34.0), up - page[1] / 2
        u, v = c * p + s * q, -s * p + c * q
        edge = rounded(u, v, 53.98, 85.60, 3.18)
        if print_ is None:
            distance = np.minimum(distance, edge)
        else:
            draw = np.random.default_rng(print_)
            pattern = np.full(u.shape, draw.uniform(0.05, 0.8))
            for _ in range(14):
                x, y, reach = draw.uniform(-27, 27), draw.uniform(-43, 43), draw.uniform(3, 18)
                pattern = np.where(np.hypot(u - x, v - y) < reach, draw.uniform(0.05, 0.8), pattern)
            printed = (0.5 * (1 - erf(edge / (blur * 2**0.5))), pattern)
    chance = np.random.default_rng(seed)
    for _ in range(dust):
        px, py, size = chance.uniform(2, page[0] - 2), chance.uniform(2, page[1] - 2), chance.uniform(0.05, 0.2)
        distance = np.minimum(distance, np.hypot(right - px, up - py) - size)
    inside = 0.5 * (1 - erf(distance / (blur * 2**0.5)))
    shade = ground + (part - ground) * inside
    if printed is not None:
        shade = shade * (1 - printed[0]) + printed[1] * printed[0]
    if light is not None:
        shade = shade * light(right / page[0], up / page[1])
    grey = srgb(np.clip(shade, 0, 1)) * 255 + chance.normal(0, noise, shade.shape)
    if sixteen:
        return Image.fromarray(np.clip(np.round(grey * 257), 0, 65535).astype(np.uint16))
    return Image.fromarray(np.clip(np.round(grey), 0, 255).astype(np.uint8))
