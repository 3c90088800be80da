"""What is drawn and has no line to cut along: words, dimensions, fillings, points, solids.

NotCut   one such thing, with its corners: what groups of lines are recognised by.
"""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.plane import Point
from gasketcut.received.faults.flaw import DROPPED
from gasketcut.received.reading.numbers import EntityNumbers
from gasketcut.received.reading.plane import Plane

KINDS = {
    "TEXT": "text", "MTEXT": "text", "ATTDEF": "text", "ATTRIB": "text", "DIMENSION": "dimensions",
    "LEADER": "dimensions", "MULTILEADER": "dimensions", "TOLERANCE": "dimensions", "HATCH": "hatch", "SOLID": "hatch",
    "TRACE": "hatch", "MPOLYGON": "hatch", "POINT": "point", "REGION": "region", "3DSOLID": "region", "BODY": "region",
    "SURFACE": "region", "PLANESURFACE": "region", "EXTRUDEDSURFACE": "region", "LOFTEDSURFACE": "region",
    "REVOLVEDSURFACE": "region", "SWEPTSURFACE": "region", "NURBSURFACE": "region", "MESH": "region",
    "3DFACE": "region", "MLINE": "region", "ACAD_PROXY_ENTITY": "region",
}  # fmt: skip
"""Type of an entity, and the fault that it is among cut lines; whatever else there may be is a `stray`."""

_CORNERS = (10, 11, 12, 13)  # of SOLID and TRACE, DXF reference
_MOST = 200


@dataclass(frozen=True, slots=True)
class NotCut:
    """`points` are its corners or the place it is put at [mm]; `words` what it says; `number` counts what is drawn."""

    kind: str
    type: str
    layer: str
    linetype: str
    number: int
    points: tuple[Point, ...]
    words: str = ""


def not_cut_of(type_: str, numbers: EntityNumbers, plane: Plane, layer: str, linetype: str, number: int) -> NotCut:
    """Raise ValueError for coordinates that are no numbers."""
    kind = KINDS.get(type_, "stray")
    if type_ in ("SOLID", "TRACE"):
        places = [numbers.xy(code) for code in _CORNERS if numbers.text(code) is not None]
    elif type_ == "HATCH":
        # The first is its height above the plane; then come the corners of its edge, source: DXF reference.
        places = list(zip(numbers.every(10), numbers.every(20), strict=False))[1:_MOST]
    else:
        places = [numbers.xy(10)] if numbers.text(10) is not None else []
    words = (numbers.text(1) or "") if kind == "text" else ""
    return NotCut(kind, type_, layer, linetype, number, tuple(plane(*place) for place in places), words)


def fault_of(other: NotCut) -> tuple[str, str]:
    """What is said of it, and what can be done."""
    leave = f"--drop {other.kind} leaves it out"
    if other.kind == "region":
        text = f"{other.type} on layer {other.layer}, which may be the part: its outline is not in the file as lines"
        return text, f"ask for it taken apart (exploded) or exported as lines; if it is not the part, {leave}"
    return f"{other.type} on layer {other.layer}: {DROPPED[other.kind]}", leave
