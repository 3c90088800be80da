"""Proof of our own files: what was written is read back and compared with the part's polygon."""

from __future__ import annotations

import io
from collections.abc import Sequence

import ezdxf
import numpy as np
from numpy.typing import NDArray

from gasketcut.cutting.path.stroke import INSIDE, OUTSIDE
from gasketcut.errors import DrawingError, ReadBackError
from gasketcut.length import IN
from gasketcut.output.proof.lines import prove_lines
from gasketcut.parts.part import Part
from gasketcut.received.reading.contours import contours_of, line_of
from gasketcut.shape.loop import Outline
from gasketcut.shape.nearest import distances, rings_of
from gasketcut.tolerances import CHORD, READ_BACK


def prove_path(data: bytes, lines: Sequence[tuple[str, NDArray[np.float64]]], name: str, units: str) -> None:
    """Every entity in its turn lies where it should, on its layer.

    lines : layer and points of each, finely divided, as they should stand in the file [mm]

    Raise `ReadBackError` if one is missing, lies on another layer or strays by more than READ_BACK.
    """
    try:
        document = ezdxf.read(io.StringIO(data.decode("utf-8").replace("\r\n", "\n")))
        scale = IN if units == "in" else 1.0
        read = [(entity.dxf.layer, np.array(line_of(entity, scale))) for entity in document.modelspace()]
    except (ezdxf.DXFError, DrawingError) as error:
        raise ReadBackError(f"{name}: the file written {error}; this is a fault of the program") from error
    prove_lines(read, lines, name)


def prove_dxf(data: bytes, part: Part, outline: Outline, units: str) -> float:
    """Return the greatest distance [mm] between the file's outline and the part's polygon.

    Raise `ReadBackError` if the file has another number of contours, one lies on another layer than it should, or it
    strays by more than READ_BACK.
    """
    try:
        found = contours_of(data, units)
    except DrawingError as error:
        raise ReadBackError(f"{part.name}: the file written {error}; this is a fault of the program") from error
    rings = [one.contour.flattened(CHORD / 2) for one in found]
    wanted = 1 + len(part.solid.interiors)
    if len(rings) != wanted:
        raise ReadBackError(f"{part.name}: the file holds {len(rings)} contours, the part {wanted}")
    largest = max(found, key=lambda one: one.contour.area)
    wrong = [one.layer for one in found if one.layer != (OUTSIDE if one is largest else INSIDE)]
    if wrong:
        raise ReadBackError(f"{part.name}: a contour lies on layer {wrong[0]}; this is a fault of the program")
    shift = outline.bounds[:2]  # the file starts at the origin
    read = [np.asarray([*ring, ring[0]]) for ring in rings]
    drawn = [ring - shift for ring in rings_of(part.solid)]
    # Both are finely divided, so vertices are enough.
    off = float(max(np.max(distances(np.vstack(a), b)) for a, b in ((read, drawn), (drawn, read))))
    if off > READ_BACK:
        raise ReadBackError(f"{part.name}: the file strays {off * 1000:.1f} um from the part")
    return off
