"""A template to grind by: a plate with the flange's edge that is bolted on by its own holes and shows the new edge.

Plate   what is ground on one face of one part, as lines, arcs and circles; paper and sheet are cut by the same lines.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from shapely.geometry import Polygon

from gasketcut.evaluation.grinding import Grinding
from gasketcut.shape import outlines
from gasketcut.shape.arcs import KnownArcs, trace
from gasketcut.shape.loop import Circle, Contour, Outline

SNUG = 0.1
"""mm by which a hole is wider than its stud: it still goes on, and the template cannot creep. Our choice."""

EDGE = 8.0
"""mm of plate round studs and ports where the part has no edge of its own. Our choice."""


@dataclass(frozen=True, slots=True)
class Plate:
    """Holes for the studs, the new edges, and the edge of the plate, in this order; the old edges are only drawn."""

    part: str
    face: str | None
    outline: Outline
    old_edges: tuple[Contour, ...]
    holes: tuple[Circle, ...]
    ground: tuple[Grinding, ...]

    @property
    def old(self) -> Outline:
        """The old edges alone."""
        return Outline(self.old_edges[-1], self.old_edges[:-1], 0.0)


def plates_of(ground: Iterable[Grinding]) -> tuple[Plate, ...]:
    """One for each face."""
    faces = groupby(sorted(ground, key=lambda one: one.face or ""), key=lambda one: one.face)
    return tuple(_plate(tuple(ones)) for _, ones in faces)


def _plate(ground: tuple[Grinding, ...]) -> Plate:
    first = ground[0]
    holes = tuple(Circle(stud.center, stud.diameter / 2 + stud.tolerance + SNUG / 2) for stud in first.studs)
    discs = {hole: outlines.disc(hole.center, 2 * hole.radius) for hole in holes}
    edge = first.flange or outlines.hull([*discs.values(), *(one.new for one in ground)], EDGE)
    holes = tuple(hole for hole, disc in discs.items() if disc.within(edge))  # beside the plate nothing holds it
    outer, off = _traced(edge, KnownArcs())
    new = [_traced(one.new, one.known) for one in ground]
    outline = Outline(outer, (*holes, *(line for line, _ in new)), max(off, *(off for _, off in new)))
    old = tuple(_traced(one.old, one.known)[0] for one in ground)
    return Plate(first.part, first.face, outline, old, holes, ground)


def _traced(shape: Polygon, known: KnownArcs) -> tuple[Contour, float]:
    return trace([(x, y) for x, y in shape.exterior.coords], known)
