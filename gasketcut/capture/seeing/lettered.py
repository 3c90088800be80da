"""A scale by what was read between lettered holes: over the letters that the part has by that very scale.

What counts as round depends on the scale a little, and so do the letters of all that follow. So the part is lettered
again by the scale found, until its letters are those that were used.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

import numpy as np

from gasketcut.arrays import Array
from gasketcut.capture.edges.rings import Silhouette
from gasketcut.capture.image.picture_file import PictureError
from gasketcut.capture.scale.dpi import Scale
from gasketcut.capture.scale.photo import Photo
from gasketcut.capture.traced_part import TracedPart, part_of

_ROUNDS = 6
"""After which letters that still change are given up."""

_SAME = 0.005
"""Of the part's size, by which a hole may seem to move and be the same one; no two lie as near. Our choice."""

AnyScale = TypeVar("AnyScale", Scale, Photo, Scale | Photo)


def lettered(
    silhouette: Silhouette, start: AnyScale, corrected: Callable[[TracedPart, AnyScale], AnyScale]
) -> AnyScale:
    """The corrected scale; raise `PictureError` if the letters do not come to rest.

    start     : by which the part is lettered at first
    corrected : a better scale for a part, from the part as the scale beside it shows it
    """
    scale, part = start, part_of(silhouette, start, None, only_holes=True)
    for _ in range(_ROUNDS):
        better = corrected(part, scale)
        again = part_of(silhouette, better, None, only_holes=True)
        if _same_letters(part, again):
            return better
        scale, part = better, again
    raise PictureError(
        "which hole is called by which letter changes with the scale: give --dpi or a card, and look at the letters"
    )


def _same_letters(one: TracedPart, other: TracedPart) -> bool:
    return len(one.holes) == len(other.holes) and bool(np.all(np.abs(_places(one) - _places(other)) < _SAME))


def _places(part: TracedPart) -> Array:
    """Of the holes by their letters, as shares of the outline's size."""
    places = np.array([hole.circle.center for hole in part.holes]).reshape(-1, 2)
    shares: Array = places / np.ptp(part.ring, axis=0)
    return shares
