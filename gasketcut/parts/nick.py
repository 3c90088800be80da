"""A nick in the edge that survives cutting and shows which face is up."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely

from gasketcut.parts.part import Part
from gasketcut.parts.symmetry import SAME, OtherWay, middle_of, other_ways
from gasketcut.plane import Point
from gasketcut.shape import outlines
from gasketcut.shape.arcs import KnownArcs
from gasketcut.shape.loop import Circle

DIAMETER = 2.0
"""mm; half of it goes into the edge. Our choice."""

APART = 3.0
"""mm by which a wrong way round has to move the nick so that it is seen. Our choice."""


def nick_place(part: Part) -> Point | None:
    """The place on the outer edge with the widest land that every wrong way round moves.

    None if no way round is wrong, or no place shows it.
    """
    wrong = [way for way in other_ways(part) if way.miss > SAME]
    if not wrong:
        return None
    edge = shapely.segmentize(part.outer.exterior, 1.0)
    places = shapely.get_coordinates(edge)
    inner = shapely.union_all([*part.solid.interiors]) if part.solid.interiors else None
    lands = shapely.distance(shapely.points(places), inner) if inner is not None else np.ones(len(places))
    for number in np.argsort(lands)[::-1]:
        place = shapely.Point(places[number])
        if all(_moves(part, place, way) for way in wrong):
            return float(place.x), float(place.y)
    return None


def nicked(part: Part) -> Part:
    """The part with the nick cut, or as it was if no place shows it."""
    place = nick_place(part)
    if place is None:
        return part
    bite = outlines.disc(place, DIAMETER)
    solid = outlines.one_piece(part.solid.difference(bite), "with the nick")
    known = KnownArcs((*part.known.circles, Circle(place, DIAMETER / 2)), part.known.radii)
    return replace(part, solid=solid, known=known, nick=place, unnicked=part.solid)


def without_nick(part: Part) -> Part:
    """The part as it was before the nick: what decides how it can be fitted wrongly."""
    if part.nick is None:
        return part
    return replace(part, solid=part.unnicked or part.solid, nick=None)


def _moves(part: Part, place: shapely.Point, way: OtherWay) -> bool:
    return float(way.applied(place, middle_of(part)).distance(place)) > APART
