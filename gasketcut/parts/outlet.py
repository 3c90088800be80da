"""What belongs to a muffler outlet: drill marks, the blank of its screen and of its deflector."""

from __future__ import annotations

from dataclasses import replace
from math import dist, floor

from shapely.geometry import Polygon

from gasketcut.errors import ShapeError
from gasketcut.parts.assembly import bare, gasket
from gasketcut.parts.part import Mark, Part
from gasketcut.parts.part_spec import Around, PartSpec
from gasketcut.parts.words import Placed, Rectangle
from gasketcut.plane import Point
from gasketcut.shape import outlines
from gasketcut.shape.arcs import KnownArcs
from gasketcut.shape.loop import Segment
from gasketcut.tolerances import CHORD

DRILL_LAND = 0.4
"""Metal left between the chain of drill holes and the line to file to [mm]. Our choice."""

DRILL_WEB = 0.5
"""Metal left between two holes of the chain [mm]: thin enough to snap. Our choice."""

CROSS = 1.5
"""Half the arm of a centre mark [mm]."""

BEND_CORNER = 2.0
"""mm; corner radius of a deflector's blank, less where it is small. Our choice."""


def with_drill_marks(part: Part, drill: float) -> Part:
    """A template: the chain of drill holes that frees each opening is marked."""
    centres = [centre for opening in way_of_gas(part) for centre in chain_drilling(opening, drill)]
    return replace(part, marks=tuple(line for centre in centres for line in _cross(centre)), drill=drill)


def screen_blank(spec: PartSpec, lap: float, around: Around) -> Part:
    """The blank of a screen that lies between the outlet plate and its frame: all openings, and `lap` round them.

    Raise `ShapeError` where it would lie under the plate's bolts.
    """
    plate = around.built[spec.of or ""]
    outer = outlines.hull(way_of_gas(plate), lap)
    under = [hole for hole in plate.holes if hole.role != "opening" and outlines.disc(hole.center, hole.diameter)
             .intersects(outer)]  # fmt: skip
    if under:
        x, y = under[0].center
        raise ShapeError(f"reaches under the bolt at ({x:g}, {y:g}); take less lap, or move the bolts out")
    return bare(spec, around, outer, KnownArcs((), (lap,)))


def deflector_blank(spec: PartSpec, sizes: tuple[float, float, float], around: Around) -> Part:
    """A flat blank to bend: a foot that is bolted on, a bend line (marked), and a reach over the openings beyond it.

    sizes : lap on either side of the openings, reach and foot [mm]

    The bend lies on the x axis. Its holes are its own.
    """
    lap, reach, foot = sizes
    left, _, right, _ = outlines.union(way_of_gas(around.built[spec.of or ""])).bounds
    half = round((right - left) / 2 + lap, 3)  # chords of a round opening fall short by less
    corner = min(BEND_CORNER, half / 2, foot / 2, reach / 2)
    blank = Placed(Rectangle(2 * half, foot + reach, corner), (0.0, (reach - foot) / 2))
    part = gasket(replace(spec, outline=blank, opening=None), around)
    return replace(part, marks=(*part.marks, _line((-half + 1.0, 0.0), (half - 1.0, 0.0))))


def way_of_gas(plate: Part) -> list[Polygon]:
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


def _cross(at: Point) -> tuple[Mark, Mark]:
    x, y = at
    return _line((x - CROSS, y), (x + CROSS, y)), _line((x, y - CROSS), (x, y + CROSS))


def _line(start: Point, end: Point) -> Mark:
    return (Segment(start, end, 0.0),)
