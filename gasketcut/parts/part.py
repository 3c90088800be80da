"""A part as it will be cut, in the job's own coordinates [mm].

Hole       a round hole, by its own numbers; it never becomes a polygon on the way out.
Opening    what is cut through the sheet that is not round, or touches something else.
Cut        one thing that is cut through the sheet by itself, before it runs into another.
Way        all that one gas passes, a number: windows of the metal, and openings of the sheet.
Mark       lines joined end to end that are drawn on the sheet and not cut.
Metal      a window (port or passage) as it is in the metal: what the sheet must not cover.
Solid      the sheet that is left: the outline less all holes and openings; used by checks.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from shapely.geometry import Polygon

from gasketcut.parts.stock import Stock
from gasketcut.parts.window import Landmark, Role
from gasketcut.plane import Point
from gasketcut.shape.arcs import KnownArcs, trace
from gasketcut.shape.loop import Circle, Contour, Outline, Segment, from_below

HoleRole = Literal["stud", "hole", "opening"]

Mark = tuple[Segment, ...]

_SAME_BOX = 2e-3  # mm: chords fall short of a circle by CHORD


@dataclass(frozen=True, slots=True)
class Hole:
    """`label` names it in findings; `stud` is the diameter of what goes through, if known."""

    center: Point
    diameter: float
    role: HoleRole
    label: str
    stud: float | None = None


@dataclass(frozen=True, slots=True)
class Stud:
    """What locates the sheet: its place and diameter, the hole's width, and how the hole is drawn out.

    slot       half the length by which a slot exceeds its width [mm], in the direction `turn` [deg]; 0 for a round hole
    tolerance  how far the stud itself may stand off its place [mm]
    off        how far the hole's middle lies from that place in a sheet that was not cut as drawn [mm]
    """

    center: Point
    diameter: float
    hole: float
    slot: float = 0.0
    turn: float = 0.0
    tolerance: float = 0.0
    off: Point = (0.0, 0.0)

    @property
    def play(self) -> float:
        """How far the hole's middle may stand from the stud's nominal place, across a slot [mm]."""
        return (self.hole - self.diameter) / 2 + self.tolerance


@dataclass(frozen=True, slots=True)
class FlangeOpening:
    """A window in the metal, on one of the two faces or (None) on both; and its way."""

    name: str
    role: Role
    shape: Polygon
    face: str | None = None
    way: int | None = None

    @property
    def says(self) -> str:
        """What findings call it."""
        return f"{self.role} '{self.name}'"

    def faces(self, other: FlangeOpening) -> bool:
        """Is there a face of the metal that has both?"""
        return self.face is None or other.face is None or self.face == other.face


@dataclass(frozen=True, slots=True)
class Cut:
    """What findings call it, its shape, and its way; None: a bolt's hole, which nothing may join."""

    says: str
    shape: Polygon
    way: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """`holes` are all holes asked for that are round, `round_holes` those that touch nothing and are cut as circles;
    `openings` are the openings that are not round; `cuts` are all of them one by one, and `joined` the pairs of ways
    that are meant to run into each other; `drill` is set for a template to drill metal by [mm];
    `unmeasured` are openings whose port or passage in the metal is not known, by what findings call them; `drawn` are
    contours that came as such, of which nothing has to be traced."""

    name: str
    kind: str
    outer: Polygon
    solid: Polygon
    round_holes: tuple[Hole, ...]
    holes: tuple[Hole, ...]
    openings: tuple[Polygon, ...] = ()
    cuts: tuple[Cut, ...] = ()
    joined: frozenset[frozenset[int]] = frozenset()
    studs: tuple[Stud, ...] = ()
    flange_openings: tuple[FlangeOpening, ...] = ()
    unmeasured: tuple[str, ...] = ()
    known: KnownArcs = KnownArcs()
    drawn: Outline | None = None
    marks: tuple[Mark, ...] = ()
    stock: Stock | None = None
    count: int = 1
    face_up: str | None = None
    landmark: Landmark | None = None
    drill: float | None = None
    nick: Point | None = None
    unnicked: Polygon | None = None

    @property
    def thickness(self) -> float | None:
        """Nominal thickness of its sheet [mm]."""
        return self.stock.thickness if self.stock else None


def outline_of(part: Part) -> Outline:
    """The part as lines, arcs and circles, with the greatest deviation from its polygon."""
    if part.drawn is not None:
        return part.drawn
    outer, deviation = trace(_ring(part.solid.exterior.coords, ccw=part.solid.exterior.is_ccw), part.known)
    circles = [Circle(hole.center, hole.diameter / 2) for hole in part.round_holes]
    inner: list[Contour] = []
    boxes = np.array([_box(circle) for circle in circles]).reshape(-1, 4)
    for ring in part.solid.interiors:
        # Is it the polygon of one of the clean holes? Nothing else can fill the same box.
        if (np.abs(boxes - ring.bounds) < _SAME_BOX).all(axis=1).any():
            continue
        contour, off = trace(_ring(ring.coords, ccw=not ring.is_ccw), part.known)
        inner.append(contour)
        deviation = max(deviation, off)
    inner.sort(key=from_below)
    return Outline(outer, (*sorted(circles, key=from_below), *inner), deviation)


def _ring(coords: object, *, ccw: bool) -> list[tuple[float, float]]:
    points = [(float(point[0]), float(point[1])) for point in coords]  # type: ignore[attr-defined]
    return points if ccw else points[::-1]


def _box(circle: Circle) -> tuple[float, float, float, float]:
    (x, y), radius = circle.center, circle.radius
    return x - radius, y - radius, x + radius, y + radius
