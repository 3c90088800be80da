"""The muffler outlet: openings of a wanted area, as a plate to cut or as a template to drill and file by."""

from __future__ import annotations

from dataclasses import replace
from math import cos, dist, floor, pi, radians, sin, sqrt

from shapely.geometry import Polygon

from gasketcut.errors import ShapeError
from gasketcut.job.model import Engine, OutletRule, PartSpec, PortTiming, Stock
from gasketcut.parts.assembly import assemble, build_gasket
from gasketcut.parts.part import Hole, Part
from gasketcut.parts.shapes import Oval, Placed, Rectangle, Round, Shape, Slot
from gasketcut.parts.words import Drawings, polygon_of
from gasketcut.plane import Point
from gasketcut.shape import outlines
from gasketcut.shape.arcs import KnownArcs
from gasketcut.tolerances import CHORD

TEMPLATE_MARGIN = 15.0
"""Sheet round the openings of a template, so that there is something to hold and tape down. Our choice."""

DRILL_LAND = 0.4
"""Metal left between the chain of drill holes and the line to file to [mm]. Our choice."""

DRILL_WEB = 0.5
"""Metal left between two holes of the chain [mm]: thin enough to snap. Our choice."""

CROSS = 1.5
"""Half the arm of a centre mark [mm]."""


def port_area(port: PortTiming) -> float:
    """Area of the port window [mm2]: as given, else width x height less its rounded corners."""
    if port.area_mm2 is not None:
        return port.area_mm2
    if port.width is None or port.height is None:
        raise ShapeError(f"port '{port.name}' has no area; add width and height, or area_mm2")
    return port.width * port.height - (4 - pi) * port.corner**2


def outlet_shape(rule: OutletRule, engine: Engine | None) -> Shape:
    """The shape of one opening.

    Sized by percent, `count` equal openings together have that share of the exhaust port's area; round ones measure
    d = sqrt(4 k A / (pi n)). Checked against a posted case: a port of 203.83 mm2, 80 % = 14.41 mm.
    """
    if rule.shape is not None:
        return rule.shape
    port = engine.port("exhaust") if engine else None
    if rule.percent is None or port is None:
        raise ShapeError("has neither a size nor an exhaust port to take a share of")
    area = port_area(port) * rule.percent / 100 / rule.count
    if rule.form == "round":
        return Round(sqrt(4 * area / pi))
    if rule.form == "oval":  # area = pi/4 a b with a = ratio b
        width = sqrt(4 * area / (pi * rule.ratio))
        return Oval(width * rule.ratio, width)
    width = sqrt(area / (rule.ratio - 1 + pi / 4))  # slot: (a - b) b + pi/4 b2
    return Slot(width * rule.ratio, width)


def build_outlet(spec: PartSpec, stock: Stock | None, engine: Engine | None, drawings: Drawings) -> Part:
    """Plate or template; raise `ShapeError` if the openings do not fit."""
    if spec.outlet is None:
        raise ShapeError("has no outlet")
    shape = outlet_shape(spec.outlet, engine)
    places = _places(spec.outlet)
    openings = [Placed(shape, place) for place in places]
    polygons = [polygon_of(opening, drawings) for opening in openings]
    if spec.outline is None:
        outer = outlines.hull(polygons, TEMPLATE_MARGIN)
        part = _bare(spec, stock, outer)
    else:
        part = build_gasket(replace(spec, opening=None), stock, drawings)
    known = replace(part.known, radii=(*part.known.radii, TEMPLATE_MARGIN))
    if isinstance(shape, Round):
        holes = tuple(Hole(place, shape.diameter, "opening", "outlet") for place in places)
        part = assemble(replace(part, holes=(*part.holes, *holes), known=known), [])
    else:
        part = assemble(replace(part, known=known), polygons)
    if not spec.template:
        return part
    centres = [centre for polygon in polygons for centre in chain_drilling(polygon, spec.drill)]
    return replace(part, marks=tuple(line for centre in centres for line in _cross(centre)), drill=spec.drill)


def build_screen(spec: PartSpec, plate: Part, stock: Stock | None) -> Part:
    """The blank of a screen that lies between the outlet plate and its frame: all openings, and `lap` round them.

    Raise `ShapeError` where it would lie under the plate's bolts.
    """
    outer = outlines.hull(_gas(plate), spec.lap)
    under = [hole for hole in plate.holes if hole.role != "opening" and outlines.disc(hole.center, hole.diameter)
             .intersects(outer)]  # fmt: skip
    if under:
        x, y = under[0].center
        raise ShapeError(f"reaches under the bolt at ({x:g}, {y:g}); take less lap, or move the bolts out")
    return replace(_bare(spec, stock, outer), known=KnownArcs((), (spec.lap,)))


def build_deflector(spec: PartSpec, plate: Part, stock: Stock | None) -> Part:
    """A flat blank to bend: a foot that is bolted on, a bend line (marked), and `reach` over the openings beyond it.

    It is as wide as the openings with `lap` on either side; the bend lies on the x axis. Its holes are its own.
    """
    left, _, right, _ = outlines.union(_gas(plate)).bounds
    half = round((right - left) / 2 + spec.lap, 3)  # chords of a round opening fall short by less
    corner = min(2.0, half / 2, spec.foot / 2, spec.reach / 2)
    blank = Placed(Rectangle(2 * half, spec.foot + spec.reach, corner), (0.0, (spec.reach - spec.foot) / 2))
    part = build_gasket(replace(spec, outline=blank, opening=None), stock, {})
    return replace(part, marks=(*part.marks, ((-half + 1.0, 0.0), (half - 1.0, 0.0))))


def _gas(plate: Part) -> list[Polygon]:
    """What the gas passes: round openings and others."""
    rounds = [outlines.disc(hole.center, hole.diameter) for hole in plate.holes if hole.role == "opening"]
    found = [*rounds, *plate.openings]
    if not found:
        raise ShapeError(f"{plate.name} has no opening; it belongs to a part of kind outlet")
    return found


def chain_drilling(opening: Polygon, drill: float) -> list[Point]:
    """Centres of the drill holes that free an opening; its middle alone if the drill is nearly as large as it.

    The centres lie drill/2 + DRILL_LAND inside the line, at least drill + DRILL_WEB apart along it (common practice;
    the two allowances are our choice).
    """
    paths = outlines.shrunk_pieces(opening, drill / 2 + DRILL_LAND)
    if not paths:
        if not outlines.shrunk_pieces(opening, drill / 2 - CHORD):
            raise ShapeError(f"a drill of {drill:g} mm is larger than the opening")
        return [(opening.centroid.x, opening.centroid.y)]
    centres: list[Point] = []
    for path in paths:
        line = path.exterior
        count = max(1, floor(line.length / (drill + DRILL_WEB)))
        for step in range(count):
            at = line.interpolate(step / count, normalized=True)
            # Where the line comes back beside itself, in a narrow slot, one row of holes does for both sides.
            if all(dist((at.x, at.y), other) >= drill for other in centres):
                centres.append((at.x, at.y))
    return centres if len(centres) > 1 else [(opening.centroid.x, opening.centroid.y)]


def _bare(spec: PartSpec, stock: Stock | None, outer: Polygon) -> Part:
    return Part(
        name=spec.name,
        kind=spec.kind,
        outer=outer,
        solid=outer,
        round_holes=(),
        holes=(),
        stock=stock,
        count=spec.count,
        face_up=spec.face_up,
        landmark=spec.landmark,
    )


def _places(rule: OutletRule) -> list[Point]:
    if rule.count == 1 or rule.circle is None:
        return [(0.0, 0.0)]
    turns = [radians(90 + 360 * number / rule.count) for number in range(rule.count)]
    return [(rule.circle / 2 * cos(turn), rule.circle / 2 * sin(turn)) for turn in turns]


def _cross(at: Point) -> list[tuple[Point, Point]]:
    x, y = at
    return [((x - CROSS, y), (x + CROSS, y)), ((x, y - CROSS), (x, y + CROSS))]
