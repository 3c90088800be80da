"""Pieces on sheets: what is asked, what comes out, and whether that may be cut.

Sheet    stock as it lies on the machine: x to the right, y up, the corner at (0, 0); nothing is put into its margin.
Piece    what is laid out, `count` times; turned as its grain allows, never mirrored: sheets have two faces.
Placed   a piece turned about its own origin and then moved, on one of the sheets.
Layout   all of that; `proved` checks every distance and edge, however it was laid out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import shapely
from shapely.geometry import Polygon

from gasketcut.plane import Point
from gasketcut.shape.outlines import placed

Turns = Literal["any", "quarter", "half", "none"]
TURNS: dict[Turns, tuple[float, ...] | None] = {
    "any": None,
    "quarter": (0.0, 90.0, 180.0, 270.0),
    "half": (0.0, 180.0),
    "none": (0.0,),
}
"""Degrees a piece may be turned by; None: any. `half` keeps it along or against the grain."""

EXACT = 1e-6
"""mm by which a distance may fall short of the spacing: rounding."""

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Sheet:
    """Size and margin [mm]; `count` of them are there, None: as many as are needed."""

    width: float
    height: float
    margin: float = 0.0
    count: int | None = None

    @property
    def usable(self) -> Point:
        """Width and height within the margin."""
        return self.width - 2 * self.margin, self.height - 2 * self.margin


@dataclass(frozen=True, slots=True)
class Piece:
    """A part to lay out, with its holes."""

    name: str
    outline: Polygon
    count: int = 1
    turns: Turns = "any"


@dataclass(frozen=True, slots=True)
class Placed:
    """`sheet` counts from 0 into the layout's sheets; turn in degrees, x and y in mm."""

    piece: Piece
    sheet: int
    x: float
    y: float
    turn: float

    @property
    def shape(self) -> Polygon:
        return placed(self.piece.outline, (self.x, self.y), self.turn)


@dataclass(frozen=True, slots=True)
class Unplaced:
    """How many of a piece found no place, and why."""

    piece: Piece
    count: int
    why: str


@dataclass(frozen=True, slots=True)
class Layout:
    """`sheets` are those used, one entry for each; `notes` say how it was found."""

    sheets: tuple[Sheet, ...]
    placed: tuple[Placed, ...]
    unplaced: tuple[Unplaced, ...]
    spacing: float
    notes: tuple[str, ...] = ()

    def on(self, sheet: int) -> tuple[Placed, ...]:
        return tuple(one for one in self.placed if one.sheet == sheet)

    def box(self, sheet: int) -> Box:
        """Least x, least y, most x, most y of all that lies on the sheet."""
        bounds = shapely.total_bounds([one.shape for one in self.on(sheet)])
        return float(bounds[0]), float(bounds[1]), float(bounds[2]), float(bounds[3])

    def used_length(self, sheet: int) -> float:
        """From the sheet's left edge to the rightmost edge of a piece [mm]."""
        return self.box(sheet)[2]

    def left_over(self, sheet: int) -> Box:
        """The larger whole rectangle that stays, to the right of everything or above it, with the spacing kept off."""
        size, (_, _, right, top) = self.sheets[sheet], self.box(sheet)
        beside = (min(right + self.spacing, size.width), 0.0, size.width, size.height)
        above = (0.0, min(top + self.spacing, size.height), size.width, size.height)
        return max(beside, above, key=_area)

    def utilisation(self, sheet: int | None = None) -> float:
        """Net area of the pieces over the area of the sheet, or of all sheets used; 0 where there is none."""
        pieces = self.placed if sheet is None else self.on(sheet)
        sheets = self.sheets if sheet is None else (self.sheets[sheet],)
        whole = sum(one.width * one.height for one in sheets)
        return sum(one.piece.outline.area for one in pieces) / whole if whole else 0.0

    @property
    def rank(self) -> tuple[int, float, float]:
        """Less is better: pieces left out, sheet used up in the end, length used of the last sheet."""
        left_out = sum(one.count for one in self.unplaced)
        whole = sum(one.width * one.height for one in self.sheets[:-1])
        if not self.sheets:
            return left_out, 0.0, 0.0
        last = len(self.sheets) - 1
        size = self.sheets[last]
        used = whole + size.width * size.height - _area(self.left_over(last))
        return left_out, round(used, 3), round(self.used_length(last), 3)


def faults(layout: Layout, pieces: Sequence[Piece]) -> tuple[str, ...]:
    """Everything by which the layout is not what was asked for; nothing if it may be cut."""
    found = []
    by_id = {id(piece): piece for piece in pieces}
    for number, piece in by_id.items():
        count = sum(one.count for one in pieces if id(one) == number)
        laid = sum(one.piece is piece for one in layout.placed)
        left = sum(one.count for one in layout.unplaced if one.piece is piece)
        if laid + left != count:
            found.append(f"{piece.name}: {count} asked for, {laid} laid out and {left} left out")
    for one in layout.placed:
        allowed = TURNS[one.piece.turns]
        if allowed is not None and one.turn % 360 not in allowed:
            found.append(f"{one.piece.name}: turned by {one.turn:g} degrees, which its grain does not allow")
    for number, sheet in enumerate(layout.sheets):
        on = layout.on(number)
        if not on:
            found.append(f"sheet {number + 1} is empty")
            continue
        found += _on_sheet(on, sheet, layout.spacing)
    return tuple(found)


def proved(layout: Layout, pieces: Sequence[Piece]) -> Layout:
    """The layout itself, checked; raise RuntimeError, a defect of ours, if it may not be cut."""
    found = faults(layout, pieces)
    if found:
        raise RuntimeError(f"a layout that may not be cut: {'; '.join(found[:5])}")
    return layout


def _on_sheet(on: Sequence[Placed], sheet: Sheet, spacing: float) -> list[str]:
    found, shapes = [], [one.shape for one in on]
    for one, shape in zip(on, shapes, strict=True):
        left, low, right, top = shape.bounds
        edge = min(left, low, sheet.width - right, sheet.height - top)
        if edge < sheet.margin - EXACT:
            found.append(f"{one.piece.name}: {edge:.4f} mm from the sheet's edge, {sheet.margin:g} asked for")
    tree = shapely.STRtree(shapes)
    for first, second in tree.query(shapes, predicate="dwithin", distance=max(spacing - EXACT, 0.0)).T:
        if first >= second:
            continue
        apart = float(shapes[first].distance(shapes[second]))
        over = float(shapes[first].intersection(shapes[second]).area) if apart == 0 else 0.0
        if apart < spacing - EXACT or over > EXACT:
            names = f"{on[first].piece.name} and {on[second].piece.name}"
            found.append(f"{names}: {apart:.4f} mm apart, {spacing:g} asked for, overlap {over:.4f} mm2")
    return found


def _area(box: Box) -> float:
    return max(0.0, box[2] - box[0]) * max(0.0, box[3] - box[1])
