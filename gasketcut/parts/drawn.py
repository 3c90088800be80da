"""What a part takes from a received drawing.

DrawnFrom  which drawing, and how it is to be read.
NamedFor   the sheet that names of the file and of its layers speak of.
Drawn      one of its pieces: contours exactly as they came, lines that only mark it, how many of it the drawing holds.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from gasketcut.errors import ShapeError
from gasketcut.finding import Finding
from gasketcut.shape.loop import Circle, Contour, Outline

if TYPE_CHECKING:  # a job that is read needs no drawing library
    from shapely.geometry import Polygon

    from gasketcut.parts.part import Hole, Mark
    from gasketcut.shape.arcs import KnownArcs

_MOST_KNOWN = 200
"""Circles to look through for each arc of a path with the kerf in it. Our choice: what is fitted without them is 0.1 um
off."""


@dataclass(frozen=True, slots=True)
class DrawnFrom:
    """A DXF file as the job names it; lengths in mm, None: as `gasketcut mend` has it.

    units  what its numbers are, where it does not say or is not to be believed
    join   greatest gap that is closed
    fit    how far arcs may lie off the splines or lines that they replace
    drop   what may be left out of it
    """

    file: str
    units: str | None = None
    join: float | None = None
    fit: float | None = None
    drop: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class NamedFor:
    """In the names' own words, and the thickness in them [mm] if it is one."""

    says: str
    thickness: float | None


@dataclass(frozen=True, slots=True)
class Drawn:
    """One piece [mm]; `remarks` are what was seen or mended there, named for no part yet."""

    outline: Outline
    marks: tuple[Mark, ...] = ()
    count: int = 1
    remarks: tuple[Finding, ...] = ()
    named_for: NamedFor | None = None

    @property
    def solid(self) -> Polygon:
        """The sheet that is left; raise `ShapeError` for contours that do not bound one."""
        from shapely.geometry import Polygon

        made = Polygon(self.outline.outer.flattened(), [inner.flattened() for inner in self.outline.inner])
        if not made.is_valid:
            raise ShapeError("its contours touch or cross each other; gasketcut inspect shows where")
        return made

    @property
    def holes(self) -> tuple[Hole, ...]:
        """Its round holes."""
        from gasketcut.parts.part import Hole

        rounds = [one for one in self.outline.inner if isinstance(one, Circle)]
        return tuple(Hole(one.center, 2 * one.radius, "hole", f"the hole at {_at(one)}") for one in rounds)

    @property
    def known(self) -> KnownArcs:
        """The circles that its arcs lie on."""
        from gasketcut.shape.arcs import KnownArcs

        found = {(round(x, 6), round(y, 6), round(radius, 6)) for x, y, radius in self._circles()}
        if len(found) > _MOST_KNOWN:
            return KnownArcs()
        circles = tuple(Circle((x, y), radius) for x, y, radius in sorted(found))
        return KnownArcs(circles, tuple(sorted({circle.radius for circle in circles})))

    def _circles(self) -> list[tuple[float, float, float]]:
        found: list[tuple[float, float, float]] = []
        for contour in self.outline.contours:
            found += _circles_of(contour)
        return found


def _circles_of(contour: Contour) -> list[tuple[float, float, float]]:
    if isinstance(contour, Circle):
        return [(*contour.center, contour.radius)]
    return [(*one.center, one.radius) for one in contour.segments() if one.bulge]


def _at(circle: Circle) -> str:
    return f"({circle.center[0]:g}, {circle.center[1]:g})"
