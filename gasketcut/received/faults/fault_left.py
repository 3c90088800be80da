"""Whether a drawing that is put right has no fault left: looked through before anybody is promised that it can be."""

from __future__ import annotations

from collections.abc import Sequence

from gasketcut.received.arcs.smooth import Smooth, smoothed
from gasketcut.received.faults.contour_search import Closed, Open, find_contours
from gasketcut.received.faults.flaw import Flaw
from gasketcut.received.reading.drawn_lines import DrawnLine
from gasketcut.received.reading.plane import Plane
from gasketcut.received.settings import JOIN
from gasketcut.shape.loop import Circle, Contour, place_of
from gasketcut.tolerances import GRID

_FIX = "draw it anew here"


def fault_left(
    closed: Sequence[Closed], smooth: Sequence[Smooth], marks: Sequence[Open], plane: Plane, fit: float
) -> Flaw | None:
    """The first fault that the mended drawing would have, None if it has none; `plane` for its place."""
    nothing = next((one.contour for one in smooth if one.contour.length <= 10 * GRID), None)
    if nothing is not None:
        return Flaw("unsafe", plane.back(place_of(nothing)), "a contour without size would be left", _FIX)
    lines = [_drawn(one.contour, was.layer) for one, was in zip(smooth, closed, strict=True)]
    lines += [DrawnLine("LINE", mark.layer, mark.segments) for mark in marks]
    found = find_contours(lines, Plane(), JOIN)
    again = smoothed(found.closed, Plane(), fit)
    flaw = next(iter((*found.flaws, *again.flaws)), None)
    if flaw is None and len(found.closed) == len(closed):
        return None
    at = plane.back(flaw.at) if flaw and flaw.at else None
    text = f"put right, it would have another fault: {flaw.text}" if flaw else "put right, it would be another drawing"
    return Flaw("unsafe", at, text, _FIX)


def _drawn(contour: Contour, layer: str) -> DrawnLine:
    if isinstance(contour, Circle):
        return DrawnLine("CIRCLE", layer, tuple(contour.halves().segments()), closed=True, circle=contour)
    return DrawnLine("LWPOLYLINE", layer, tuple(contour.segments()), closed=True)
