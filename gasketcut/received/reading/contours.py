"""The closed lines of a DXF file, as contours in mm.

Strict on purpose: it serves to prove our own files. What comes from elsewhere goes through `inspection.py`.
"""

from __future__ import annotations

import io
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from math import isfinite, radians, tan

import ezdxf
from ezdxf.entities import Arc as DxfArc
from ezdxf.entities import Circle as DxfCircle
from ezdxf.entities import DXFGraphic, Line, LWPolyline, Polyline
from ezdxf.math import arc_angle_span_deg

from gasketcut.errors import DrawingError
from gasketcut.length import IN
from gasketcut.plane import Point
from gasketcut.received.reading.chains import chained
from gasketcut.received.reading.unit import CODES, FACTORS
from gasketcut.shape.loop import Circle, Contour, Loop, Segment

_JOIN = 1e-5
"""Ends nearer than this [mm] are one point: arc ends come back from centre and angle with rounding."""


@dataclass(frozen=True, slots=True)
class LayerContour:
    """A contour and the layer it lies on."""

    contour: Contour
    layer: str


def contours_of(data: bytes, units: str | None = None) -> tuple[LayerContour, ...]:
    """All contours of the file in mm; raise `DrawingError` for anything that is not a clean closed line.

    units : "mm" or "in" where the file itself cannot say (R12), else None to go by its header
    """
    try:
        text = data.decode("utf-8", errors="surrogateescape").replace("\r\n", "\n")
        document = ezdxf.read(io.StringIO(text))
    except (ezdxf.DXFError, ValueError, KeyError, IndexError, EOFError, OSError) as error:
        raise DrawingError(f"is no DXF file that can be read ({error})") from error
    factor = _factor(text, units)
    loose: dict[str, list[Segment]] = defaultdict(list)
    found: list[LayerContour] = []
    for entity in document.modelspace():
        layer = entity.dxf.layer
        if layer == "MARK":
            continue
        match entity:
            case LWPolyline() | Polyline() if _closed(entity):
                found.append(LayerContour(_loop(_vertices(entity), factor), layer))
            case DxfArc():
                loose[layer].append(_arc(entity, factor))
            case DxfCircle():
                center = (entity.dxf.center.x * factor, entity.dxf.center.y * factor)
                found.append(LayerContour(Circle(center, entity.dxf.radius * factor), layer))
            case Line():
                start, end = entity.dxf.start, entity.dxf.end
                loose[layer].append(Segment((start.x * factor, start.y * factor), (end.x * factor, end.y * factor), 0))
            case _:
                raise DrawingError(f"holds {entity.dxftype()} on layer {layer}; only closed lines can be used")
    for layer, segments in loose.items():
        found += [LayerContour(loop, layer) for loop in _loops(segments)]
    for one in found:
        _check(one.contour)
    return tuple(found)


def line_of(entity: DXFGraphic, factor: float) -> list[Point]:
    """Points along a line, circle or polyline, open or closed, no chord more than CHORD off an arc [mm].

    Not by the library's own paths: those turn arcs into cubics, which are some um off.
    """
    match entity:
        case DxfCircle():
            center = (entity.dxf.center.x * factor, entity.dxf.center.y * factor)
            points = Circle(center, entity.dxf.radius * factor).flattened()
            return [*points, points[0]]
        case Line():
            return [(end.x * factor, end.y * factor) for end in (entity.dxf.start, entity.dxf.end)]
        case LWPolyline() | Polyline():
            places = [(x * factor, y * factor, bulge) for x, y, bulge in _vertices(entity)]
            places = [*places, places[0]] if _closed(entity) else places
            segments = [Segment((x, y), end[:2], bulge) for (x, y, bulge), end in pairwise(places)]
            return [*(point for segment in segments for point in segment.points()), places[-1][:2]]
    raise DrawingError(f"holds {entity.dxftype()}; only lines, circles and polylines were written")


def _factor(text: str, units: str | None) -> float:
    """mm per drawing unit. The raw tag is read: the library fills in metres where a file says nothing."""
    if units is not None:
        return IN if units == "in" else 1.0
    head = text[: text.find("ENDSEC")].split("\n")
    lines = [line.strip() for line in head]
    declared = int(lines[lines.index("$INSUNITS") + 2]) if "$INSUNITS" in lines else 0
    unit = CODES.get(declared, "")
    if unit not in FACTORS:
        what = "says no unit" if declared == 0 else f"says a unit ($INSUNITS {declared}) that no gasket is drawn in"
        raise DrawingError(f"{what}; save it in millimetres with $INSUNITS = 4")
    return FACTORS[unit]


def _closed(entity: DXFGraphic) -> bool:
    if isinstance(entity, LWPolyline):
        return bool(entity.closed)
    return isinstance(entity, Polyline) and entity.is_2d_polyline and entity.is_closed


def _vertices(entity: LWPolyline | Polyline) -> list[tuple[float, float, float]]:
    if isinstance(entity, LWPolyline):
        return [(x, y, bulge) for x, y, bulge in entity.get_points("xyb")]
    return [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0.0)) for v in entity.vertices]


def _loop(vertices: list[tuple[float, float, float]], factor: float) -> Loop:
    points = tuple((x * factor, y * factor) for x, y, _ in vertices)
    if len(set(points)) < 2:
        raise DrawingError("holds a line without extent")
    return Loop(points, tuple(bulge for _, _, bulge in vertices))


def _arc(entity: DxfArc, factor: float) -> Segment:
    start, end = entity.start_point, entity.end_point
    span = arc_angle_span_deg(entity.dxf.start_angle, entity.dxf.end_angle)
    return Segment((start.x * factor, start.y * factor), (end.x * factor, end.y * factor), tan(radians(span) / 4))


def _loops(segments: list[Segment]) -> list[Loop]:
    """Lines and arcs joined end to end; every end must meet exactly one other."""
    _check_numbers(number for one in segments for point in (one.start, one.end) for number in point)
    joined = chained([(segment,) for segment in segments], _JOIN)
    wrong = [("branches", one.at) for one in joined.branches] + [("is open", one.at) for one in joined.loose]
    for what, (x, y) in wrong[:1]:
        raise DrawingError(f"its line {what} at ({x:.3f}, {y:.3f}) mm")
    return [
        Loop(tuple(one.start for one in chain.segments), tuple(one.bulge for one in chain.segments))
        for chain in joined.chains
    ]


def _check(contour: Contour) -> None:
    if isinstance(contour, Loop):
        _check_numbers(number for point in contour.points for number in point)
        return
    _check_numbers((*contour.center, contour.radius))
    if contour.radius <= 0:
        raise DrawingError("holds a circle without a radius")


def _check_numbers(numbers: Iterable[float]) -> None:
    if not all(isfinite(number) for number in numbers):
        raise DrawingError("holds a coordinate that is no number")
