"""How a part is put together: an outline, what is cut through it, and the metal it must clear."""

from __future__ import annotations

from dataclasses import replace

from shapely.geometry import Polygon

from gasketcut.errors import ShapeError
from gasketcut.parts.holes import Holes
from gasketcut.parts.part import FlangeOpening, Hole, HoleRole, Part, Stud
from gasketcut.parts.part_spec import Around, PartSpec
from gasketcut.parts.rules import Inside
from gasketcut.parts.words import Drawings, Placed, Slot
from gasketcut.shape import outlines
from gasketcut.shape.arcs import KnownArcs, merged
from gasketcut.shape.loop import Circle


def gasket(spec: PartSpec, around: Around) -> Part:
    """The part of the specification; raise `ShapeError` if no single sheet comes out of it."""
    if spec.outline is None:
        raise ShapeError("has no outline")
    cuts = tuple(spec.cuts(around))
    own = tuple(pattern for pattern in (*spec.studs, *spec.dowels) if pattern.face is None)
    openings = tuple(_cut_polygon(placed, grow, around.drawings) for placed, grow in cuts)
    inside = Inside(openings, cuts, *_bolts(spec), around.drawings)
    outer = spec.outline.outer(inside)
    holes = [Circle(place, diameter / 2) for place, diameter in inside.holes]
    known = merged(
        [*(placed.known(grow) for placed, grow in cuts), KnownArcs(tuple(holes)), spec.outline.known_edges(inside)]
    )
    slots = [placed.polygon() for placed in _slots((*own, *spec.holes))]
    not_round = [opening for opening, (placed, _) in zip(openings, cuts, strict=True) if placed.circle() is None]
    part = bare(spec, around, outer, known)
    return assembled(
        replace(
            part,
            holes=(*_holes(own, "stud"), *_holes(spec.holes, "hole"), *_round_openings(cuts)),
            studs=studs_of(own),
            unmeasured=tuple(f"{window.role} '{window.name}'" for window in spec.unmeasured),
            flange_openings=tuple(
                FlangeOpening(window.name, window.role, window.placed.polygon(around.drawings), window.face)
                for window in spec.flange_windows()
            ),
        ),
        [*not_round, *slots],
    )


def bare(spec: PartSpec, around: Around, outer: Polygon, known: KnownArcs = KnownArcs()) -> Part:
    """The sheet with nothing cut out of it."""
    return Part(
        name=spec.name,
        kind=spec.kind,
        outer=outer,
        solid=outer,
        round_holes=(),
        holes=(),
        known=known,
        stock=around.stock,
        count=spec.count,
        face_up=spec.face_up,
        landmark=spec.landmark,
    )


def copied(spec: PartSpec, around: Around) -> Part:
    """Everything of the part that this one is made after."""
    original = around.built[spec.of or ""]
    return replace(
        original,
        name=spec.name,
        kind=spec.kind,
        stock=around.stock,
        count=spec.count,
        face_up=spec.face_up or original.face_up,
        landmark=spec.landmark or original.landmark,
    )


def closed_copy(spec: PartSpec, around: Around) -> Part:
    """Outline and bolt holes of the part that this one is made after, and no way for gas."""
    part = copied(spec, around)
    kept = tuple(hole for hole in part.holes if hole.role != "opening")
    return assembled(replace(part, holes=kept, flange_openings=(), unmeasured=(), nick=None), [])


def assembled(part: Part, openings: list[Polygon]) -> Part:
    """Cut holes and openings out of the outline.

    A round hole that touches neither the edge nor anything else stays a circle; the rest is cut as one polygon.
    """
    discs = [outlines.disc(hole.center, hole.diameter) for hole in part.holes]
    alone = [
        number
        for number, disc in enumerate(discs)
        if disc.within(part.outer)
        and not disc.touches(part.outer.exterior)
        and not any(disc.intersects(other) for at, other in enumerate(discs) if at != number)
        and not any(disc.intersects(opening) for opening in openings)
    ]
    solid = part.outer.difference(outlines.union([*discs, *openings]))
    left = outlines.pieces(solid)
    if len(left) != 1:
        what = "nothing of the sheet is left" if not left else f"the sheet falls into {len(left)} pieces"
        raise ShapeError(f"{what} after its holes and openings are cut; is an opening larger than the part?")
    round_holes = tuple(part.holes[number] for number in alone)
    return replace(part, solid=left[0], openings=tuple(openings), round_holes=round_holes)


def studs_of(patterns: tuple[Holes, ...]) -> tuple[Stud, ...]:
    """Everything that locates, where its diameter is known."""
    return tuple(
        Stud(
            place,
            pattern.stud,
            pattern.diameter,
            slot=(pattern.length - pattern.diameter) / 2 if pattern.length else 0.0,
            turn=pattern.turn,
            tolerance=pattern.tolerance,
        )
        for pattern in patterns
        if pattern.stud is not None
        for place in pattern.at
    )


def _bolts(spec: PartSpec) -> tuple[tuple[tuple[tuple[float, float], float], ...], tuple[tuple[float, float], ...]]:
    """All holes of the sheet with their diameters, dowels' too; and the studs' places alone."""
    patterns = [pattern for pattern in (*spec.studs, *spec.dowels, *spec.holes) if pattern.face is None]
    holes = tuple((place, pattern.diameter) for pattern in patterns for place in pattern.at)
    studs = tuple(place for pattern in spec.studs if pattern.face is None for place in pattern.at)
    return holes, studs


def _slots(patterns: tuple[Holes, ...]) -> list[Placed]:
    return [
        Placed(Slot(pattern.length, pattern.diameter), place, pattern.turn)
        for pattern in patterns
        if pattern.length is not None
        for place in pattern.at
    ]


def _cut_polygon(placed: Placed, grow: float, drawings: Drawings) -> Polygon:
    circle = placed.circle(grow)
    if circle is not None:
        return outlines.disc(circle.center, 2 * circle.radius)
    polygon = placed.polygon(drawings)
    return outlines.grown(polygon, grow) if grow else polygon


def _round_openings(cuts: tuple[tuple[Placed, float], ...]) -> list[Hole]:
    circles = [placed.circle(grow) for placed, grow in cuts]
    return [Hole(circle.center, 2 * circle.radius, "opening", "opening") for circle in circles if circle]


def _holes(patterns: tuple[Holes, ...], role: HoleRole) -> list[Hole]:
    places = [(pattern, place) for pattern in patterns if pattern.length is None for place in pattern.at]
    return [
        Hole(place, pattern.diameter, role, f"{role} {number}", pattern.stud)
        for number, (pattern, place) in enumerate(places, 1)
    ]
