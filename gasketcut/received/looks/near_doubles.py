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
    for _, inner, apart in doubles_of(scene.nest, scene.least.kerf):
        yield Look(
            "near-double",
            scene.place(inner),
            f"two outlines, one nowhere more than {apart:.2g} mm inside the other: both would be cut",
            "leave one of them",
        )


def doubles_of(nest: Nest, kerf: float) -> list[tuple[int, int, float]]:
    """Outer, inner and the greatest distance between them [mm] of each pair within a kerf."""
    inner = np.flatnonzero(nest.parent >= 0)
    outer = nest.parent[inner]
    # Two outlines so near have boxes as near, and a strip between them of no more area than that.
    close = np.abs(nest.boxes[inner] - nest.boxes[outer]).max(axis=1, initial=0.0) <= kerf
    thin = nest.area[outer] - nest.area[inner] <= kerf * nest.length[outer]
    found = []
    for a, b in zip(outer[close & thin].tolist(), inner[close & thin].tolist(), strict=True):
        apart = max(_farthest(nest.rings[a], nest.rings[b]), _farthest(nest.rings[b], nest.rings[a]))
        if apart <= kerf:
            found.append((a, b, apart))
    return found


def _farthest(ring: Any, other: Any) -> float:
    points = shapely.get_coordinates(ring)
    some = points[:: max(1, len(points) // _SAMPLES)]
    return float(shapely.distance(shapely.points(some), other).max())
