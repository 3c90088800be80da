"""What is wrong with a received drawing, where, and who can put it right.

Kind   a short word; `mend` puts the first group right by itself, leaves out the second if asked to, and never touches
       the third.
"""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.errors import DrawingError
from gasketcut.plane import Point

MENDED = {
    "bom": "the file begins with a byte order mark, at which strict readers stop",
    "line-ends": "lines end in CR alone, or group codes are not where they belong",
    "binary": "binary DXF, which many cutters cannot read",
    "comma-decimal": "numbers with a decimal comma; some readers drop what follows it",
    "encoding": "letters outside ASCII, or not in the encoding that the file declares",
    "version": "entities that the declared version does not know, or without their markers",
    "header": "begins with a section at which some readers give up",
    "far": "far from the origin, where readers lose digits",
    "layer-name": "a layer's name with characters that programs refuse",
    "undeclared-layer": "used but not declared, so some programs leave it out",
    "gap-rounding": "ends that miss each other by rounding",
    "gap": "ends that miss each other by little; joined within the tolerance",
    "unflagged": "ends where it starts but is not marked closed",
    "duplicate": "the same line twice: cut twice",
    "overlap": "lines that partly lie on each other",
    "zero-length": "no length",
    "sliver": "an open line shorter than the gap that is joined",
    "repeated-point": "the same vertex twice in a row",
    "bad-radius": "a circle or arc without a positive radius",
    "circle-as-lines": "a circle as many short lines",
    "curve-as-lines": "a curve as many short lines, at each of which a cutter slows down",
    "spline": "a spline, which many cutters cannot follow",
    "ellipse": "an ellipse, which many cutters cannot follow",
    "block": "a block reference; a cutter may place it otherwise or not at all",
    "mirrored": "drawn from below (extrusion 0, 0, -1); readers disagree about it",
    "off-plane": "all of it above or below the plane z = 0",
    "wide": "a line with a width; only its middle is cut",
    "paper-space": "on a layout page, not in the drawing",
}
DROPPED = {
    "text": "would be cut as letters, or lost",
    "dimensions": "dimensions and leaders among the cut lines",
    "hatch": "a filling, which is not cut",
    "point": "a point: a centre mark, or nothing",
    "hidden": "on a layer that is off, frozen or not printed, or marked invisible: would it be cut?",
    "region": "an area, solid or surface: it may be the part, and has no lines to cut along",
    "stray": "nothing that has a line to cut along",
}
ASKED = {
    "no-unit": "no unit is declared",
    "unit-conflict": "two declarations of the unit contradict each other",
    "unit-doubt": "the declared unit makes an unlikely size",
    "open": "a line that does not close",
    "branch": "more than two lines meet in a point",
    "crossing": "two lines cross",
    "self-crossing": "a line crosses itself",
    "touching": "two contours touch",
    "levels": "drawn at several heights, which may be several things",
    "tilted": "lies in a tilted plane",
    "bad-number": "a coordinate that is no number",
    "damaged": "the file is damaged here",
    "truncated": "the end of the file is missing",
    "crowded": "too many lines to take them apart",
    "unsafe": "put right, it would have another fault",
    "empty": "nothing to cut",
}
KINDS = MENDED | DROPPED | ASKED


@dataclass(frozen=True, slots=True)
class Flaw:
    """One fault; `at` in the file's own coordinates, None if it has no place."""

    kind: str
    at: Point | None
    text: str
    fix: str


class NotReadableError(DrawingError):
    """Nothing that can be read as DXF; `kind` is `not-dxf`."""
