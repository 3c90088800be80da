"""A received drawing put right where that is safe: every change is reported, nothing is guessed.

Refused is what a person has to decide: open contours, crossings, doubtful units, letters that would be cut, unless the
user says that they may be left out.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from gasketcut.outside import Source
from gasketcut.received.arcs.smooth import Smooth
from gasketcut.received.faults.contour_search import Open
from gasketcut.received.faults.flaw import MENDED, Flaw
from gasketcut.received.faults.layer_names import plain_names
from gasketcut.received.inspection import Inspection, inspect
from gasketcut.received.settings import FIT, JOIN
from gasketcut.shape.loop import Circle, Contour, place_of

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
    "curve-as-lines": "lines made arcs",
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
    found = inspect(source, units, join, fit, drop)
    changes = [Change(flaw.kind, flaw.at, f"{_DONE[flaw.kind]}: {flaw.text}")
               for flaw in found.flaws if flaw.kind in MENDED]  # fmt: skip
    pairs = list(zip(found.closed, found.smooth, strict=True))
    changes += [_fitted(smooth, found) for one, smooth in pairs if one.curve]
    changes += [Change(one.word, one.at, f"left out: {one.text}") for one in found.dropped]
    if found.unit.factor != 1.0:
        changes.append(Change("unit", None, f"{found.unit.likely} made mm"))
    elif found.unit.declared != "mm" or found.unit.measurement == "in":
        changes.append(Change("unit", None, "declared as mm"))
    names = plain_names([*(one.layer for one in found.closed), *(one.layer for one in found.open)])
    closed = [(smooth.contour, names[one.layer]) for one, smooth in pairs]
    marks = tuple(Open(one.segments, names[one.layer], one.is_mark) for one in found.open)
    return Mended(found, tuple(closed), marks, tuple(changes), found.undecided)


def _fitted(smooth: Smooth, found: Inspection) -> Change:
    """What became of a contour with curves in it."""
    contour = smooth.contour
    if isinstance(contour, Circle):
        made = f"a circle of {2 * contour.radius:.4g} mm"
    else:
        arcs = sum(bool(bulge) for bulge in contour.bulges)
        made = f"{arcs} arcs and {len(contour.bulges) - arcs} lines"
    text = f"written as {made}, at most {smooth.off:.2g} mm off its curves"
    return Change("fit", found.plane.back(place_of(contour)), text)
