"""Which piece of the one drawing is which of the other: by what does not change when a piece is moved or turned."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from gasketcut.arrays import Array
from gasketcut.comparing.features import Features
from gasketcut.shape.loop import Outline

_TWICE = 2.0
"""Pieces of which one has more than this times the other's area are no partners, unless there is one of each; ours."""


def partners_of(
    first: Sequence[Outline], second: Sequence[Outline]
) -> tuple[list[tuple[int, int]], list[int], list[int]]:
    """Numbers of the pairs, largest first; those of the first and of the second that have no partner.

    Those most alike first; of equals those whose places are nearest.
    """
    if not first or not second:
        return [], list(range(len(first))), list(range(len(second)))
    known: dict[Outline, Array] = {}
    a, b = (np.array([_known(known, one) for one in outlines]) for outlines in (first, second))
    like, places_a, places_b = slice(0, 5), a[:, 5:], b[:, 5:]
    scale = np.maximum(np.maximum(np.abs(a[:, None, like]), np.abs(b[None, :, like])), 1e-9)
    unlike = (np.abs(a[:, None, like] - b[None, :, like]) / scale).sum(axis=2)
    apart = np.hypot(*(places_a[:, None] - places_b[None, :]).transpose(2, 0, 1))
    areas = a[:, 0][:, None] / np.maximum(b[:, 0][None, :], 1e-9)
    allowed = (areas <= _TWICE) & (areas >= 1 / _TWICE) if max(len(first), len(second)) > 1 else areas > 0
    i, j = np.nonzero(allowed)
    order = np.lexsort((apart[i, j], np.round(unlike[i, j], 6)))
    pairs: dict[int, int] = {}
    for n in order.tolist():
        if int(i[n]) not in pairs and int(j[n]) not in pairs.values():
            pairs[int(i[n])] = int(j[n])
    largest = sorted(pairs.items(), key=lambda pair: -a[pair[0], 0])
    over = [n for n in range(len(second)) if n not in pairs.values()]
    return largest, [n for n in range(len(first)) if n not in pairs], over


def _known(known: dict[Outline, Array], outline: Outline) -> Array:
    """Area within, length of the outer line, net area, number of holes, how far out they lie; and the place."""
    if outline not in known:
        features = Features(outline)
        net = outline.area
        row = [outline.outer.area, outline.outer.length, net, len(outline.inner), features.spread, *features.centre]
        known[outline] = np.array(row, dtype=float)
    return known[outline]
