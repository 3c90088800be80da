"""Light that falls off across a picture, made even by what the bright ground shows of it."""

from __future__ import annotations

import numpy as np

from gasketcut.capture.image.picture_file import Light

_LIKE = 0.15
"""Of the ground's light, by which a place may differ and still be ground. Our choice."""

_EVEN = 0.01
"""Of the light, by which the ground may vary and nothing be done. Our choice."""

_BLOCK = 256
"""Rows at a time: what is held of a large picture stays small."""


def flat_field(light: Light, *, to_rim: bool) -> Light:
    """The light divided by the ground's, a polynomial of second order through it; as it is if the ground is even, not
    bright, or no such polynomial.

    to_rim : the ground reaches the picture's rim, as in a scan
    """
    step = max(1, max(light.shape) // 200)
    small = light[::step, ::step].astype(float)
    rows, columns = np.indices(small.shape)
    terms = _terms(columns / small.shape[1] - 0.5, rows / small.shape[0] - 0.5).reshape(-1, 6)
    values = small.reshape(-1)
    rim = ((rows == 0) | (rows == rows.max()) | (columns == 0) | (columns == columns.max())).reshape(-1)
    keep = values > np.quantile(values, [0.01, 0.99]).mean()
    if keep.sum() < 50:
        return light
    for _ in range(4):
        found, *_ = np.linalg.lstsq(terms[keep], values[keep], rcond=None)
        ground = terms @ found
        keep = (values > (1 - _LIKE) * ground) & (values < (1 + _LIKE) * ground)
        if keep.sum() < 50:
            return light
    if ground.min() <= 0 or np.ptp(ground) < _EVEN * ground.max() or (to_rim and keep[rim].mean() < 0.5):
        return light
    height, width = light.shape
    across = (np.arange(width, dtype=np.float32) / width - 0.5)[None]
    made = np.empty_like(light)
    for first in range(0, height, _BLOCK):
        block = slice(first, min(first + _BLOCK, height))
        down = (np.arange(block.start, block.stop, dtype=np.float32) / height - 0.5)[:, None]
        made[block] = light[block] * 0.9 / (_terms(across, down) @ found).astype(np.float32)
    return made


def _terms(x: Light, y: Light) -> Light:
    """Shape (..., 6)."""
    x, y = np.broadcast_arrays(x, y)
    return np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=-1)
