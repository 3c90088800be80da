"""Light that falls off across a picture, made even by what the ground shows of it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from gasketcut.arrays import Array
from gasketcut.capture.image.coarse import coarsened
from gasketcut.capture.image.picture_file import Light

Those = NDArray[np.bool_]
"""Which of the places."""

_LIKE = 0.15
"""Of the ground's light, by which a place may differ and still be ground. Our choice."""

_FAINTER = 0.004
"""The same of a black ground, of whose light grain alone is as much. Our choice."""

_CLOSE = 4.0
"""Standard deviations of the rim about its own light, by which a place may differ from it and be ground. Our choice."""

_EVEN = 0.01
"""Of the light, by which the ground may vary and nothing be done. Our choice."""

_BLOCK = 256
"""Rows at a time: what is held of a large picture stays small."""


def flat_field(light: Light, *, to_rim: bool) -> Light:
    """The light divided by the ground's, a polynomial of second order through it, and brought back to its middle; as it
    is if the ground is even, or no such polynomial.

    to_rim : the ground reaches the picture's rim, as in a scan, and is of any shade; else it is the brightest
    """
    small = coarsened(light, max(1, max(light.shape) // 200)).light.astype(float)
    rows, columns = np.indices(small.shape)
    terms: Array = _terms(columns / small.shape[1] - 0.5, rows / small.shape[0] - 0.5).reshape(-1, 6).astype(float)
    values = small.reshape(-1)
    rim: Those = ((rows == 0) | (rows == rows.max()) | (columns == 0) | (columns == columns.max())).reshape(-1)
    found = _by_rim(terms, values, rim) if to_rim else _by_brightest(terms, values)
    if found is None:
        return light
    ground = terms @ found
    if ground.min() <= 0 or np.ptp(ground) < _EVEN * ground.max():
        return light
    height, width = light.shape
    middle = np.float32(np.median(ground))
    across = (np.arange(width, dtype=np.float32) / width - 0.5)[None]
    made = np.empty_like(light)
    for first in range(0, height, _BLOCK):
        block = slice(first, min(first + _BLOCK, height))
        down = (np.arange(block.start, block.stop, dtype=np.float32) / height - 0.5)[:, None]
        made[block] = light[block] * middle / (_terms(across, down) @ found).astype(np.float32)
    return made


def _by_rim(terms: Array, values: Array, rim: Those) -> Array | None:
    """Through the rim first, as parts and cards lie inside; then through all that is as close to that as the rim is."""
    ground = np.full(len(values), np.median(values[rim]))
    keep = rim
    for _ in range(4):
        keep = rim & _near(values, ground, 1.5 * _LIKE)
        if keep.sum() < max(30, 0.5 * rim.sum()):
            return None
        found = _through(terms[keep], values[keep])
        ground = terms @ found
    close = _CLOSE * 1.4826 * float(np.median(np.abs(values - ground)[keep])) + 0.002 * float(np.median(ground))
    for _ in range(3):
        keep = np.abs(values - ground) < close
        if keep[rim].mean() < 0.5:
            return None
        found = _through(terms[keep], values[keep])
        ground = terms @ found
    result: Array = found
    return result


def _by_brightest(terms: Array, values: Array) -> Array | None:
    keep = values > np.quantile(values, [0.01, 0.99]).mean()
    if keep.sum() < 50:
        return None
    for _ in range(4):
        found = _through(terms[keep], values[keep])
        keep = _near(values, terms @ found, _LIKE)
        if keep.sum() < 50:
            return None
    result: Array = found
    return result


def _through(terms: Array, values: Array) -> Array:
    """Least squares by the normal equations, ten times as fast; the terms are within half of zero."""
    result: Array = np.asarray(np.linalg.solve(terms.T @ terms, terms.T @ values), dtype=np.float64)
    return result


def _near(values: Array, ground: Array, share: float) -> Those:
    result: Those = np.abs(values - ground) < np.maximum(share * ground, _FAINTER)
    return result


def _terms(x: Light, y: Light) -> Light:
    """Shape (..., 6)."""
    x, y = np.broadcast_arrays(x, y)
    return np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=-1)
