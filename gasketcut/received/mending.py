"""A received drawing put right where that is safe: every change is reported, nothing is guessed.

Refused is what a person has to decide: open contours, crossings, doubtful units, letters that would be cut, unless the
user says that they may be left out.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from math import ceil

from shapely.geometry import Polygon

from gasketcut.outside import Source
from gasketcut.received.arcs.rounds import as_circle
from gasketcut.received.faults.contour_search import Closed, Open
from gasketcut.received.faults.flaw import ASKED, DROPPED, MENDED, Flaw
from gasketcut.received.inspection import JOIN, Inspection, inspect
from gasketcut.received.layer_names import plain_names
from gasketcut.received.reading.chains import EXACT
from gasketcut.shape.arcs import KnownArcs, trace
from gasketcut.shape.loop import Circle, Contour, Loop

FIT = 0.02
"""How far an arc or circle may lie off what it replaces, unless the user says otherwise [mm]. Ours."""

_DONE = {
    "bom": "byte order mark left out",
    "line-ends": "lines end in CR LF",
    "binary": "written as text",
    "comma-decimal": "decimal commas made points",
    "encoding": "letters outside ASCII in layer names replaced",
    "version": "written as R2000",
    "header": "written with a header",
    "far": "moved to the origin",
    "layer-name": "layer renamed",
    "undeclared-layer": "layer declared",
    "gap-rounding": "ends joined that missed each other by rounding",
    "gap": "gap closed",
    "unflagged": "polyline marked closed",
    "duplicate": "one of two equal lines dropped",
    "overlap": "lines on each other made one",
    "zero-length": "line without length dropped",
    "sliver": "sliver dropped",
    "repeated-point": "repeated vertex dropped",
    "bad-radius": "circle without a radius dropped",
    "circle-as-lines": "lines made a circle",
    "spline": "spline made arcs and lines",
    "ellipse": "ellipse made arcs and lines",
    "block": "block taken apart",
    "mirrored": "drawn from above instead of from below",
    "off-plane": "laid in the plane z = 0",
    "wide": "width taken away; the middle stays",
    "paper-space": "left out what lies on layout pages",
}


@dataclass(frozen=True, slots=True)
class Change:
    """What was done, and where in the file's own coordinates."""

    kind: str
    at: tuple[float, float] | None
    text: str


@dataclass(frozen=True, slots=True)
class Mended:
    """Contours and marks with their layers [mm], the changes, and what stands in the way (then nothing is written)."""

    inspection: Inspection
    closed: tuple[tuple[Contour, str], ...]
    open: tuple[Open, ...]
    changes: tuple[Change, ...]
    refused: tuple[Flaw, ...]


def mend(
    source: Source, units: str | None = None, join: float = JOIN, fit: float = FIT, drop: Collection[str] = ()
) -> Mended:
    """Put a DXF file right where that is safe.

    Raise `NotReadableError` if it is no DXF at all, `GasketError` if it cannot be read.

    source : the path of a file, or its bytes
    units  : what the numbers are, where the file does not say or is not to be believed
    join   : greatest gap to close [mm]
    fit    : how far arcs and circles may lie off what they replace [mm]
    drop   : what may be left out, as in `--drop`: `text`, `dimensions`, `layer=DIM`
    """
    found = inspect(source, units, join, drop)
    refused = [flaw for flaw in found.flaws if flaw.kind in ASKED or flaw.kind in DROPPED]
    changes = [Change(flaw.kind, flaw.at, f"{_DONE[flaw.kind]}: {flaw.text}")
               for flaw in found.flaws if flaw.kind in MENDED]  # fmt: skip
    changes += [Change(one.word, one.at, f"left out: {one.text}") for one in found.dropped]
    if found.unit.factor != 1.0:
        changes.append(Change("unit", None, f"{found.unit.likely} made mm"))
    elif found.unit.declared != "mm" or found.unit.measurement == "in":
        changes.append(Change("unit", None, "declared as mm"))
    known = _known(found)
    names = plain_names([*(one.layer for one in found.closed), *(one.layer for one in found.open)])
    closed = []
    for one in found.closed:
        contour, off = _mended(one, known, fit)
        if contour is None:
            place = found.plane.back(_place(one.contour))
            text = f"as arcs it would be {off:.3g} mm off"
            refused.append(Flaw("circle-as-lines", place, text, f"allow it: --fit {ceil(off * 1000) / 1000:g}"))
        else:
            closed.append((contour, names[one.layer]))
    marks = tuple(Open(one.segments, names[one.layer], one.is_mark) for one in found.open)
    return Mended(
        found,
        tuple(closed),
        marks,
        tuple(changes),
        tuple(refused),
    )


def _mended(one: Closed, known: KnownArcs, fit: float) -> tuple[Contour | None, float]:
    """The contour as lines, arcs and circles; None if they cannot stay within `fit`."""
    if isinstance(one.contour, Circle):
        return one.contour, 0.0
    if one.curve:
        ring = one.contour.flattened(min(fit / 8, 0.002))
        if not Polygon(ring).is_valid:  # reported as crossing itself; nothing to trace
            return one.contour, 0.0
        return trace(ring, known, fit)
    circle = as_circle(one.contour)
    if circle is None:
        return _rejoined(one.contour), 0.0
    return (circle[0], circle[1]) if circle[1] <= fit else (None, circle[1])


def _rejoined(loop: Loop) -> Loop:
    """Without edges that joining has made zero length."""
    kept = [
        (segment.start, segment.bulge)
        for segment in loop.segments()
        if segment.chord > EXACT or abs(segment.bulge) > 0.5
    ]
    return Loop(tuple(point for point, _ in kept), tuple(bulge for _, bulge in kept)) if len(kept) > 1 else loop


def _known(found: Inspection) -> KnownArcs:
    """Circles that the drawing has as such: what a spline runs along is snapped to them."""
    return KnownArcs(tuple(one.contour for one in found.closed if isinstance(one.contour, Circle))[:50], ())


def _place(contour: Contour) -> tuple[float, float]:
    return contour.center if isinstance(contour, Circle) else contour.points[0]
