"""The two shades of a picture, and in which of its colours they differ."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Shade = NDArray[np.float32]

_MOST = 1500
"""Pixels along a side that are looked at."""

_PLAIN = 0.2
"""Difference of lightness at which colour is of no interest. Our choice."""

_BETTER = 1.6
"""By how many times the two must differ more in a colour than in lightness. Our choice."""

_COLOURS = ("red", "green", "blue")


def sampled(picture: Shade) -> Shade:
    """Every so many rows and columns."""
    return picture[:: max(1, picture.shape[0] // _MOST), :: max(1, picture.shape[1] // _MOST)]


def two_shades(sample: Shade) -> tuple[Shade, Shade]:
    """The darker and the brighter values; one of them may be empty. Source: Otsu's split, on a histogram of 512."""
    counts, edges = np.histogram(sample, bins=512, range=(0.0, 1.0))
    middles = (edges[:-1] + edges[1:]) / 2
    weight = np.cumsum(counts)
    total = np.cumsum(counts * middles)
    with np.errstate(divide="ignore", invalid="ignore"):
        between = (total[-1] * weight / weight[-1] - total) ** 2 / (weight * (weight[-1] - weight))
    best = np.nan_to_num(between, nan=-1.0, posinf=-1.0)
    split = float(np.mean(middles[best >= best.max() * (1 - 1e-9)]))
    return sample[sample <= split], sample[sample > split]


def distinct_colour(lightness: Shade, colours: Shade) -> tuple[int, str] | None:
    """The colour in which part and ground differ much more than in lightness, by number and name, or None.

    lightness, colours : samples of shape (n,) and (n, 3), linear
    """
    plain = _apart(lightness)
    if plain > _PLAIN:
        return None
    apart = [_apart(colours[:, n]) for n in range(3)]
    best = int(np.argmax(apart))
    return (best, _COLOURS[best]) if apart[best] > max(_BETTER * plain, 0.05) else None


def _apart(sample: Shade) -> float:
    """How much light lies between the two shades."""
    low, high = two_shades(sample)
    if not low.size or not high.size:
        return 0.0
    return float(np.median(high) - np.median(low))
