"""One face of the metal, traced, laid over the part of a job that it belongs to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from shapely import make_valid
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from gasketcut.arrays import Array
from gasketcut.capture.joining.by_studs import APART, Way, ways_by_studs
from gasketcut.capture.roles.openings import Opening, openings_of
from gasketcut.capture.roles.role import RoleError
from gasketcut.capture.roles.said import PartSaid
from gasketcut.capture.traced_part import TracedPart
from gasketcut.comparing.placing import Placing
from gasketcut.parts.part_spec import Around, PartSpec
from gasketcut.parts.words import Drawings
from gasketcut.plane import Point
from gasketcut.shape import outlines
from gasketcut.shape.loop import Contour

_TELLS_APART = 0.05
"""mm all along the edges of the openings: ways that agree as well within that are not told apart. Our choice."""

_MEETS = 0.3
"""Share of the smaller of two openings that lies in the other where they are one way. Our choice."""


@dataclass(frozen=True, slots=True)
class LaidFace:
    """`openings` of the face as they lie in the part's own plane; `bolts` those of them that lie on studs, by stud."""

    way: Way
    openings: tuple[Opening, ...]
    bolts: tuple[Opening, ...]


def laid_face(face: TracedPart, said: PartSaid, spec: PartSpec, drawings: Drawings, mirrored: bool | None) -> LaidFace:
    """The face over the part; raise `RoleError` where its holes do not lie on the studs, or do so in several ways.

    said     : of the face; where it names studs, only these are laid on the part's
    mirrored : whether face and part are mirror images of each other, if the user said so
    """
    studs = np.array([place for holes in spec.studs if holes.face is None for place in holes.at]).reshape(-1, 2)
    if len(studs) < 2:
        raise RoleError(f"{spec.name} has {len(studs)} studs, and two are needed to lay a face over it; "
                        "trace it with --as A=stud:M5 for each")  # fmt: skip
    openings = openings_of(face)
    named = [one for one in openings if (role := said.roles.get(one.name)) is not None and role.what == "stud"]
    bolts = named if len(named) >= len(studs) else [one for one in openings if one.is_round]
    places = np.array([one.middle for one in bolts]).reshape(-1, 2)
    both_ways = (False, True) if mirrored is None else (mirrored,)
    ways = [way for turned in both_ways for way in ways_by_studs(studs, places, mirrored=turned)]
    if not ways:
        raise RoleError(f"no way was found to lay the face's holes on the {len(studs)} studs of {spec.name} within "
                        f"{APART:g} mm; is it the same joint, and is the scale right?")  # fmt: skip
    sheet = _sheet(spec, drawings)
    laid = [_laid(way, openings, bolts) for way in ways]
    ranked = sorted(((*_disagreement(one, face, sheet), n) for n, one in enumerate(laid)))
    alone, least, first = ranked[0]
    best = laid[first]
    limit = _TELLS_APART * _shape(best).length
    for unmet, off, n in ranked[1:]:
        if unmet == alone and off - least <= limit and _differ(best, laid[n]) > limit:
            raise RoleError(_several(best, laid[n], spec))
    return best


def meet(one: Opening, other: BaseGeometry) -> bool:
    """Are they one way?"""
    mine = polygon_of(one.contour)
    return bool(mine.intersection(other).area >= _MEETS * min(mine.area, other.area))


@dataclass(frozen=True, slots=True)
class _Sheet:
    outer: Polygon | None
    openings: Sequence[Polygon]


def _sheet(spec: PartSpec, drawings: Drawings) -> _Sheet:
    """The openings of the part, those of its metal too, and its edge where a shape gives it."""
    shapes = [one.placed.polygon(drawings) for one in spec.cuts(Around(drawings=drawings))]
    shapes += [window.placed.polygon(drawings) for window in spec.windows]
    drawn = [placed.polygon(drawings) for placed in (spec.outline.drawn_shapes() if spec.outline else ())]
    return _Sheet(drawn[0] if len(drawn) == 1 else None, shapes)


def _laid(way: Way, openings: Sequence[Opening], bolts: Sequence[Opening]) -> LaidFace:
    placed = {one.name: _placed(one, way.placing) for one in openings}
    on_studs = tuple(placed[bolts[hole].name] for _, hole in sorted(way.pairs))
    return LaidFace(way, tuple(placed.values()), on_studs)


def _placed(one: Opening, placing: Placing) -> Opening:
    x, y = placing(np.array([one.middle]))[0].tolist()
    return replace(one, contour=placing.contour(one.contour), middle=(x, y))


def _shape(laid: LaidFace) -> BaseGeometry:
    """All openings of the face but those on studs."""
    return outlines.union([polygon_of(one.contour) for one in laid.openings if one not in laid.bolts])


def polygon_of(contour: Contour) -> BaseGeometry:
    """What it encloses."""
    return _enclosed(contour.flattened(0.01))


def _enclosed(points: Array | list[Point]) -> BaseGeometry:
    """A fitted edge may cross itself by a hair where two of its arcs meet."""
    polygon = Polygon(points)
    return polygon if polygon.is_valid else make_valid(polygon)


def _disagreement(laid: LaidFace, face: TracedPart, sheet: _Sheet) -> tuple[int, float]:
    """How many openings of either meet none of the other; and mm2 that belong to the one alone, of openings and, where
    it is known, of what the edge bounds."""
    mine = [one for one in laid.openings if one not in laid.bolts]
    alone = sum(not any(meet(one, other) for other in sheet.openings) for one in mine)
    alone += sum(not any(meet(one, other) for one in mine) for other in sheet.openings)
    found = float(_shape(laid).symmetric_difference(outlines.union(sheet.openings)).area)
    if sheet.outer is not None:
        ring: Array = laid.way.placing(face.ring)
        found += float(_enclosed(ring).symmetric_difference(sheet.outer).area)
    return alone, found


def _differ(one: LaidFace, other: LaidFace) -> float:
    return float(_shape(one).symmetric_difference(_shape(other)).area)


def _several(one: LaidFace, other: LaidFace, spec: PartSpec) -> str:
    ways = " and ".join(
        f"{'mirrored and ' if each.way.placing.mirrored else ''}turned by {each.way.placing.turn:.0f} deg"
        for each in (one, other)
    )
    add = (
        "add --mirrored or --not-mirrored (a face as one looks at it is the mirror image of the sheet as it lies on it)"
        if one.way.placing.mirrored != other.way.placing.mirrored
        else "trace one of them lying the other way round, or with a passage that tells the two apart"
    )
    return f"the face lies on the studs of {spec.name} in more than one way, {ways}; {add}"
