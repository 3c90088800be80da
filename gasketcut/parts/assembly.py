"""How a part is put together: an outline, what is cut through it, and the metal it must clear."""

from __future__ import annotations

from dataclasses import replace

from shapely.geometry import Polygon

from gasketcut.errors import ShapeError
from gasketcut.parts.drawn import Drawn
from gasketcut.parts.holes import Holes
from gasketcut.parts.part import Cut, FlangeOpening, Hole, HoleRole, Part, Stud
from gasketcut.parts.part_spec import Around, PartSpec
from gasketcut.parts.rules import Inside
from gasketcut.parts.window import Asked
from gasketcut.parts.words import Drawings, Placed, Slot
from gasketcut.plane import Point
from gasketcut.shape import outlines
from gasketcut.shape.arcs import KnownArcs, merged
from gasketcut.shape.loop import Circle


def gasket(spec: PartSpec, around: Around) -> Part:
    """The part of the specification; raise `ShapeError` if no single sheet comes out of it."""
    if spec.outline is None:
        raise ShapeError("has no outline")
    asked = tuple(spec.cuts(around))
    cuts = tuple((one.placed, one.grow) for one in asked)
    own = tuple(pattern for pattern in (*spec.studs, *spec.dowels) if pattern.face is None)
    openings = tuple(_cut_polygon(placed, grow, around.drawings) for placed, grow in cuts)
    inside = Inside(openings, cuts, *_bolts(spec), around.drawings)
    outer = spec.outline.outer(inside)
    holes = [Circle(place, diameter / 2) for place, diameter in inside.holes]
    known = merged(
        [*(placed.known(grow) for placed, grow in cuts), KnownArcs(tuple(holes)), spec.outline.known_edges(inside)]
    )
    slots = _slots(spec)
    ways = ways_of(spec, around.drawings)
    named = [_says(spec, one, ways) for one in asked]
    round_ones = (*_holes(spec), *_round_openings(cuts, named))
    not_round = [opening for opening, (placed, _) in zip(openings, cuts, strict=True) if placed.circle() is None]
    part = bare(spec, around, outer, known)
    return assembled(
        replace(
            part,
            holes=round_ones,
            cuts=(
                *(
                    Cut(says, shape, _way(spec, one, ways, number))
                    for number, (one, says, shape) in enumerate(zip(asked, named, openings, strict=True))
                ),
                *(
                    Cut(one.label, outlines.disc(one.center, one.diameter))
                    for one in round_ones
                    if one.role != "opening"
                ),
                *slots,
            ),
            joined=_joined(spec, ways),
            studs=studs_of(own),
            unmeasured=tuple(f"{window.role} '{window.name}'" for window in spec.unmeasured),
            flange_openings=tuple(
                FlangeOpening(window.name, window.role, window.placed.polygon(around.drawings), window.face, way)
                for window, way in zip(spec.flange_windows(), ways, strict=True)
            ),
        ),
        [*not_round, *(one.shape for one in slots)],
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


def as_drawn(spec: PartSpec, drawn: Drawn, around: Around) -> Part:
    """The part whose contours and marks came from a drawing; raise `ShapeError` if they bound no sheet."""
    solid = drawn.solid
    return replace(
        bare(spec, around, Polygon(solid.exterior), drawn.known),
        solid=solid,
        round_holes=drawn.holes,
        holes=drawn.holes,
        drawn=drawn.outline,
        marks=drawn.marks,
        count=spec.count * drawn.count,
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
    cuts = tuple(cut for cut in part.cuts if cut.way is None)
    slots = [cut.shape for cut in cuts if cut.says not in {hole.label for hole in kept}]
    return assembled(replace(part, holes=kept, cuts=cuts, flange_openings=(), unmeasured=(), nick=None), slots)


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


def ways_of(spec: PartSpec, drawings: Drawings) -> list[int]:
    """The way of each window of the metal.

    0 is that of the part's opening: of what is not cut by itself where there is an opening, and of what is named like
    it.
    Windows of one name on two faces that meet are one way.
    """
    windows, ways = spec.flange_windows(), list[int]()
    shapes = [window.placed.polygon(drawings) for window in windows]
    for number, window in enumerate(windows):
        through = spec.has_opening and (not spec.is_cut_open(window) or window.name.lower() in spec.opening_is)
        same = [
            way
            for way, other, shape in zip(ways, windows, shapes, strict=False)
            if (other.name, other.role) == (window.name, window.role)
            and other.face != window.face
            and shape.intersects(shapes[number])
        ]
        ways.append(0 if through else same[0] if same else number + 1)
    return ways


def _way(spec: PartSpec, asked: Asked, ways: list[int], number: int) -> int:
    """An outlet's openings, and what else a kind cuts, are ways of their own."""
    if asked.window is not None:
        return ways[spec.flange_windows().index(asked.window)]
    return 0 if asked.placed is spec.opening else -1 - number


def _joined(spec: PartSpec, ways: list[int]) -> frozenset[frozenset[int]]:
    """The pairs of ways that are meant to run into each other."""
    windows = spec.flange_windows()
    named = [(window.name.casefold(), way) for window, way in zip(windows, ways, strict=True)]
    named += [(name.casefold(), 0) for name in spec.names_of_opening]
    return frozenset(
        frozenset((way, other))
        for window, way in zip(windows, ways, strict=True)
        for join in window.joins
        for name, other in named
        if name == join.casefold()
    )


def _says(spec: PartSpec, asked: Asked, ways: list[int]) -> str:
    unmeasured = next((window for window in spec.unmeasured if window.placed is asked.placed), None)
    if (window := asked.window or unmeasured) is not None:
        return f"{window.role} '{window.name}'"
    if asked.placed is not spec.opening:
        return f"the opening at {_at(asked.placed.at)}"
    served = [window for window, way in zip(spec.flange_windows(), ways, strict=True) if way == 0]
    if served and spec.opening_says == PartSpec.opening_says:
        return f"the opening for {served[0].role} '{served[0].name}'"
    return spec.opening_says


def _called(spec: PartSpec) -> list[tuple[str, HoleRole, Holes]]:
    """Every pattern that is cut, with what findings call one of its holes and its role."""
    studs = [("the stud's", pattern) for pattern in spec.studs] + [("the dowel's", pattern) for pattern in spec.dowels]
    own: list[tuple[str, HoleRole, Holes]] = [(who, "stud", pattern) for who, pattern in studs if pattern.face is None]
    return [*own, *(("the", "hole", pattern) for pattern in spec.holes)]


def _at(place: Point) -> str:
    return f"({place[0]:g}, {place[1]:g})"


def _slots(spec: PartSpec) -> list[Cut]:
    return [
        Cut(
            f"{who} slot at {_at(place)}", Placed(Slot(pattern.length, pattern.diameter), place, pattern.turn).polygon()
        )
        for who, _, pattern in _called(spec)
        if pattern.length is not None
        for place in pattern.at
    ]


def _cut_polygon(placed: Placed, grow: float, drawings: Drawings) -> Polygon:
    circle = placed.circle(grow)
    if circle is not None:
        return outlines.disc(circle.center, 2 * circle.radius)
    polygon = placed.polygon(drawings)
    return outlines.grown(polygon, grow) if grow else polygon


def _round_openings(cuts: tuple[tuple[Placed, float], ...], named: list[str]) -> list[Hole]:
    circles = [(placed.circle(grow), says) for (placed, grow), says in zip(cuts, named, strict=True)]
    return [Hole(circle.center, 2 * circle.radius, "opening", says) for circle, says in circles if circle]


def _holes(spec: PartSpec) -> list[Hole]:
    return [
        Hole(place, pattern.diameter, role, f"{who} hole at {_at(place)}", pattern.stud)
        for who, role, pattern in _called(spec)
        if pattern.length is None
        for place in pattern.at
    ]
