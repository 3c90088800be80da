"""By how much the edges of a picture may lie too far out or in, all alike: what is not known of the level of light.

Level    the contour lies where the light has a level; half way between both sides would be right for a blurred step.
Slope    how fast the light changes across the edge: a level wrong by a share of the contrast moves the edge by as many
         widths of the edge.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gasketcut.arrays import Array
from gasketcut.capture.edges.rings import between
from gasketcut.capture.image.picture_file import Light

_LEVEL = 0.013
"""Of the contrast, by which the level may be wrong at the best: encoding, rounding, shades that are not even. Set so
that simulated scans hold."""

_KEPT = 0.3
"""Of a correction for sharpening that may be wrong. Set so that simulated scans hold."""

_AWAY, _NEAR = (5.0, 6.0, 7.0), 0.5
"""Pixels from the edge at which its two sides' light is read, and its slope."""

_PLACES, _SHORTEST = 400, 24
"""Places of a ring that are looked at, and points of the shortest one."""

_CLEAR = 0.05
"""Difference of light between the two sides below which a place says nothing. Our choice."""

_PLAIN = 1.0
"""Pixels: an edge as sharp as pixels allow, where no ring is long enough to see more."""

_READING, _SHARPEST = 0.3, 0.1
"""Square pixels by which an edge looks more spread than it is, as light is read between pixels and its slope over
a whole one; and the least that is believed. Measured on simulated edges."""


@dataclass(frozen=True, slots=True)
class EdgeShift:
    """Standard deviation of the shift, and how wide the edge is from one side's light to the other's [pixels]."""

    sigma: float
    width: float


UNSEEN = EdgeShift(4 * _LEVEL * _PLAIN, _PLAIN)
"""Where no edge is clear enough to tell."""


def edge_shift(light: Light, rings: Sequence[Array]) -> EdgeShift:
    """What the rings of a part show of it.

    rings : in pixels, where the level was found
    """
    seen = [one for one in (_off_level(light, ring) for ring in rings if len(ring) >= _SHORTEST) if one is not None]
    if not seen:
        return UNSEEN
    off, width, count = (np.array(column) for column in zip(*seen, strict=True))
    weights = count / count.sum()
    mean = float(off @ weights)
    apart = float(np.sqrt(((off - mean) ** 2) @ weights))
    wide = float(width @ weights)
    return EdgeShift(float(np.hypot(np.hypot(_LEVEL * wide, _KEPT * mean), apart)), wide)


def _off_level(light: Light, ring: Array) -> tuple[float, float, int] | None:
    """How far the ring lies from the half level between its own two sides [pixels], the edge's width, and the places
    that showed it; None if its sides are not clear."""
    ways = np.roll(ring, -2, axis=0) - np.roll(ring, 2, axis=0)
    every = max(1, len(ring) // _PLACES)
    places, ways = ring[::every], ways[::every]
    out = np.column_stack([-ways[:, 1], ways[:, 0]]) / np.maximum(np.hypot(*ways.T), 1e-12)[:, None]

    def at(far: float) -> Array:
        return np.asarray(between(light, places[:, 0] + far * out[:, 0], places[:, 1] + far * out[:, 1]), dtype=float)

    one = np.median([at(far) for far in _AWAY], axis=0)
    other = np.median([at(-far) for far in _AWAY], axis=0)
    contrast = one - other
    slope = (at(_NEAR) - at(-_NEAR)) / (2 * _NEAR)
    side = np.sign(np.median(contrast))
    clear = contrast * side > _CLEAR
    if clear.sum() < len(places) / 2:
        return None
    seen = float(np.median(contrast[clear]) / max(abs(float(np.median(slope[clear]))), 1e-6))
    width = float(np.sqrt(2 * np.pi * max(seen**2 / (2 * np.pi) - _READING, _SHARPEST)))
    share = float(np.median((at(0.0)[clear] - (one + other)[clear] / 2) / contrast[clear]))
    return share * width, width, int(clear.sum())
