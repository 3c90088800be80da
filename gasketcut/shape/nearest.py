"""How far points lie from the edges of rings, through a tree: n log n where asking pair by pair would be n squared."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np
import shapely

from gasketcut.arrays import Array


def distances(points: Array, rings: Iterable[Array]) -> Array:
    """Distance of each point to the nearest edge [mm].

    points : shape (n, 2)
    rings  : each shape (m, 2), the first vertex repeated at the end
    """
    edges = np.vstack([np.stack([ring[:-1], ring[1:]], axis=1) for ring in rings])
    lines: Any = shapely.linestrings(edges)
    _, found = shapely.STRtree(lines).query_nearest(shapely.points(points), return_distance=True, all_matches=False)
    return np.asarray(found)


def rings_of(polygon: shapely.Polygon) -> list[Array]:
    """The rings of a polygon as arrays."""
    return [np.asarray(ring.coords)[:, :2] for ring in (polygon.exterior, *polygon.interiors)]
