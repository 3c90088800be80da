"""Gaskets, spacers and flat flanges: an outline, what is cut through it, and the metal it must clear."""

from __future__ import annotations

from dataclasses import replace
from typing import TypeVar

from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from gasketcut.errors import ShapeError
from gasketcut.job.model import Holes, PartSpec, Stock
from gasketcut.parts.part import FlangeOpening, Hole, HoleRole, Part, Stud
from gasketcut.parts.shapes import Grow, Hull, Lobes, Placed, Slot
from gasketcut.parts.words import Drawings, circle_of, known_of, merged, polygon_of
from gasketcut.shape import outlines
from gasketcut.shape.arcs import KnownArcs
from gasketcut.shape.loop import Circle

G = TypeVar("G", bound=BaseGeometry)


def build_gasket(spec: PartSpec, stock: Stock | None, drawings: Drawings) -> Part:
    """The part of the specification; raise `ShapeError` if no single sheet comes out of it."""
    cuts = _cuts(spec)
    own = tuple(pattern for pattern in (*spec.studs, *spec.dowels) if pattern.face is None)
    slots = _slots((*own, *spec.holes))
    holes = (*_holes(own, "stud"), *_holes(spec.holes, "hole"), *_round_openings(cuts))
    openings = [_cut_polygon(placed, grow, drawings) for placed, grow in cuts]
    outer = _outer(spec, openings, drawings)
    return assemble(
        Part(
            name=spec.name,
            kind=spec.kind,
            outer=outer,
            solid=outer,
            round_holes=(),
            holes=holes,
            studs=studs_of(own),
            flange_openings=tuple(
                FlangeOpening(window.name, window.role, polygon_of(window.placed, drawings), window.face)
                for window in spec.windows
            ),
            known=_known(spec, cuts),
            stock=stock,
            count=spec.count,
            face_up=spec.face_up,
            landmark=spec.landmark,
        ),
        [
            *(opening for opening, (placed, _) in zip(openings, cuts, strict=True) if circle_of(placed) is None),
            *(polygon_of(slot, drawings) for slot in slots),
        ],
    )


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


def _slots(patterns: tuple[Holes, ...]) -> list[Placed]:
    return [
        Placed(Slot(pattern.length, pattern.diameter), place, pattern.turn)
        for pattern in patterns
        if pattern.length is not None
        for place in pattern.at
    ]


def build_copy(spec: PartSpec, original: Part, stock: Stock | None) -> Part:
    """A spacer or a screen's frame (everything of the original) or a blank (no way for gas)."""
    part = replace(
        original,
        name=spec.name,
        kind=spec.kind,
        stock=stock,
        count=spec.count,
        face_up=spec.face_up or original.face_up,
        landmark=spec.landmark or original.landmark,
    )
    if spec.kind in ("spacer", "frame"):
        return part
    kept = tuple(hole for hole in original.holes if hole.role != "opening")
    return assemble(replace(part, holes=kept, flange_openings=(), nick=None), [])


def assemble(part: Part, openings: list[Polygon]) -> Part:
    """Cut holes and openings out of the outline.

    A round hole that touches neither the edge nor anything else stays a circle; the rest is cut as one polygon.
    """
    discs = [outlines.disc(hole.center, hole.diameter) for hole in part.holes]
    clean = [
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
    return replace(
        part, solid=left[0], openings=tuple(openings), round_holes=tuple(part.holes[number] for number in clean)
    )


def _cuts(spec: PartSpec) -> list[tuple[Placed, float]]:
    """Every opening with how much larger than given it is cut. A blank has none: nothing may pass it."""
    if spec.kind == "blank":
        return []
    cuts = [(spec.opening, 0.0)] if spec.opening else []
    for window in spec.windows:
        if isinstance(window.cut, Placed):
            cuts.append((window.cut, 0.0))
        elif window.cut:
            cuts.append((window.placed, spec.set_back))
    return cuts


def _cut_polygon(placed: Placed, grow: float, drawings: Drawings) -> Polygon:
    circle = circle_of(placed, grow)
    if circle is not None:
        return outlines.disc(circle.center, 2 * circle.radius)
    polygon = polygon_of(placed, drawings)
    return outlines.grown(polygon, grow) if grow else polygon


def _round_openings(cuts: list[tuple[Placed, float]]) -> list[Hole]:
    circles = [circle_of(placed, grow) for placed, grow in cuts]
    return [Hole(circle.center, 2 * circle.radius, "opening", "opening") for circle in circles if circle]


def _holes(patterns: tuple[Holes, ...], role: HoleRole) -> list[Hole]:
    places = [(pattern, place) for pattern in patterns if pattern.length is None for place in pattern.at]
    return [
        Hole(place, pattern.diameter, role, f"{role} {number}", pattern.stud)
        for number, (pattern, place) in enumerate(places, 1)
    ]


def _outer(spec: PartSpec, openings: list[Polygon], drawings: Drawings) -> Polygon:
    patterns = [pattern for pattern in (*spec.studs, *spec.dowels, *spec.holes) if pattern.face is None]
    bolts = [(place, pattern) for pattern in patterns for place in pattern.at]
    match spec.outline:
        case Placed() as shape:
            return polygon_of(shape, drawings)
        case Hull(margin):
            discs = [outlines.disc(place, pattern.diameter) for place, pattern in bolts]
            return outlines.hull(_something([*discs, *openings], "hull"), margin)
        case Grow(margin, of):
            inside = [polygon_of(of, drawings)] if of else _something(openings, "grow")
            joined = outlines.union(outlines.grown(shape, margin) for shape in inside)
            return outlines.one_piece(joined, f"the openings lie too far apart: grown by {margin:g} mm")
        case Lobes(lobe, ring, fillet):
            studs = [place for pattern in spec.studs if pattern.face is None for place in pattern.at] or [
                place for place, _ in bolts
            ]
            shapes: list[BaseGeometry] = [outlines.disc(place, 2 * lobe) for place in studs]
            shapes += [outlines.grown(opening, ring) for opening in openings]
            filled = outlines.filled_corners(outlines.union(_something(shapes, "lobes")), fillet)
            return Polygon(
                outlines.one_piece(filled, f"lobes and ring do not meet: with a fillet of {fillet:g} mm").exterior
            )
        case None:
            raise ShapeError("has no outline")


def _something(shapes: list[G], word: str) -> list[G]:
    if not shapes:
        raise ShapeError(f"'{word}' follows openings and holes, and the part has none; give the outline a shape")
    return shapes


def _known(spec: PartSpec, cuts: list[tuple[Placed, float]]) -> KnownArcs:
    """The circles and radii that the finished edges can lie on."""
    found = [known_of(placed, grow) for placed, grow in cuts]
    holes = [(place, pattern.diameter / 2) for pattern in (*spec.studs, *spec.holes) for place in pattern.at]
    found.append(KnownArcs(tuple(Circle(place, radius) for place, radius in holes)))
    match spec.outline:
        case Placed() as shape:
            found.append(known_of(shape))
        case Hull(margin):
            found += [known_of(placed, grow + margin) for placed, grow in cuts]
            found.append(KnownArcs(tuple(Circle(place, radius + margin) for place, radius in holes), (margin,)))
        case Grow(margin, of):
            found += [known_of(placed, grow + margin) for placed, grow in ([(of, 0.0)] if of else cuts)]
        case Lobes(lobe, ring, fillet):
            found += [known_of(placed, grow + ring) for placed, grow in cuts]
            lobes = tuple(Circle(place, lobe) for place, _ in holes)
            found.append(KnownArcs(lobes, (fillet, ring)))
        case None:
            pass
    return merged(found)
