"""A template to grind by as DXF, so that it can be cut from sheet: its lines to cut by, and the old edges as marks."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from gasketcut.cutting.path.stroke import MARK, Stroke, strokes_of
from gasketcut.evaluation.plates import SNUG, Plate
from gasketcut.length import Units, both
from gasketcut.output.dxf import Version, write_strokes
from gasketcut.output.proof.dxf import prove_path
from gasketcut.shape.loop import Outline


def grind_dxf(plate: Plate, version: Version, units: Units) -> bytes:
    """The bytes; raise `ReadBackError` if a line does not lie where it should."""
    strokes = _strokes(plate)
    left, low, right, high = plate.outline.bounds
    comments = [
        f"template to grind by: {plate.part}" + (f", {plate.face}" if plate.face else ""),
        f"units: {units}",
        f"{MARK}: the old edge, not to be cut; holes: the studs' size + {both(SNUG)}",
    ]
    data = write_strokes(strokes, (left, low, right, high), comments, version, "polyline", units)
    lines = [(one.layer, np.array(one.flattened()) - (left, low)) for one in strokes]
    prove_path(data, lines, plate.part, units)
    return data


def _strokes(plate: Plate) -> tuple[Stroke, ...]:
    old = [replace(strokes_of(Outline(one, (), 0.0))[0], layer=MARK) for one in plate.old_edges]
    return (*old, *strokes_of(plate.outline))
