"""Of what a picture shows the parts, and of those the one that the user wants."""

from __future__ import annotations

from collections.abc import Iterable
from math import dist

import numpy as np
import shapely
from shapely.geometry import Polygon

from gasketcut.capture.edges.rings import Silhouette
from gasketcut.capture.image.picture_file import PictureError
from gasketcut.capture.scale.dpi import Scale
from gasketcut.capture.scale.photo import Photo
from gasketcut.capture.seeing.by_card import place
from gasketcut.length import box

_LIKE = 0.2
"""Of the largest part's area: what is that large is a part of its own. Our choice."""

_DIRT = 20.0
"""mm2; what is smaller is dirt or a written word, and nobody is warned of it. A disc of 5 mm. Our choice."""


def is_part(area: float, largest: float) -> bool:
    """Is that beside the largest part a part of its own?"""
    return area > _LIKE * largest


def parts_among(silhouettes: tuple[Silhouette, ...]) -> tuple[Silhouette, ...]:
    """Those that are parts, largest first: so they are numbered in text, JSON and overlay."""
    return tuple(one for one in silhouettes if is_part(one.area, silhouettes[0].area))


def smaller(silhouettes: tuple[Silhouette, ...]) -> list[Polygon]:
    """The outlines of the others."""
    return [Polygon(one.outer) for one in silhouettes if not is_part(one.area, silhouettes[0].area)]


def too_small(outlines: Iterable[Polygon], scale: Scale | Photo, shape: tuple[int, int]) -> list[str]:
    """Of what is no part beside the largest one a warning with sizes and places, or none.

    outlines : in pixels
    shape    : of the picture, rows and columns
    """
    words = []
    for one in outlines:
        true = Polygon(scale.mm(np.array(one.exterior.coords)))
        if true.area > _DIRT:
            words.append(f"{_size(true)} {place(one, shape)}")
    if not words:
        return []
    return [
        f"left out, as it is less than {_LIKE * 100:.0f} % of the largest part: about {', '.join(words)}; what of that "
        "is a part has to be scanned without the larger one"
    ]


def with_picked(
    parts: tuple[Silhouette, ...], pick: int | None, warnings: list[str]
) -> tuple[tuple[Silhouette, ...], tuple[Silhouette, ...]]:
    """The parts before the one of that number, and that alone, or none and all; raise `PictureError` for a number that
    is not there."""
    if pick is None:
        return (), parts
    if not 1 <= pick <= len(parts):
        many = "one part" if len(parts) == 1 else f"{len(parts)} parts"
        raise PictureError(f"there is no part {pick}: {many} in the picture, numbered by size, the largest first")
    warnings.append(f"part {pick} of {len(parts)} in the picture; the others are left out")
    return parts[: pick - 1], (parts[pick - 1],)


def _size(outline: Polygon) -> str:
    """Of the smallest box round it, however it lies; to a millimetre, as a thing's outline is a coarse one."""
    corners = shapely.get_coordinates(outline.minimum_rotated_rectangle)
    sides = sorted(dist(corners[n], corners[n + 1]) for n in (0, 1))
    return box(sides[1], sides[0], 0)
