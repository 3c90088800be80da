"""Proof of our own files: what was written is read back and compared with the part's polygon."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from gasketcut.errors import DrawingError, ReadBackError
from gasketcut.read.contours import contours_of
from gasketcut.shape.loop import Outline
from gasketcut.shape.part import Part
from gasketcut.tolerances import CHORD, READ_BACK

Array = NDArray[np.float64]


def prove_dxf(data: bytes, part: Part, outline: Outline, units: str) -> float:
    """Return the greatest distance [mm] between the file's outline and the part's polygon.

    Raise `ReadBackError` if the file has another number of contours or strays by more than READ_BACK.
    """
    try:
        found = contours_of(data, units)
    except DrawingError as error:
        raise ReadBackError(f"{part.name}: the file written {error}; this is a fault of the program") from error
    rings = [one.contour.flattened(CHORD / 4) for one in found]
    wanted = [part.solid.exterior, *part.solid.interiors]
    if len(rings) != len(wanted):
        raise ReadBackError(f"{part.name}: the file holds {len(rings)} contours, the part {len(wanted)}")
    shift = outline.bounds[:2]  # the file starts at the origin
    read = [np.asarray([*ring, ring[0]]) for ring in rings]
    drawn = [np.asarray(ring.coords)[:, :2] - shift for ring in wanted]
    off = max(_farthest(read, drawn), _farthest(drawn, read))
    if off > READ_BACK:
        raise ReadBackError(f"{part.name}: the file strays {off * 1000:.1f} um from the part")
    return off


def _farthest(a: list[Array], b: list[Array]) -> float:
    """From the vertices of one to the edges of the other [mm]; both are finely divided, so vertices are enough."""
    edges = np.vstack([np.stack([ring[:-1], ring[1:]], axis=1) for ring in b])
    lines: Any = shapely.linestrings(edges)
    tree = shapely.STRtree(lines)
    _, distances = tree.query_nearest(shapely.points(np.vstack(a)), return_distance=True, all_matches=False)
    return float(np.max(distances))
