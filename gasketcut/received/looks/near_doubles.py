"""A second outline hardly inside the first: an offset, or the same part twice, of which the cutter would cut both."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import shapely

from gasketcut.received.looks.look import Look
from gasketcut.received.looks.scene import Scene
from gasketcut.received.stock.nest import Nest

_SAMPLES = 400
"""Vertices of each at which they are held against each other; between them both run alike."""


def near_doubles(scene: Scene) -> Iterator[Look]:
    """One for each pair that is nowhere farther apart than a kerf."""
    is_hole = scene.is_hole
    for outer, inner, apart in doubles_of(scene.nest, scene.least.kerf):
        what = "the same hole twice, or a slit" if is_hole[outer] else "the same outline twice"
        text = f"two contours, one {apart:.2g} mm inside the other all round: {what}? Both would be cut"
        yield Look("near-double", scene.place(inner), text, "leave one of them, or move them apart")


def doubles_of(nest: Nest, kerf: float) -> list[tuple[int, int, float]]:
    """Outer, inner and the distance between them [mm] of each pair that is nowhere a kerf apart.

    A part with holes in a hole is no double, however little scrap there is between.
    """
    inner = np.flatnonzero(nest.parent >= 0)
    inner = inner[(nest.depth[inner] % 2 == 1) | ~np.isin(inner, nest.parent)]
    outer = nest.parent[inner]
    # Two outlines so near have boxes as near, and a strip between them of no more area than that.
    close = np.abs(nest.boxes[inner] - nest.boxes[outer]).max(axis=1, initial=0.0) <= kerf
    thin = nest.area[outer] - nest.area[inner] <= kerf * nest.length[outer]
    found = []
    for a, b in zip(outer[close & thin].tolist(), inner[close & thin].tolist(), strict=True):
        apart = max(_farthest(nest.rings[a], nest.rings[b]), _farthest(nest.rings[b], nest.rings[a]))
        if apart <= kerf:
            found.append((a, b, float((nest.area[a] - nest.area[b]) / nest.length[a])))
    return found


def _farthest(ring: Any, other: Any) -> float:
    points = shapely.get_coordinates(ring)
    some = points[:: max(1, len(points) // _SAMPLES)]
    return float(shapely.distance(shapely.points(some), other).max())
