"""Of several parts in one picture the one that the user wants."""

from __future__ import annotations

from gasketcut.capture.edges.rings import Silhouette
from gasketcut.capture.image.picture_file import PictureError

_LIKE = 0.2
"""Of the largest silhouette's area: what is that large is a part of its own. Our choice."""


def parts_among(silhouettes: tuple[Silhouette, ...]) -> tuple[Silhouette, ...]:
    """Those that are parts, largest first: so they are numbered in text, JSON and overlay."""
    return tuple(one for one in silhouettes if one.area > _LIKE * silhouettes[0].area)


def with_picked(silhouettes: tuple[Silhouette, ...], pick: int | None, warnings: list[str]) -> tuple[Silhouette, ...]:
    """The part of that number alone, or all; raise `PictureError` for a number that is not there."""
    if pick is None:
        return silhouettes
    parts = parts_among(silhouettes)
    if not 1 <= pick <= len(parts):
        many = "one part" if len(parts) == 1 else f"{len(parts)} parts"
        raise PictureError(f"there is no part {pick}: {many} in the picture, numbered by size, the largest first")
    warnings.append(f"part {pick} of {len(parts)} in the picture; the others are left out")
    return (parts[pick - 1],)
