"""The plain layout: pieces in rows by their boxes, highest first, each in the first row with room for it.

It needs nothing but arithmetic, so it is there when the search is not, and it is what a search has to beat.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import atan2, degrees, inf

import numpy as np
import shapely
from shapely.geometry import Polygon

from gasketcut.cutting.nest.holes import Group, Spot, cos_sin, groups_of
from gasketcut.cutting.nest.layout import TURNS, Layout, Piece, Sheet, Unplaced, proved
from gasketcut.plane import Point
from gasketcut.shape.outlines import placed

_NO_ROOM = "larger than any sheet within its margin, however it may be turned"
_NO_SHEET = "no sheet is left for it"


@dataclass(slots=True)
class _Row:
    sheet: int
    start: float  # across the rows [mm], from within the margin
    height: float
    used: float = 0.0  # along the row


@dataclass(frozen=True, slots=True)
class _Boxed:
    """A turn, and the box in it: its lower left corner, and its size along and across the row."""

    turn: float
    corner: tuple[float, float]
    along: float
    across: float


def in_rows(pieces: Sequence[Piece], sheets: Sequence[Sheet], spacing: float, *, in_holes: bool = False) -> Layout:
    """The better of rows and columns; it has been proved. Pieces that find no place are named in it.

    sheets : taken in this order, each as often as its count says
    """
    possible, too_large = sorted_out(pieces, sheets)
    rows = groups_in_rows(groups_of(possible, spacing, in_holes=in_holes), sheets, spacing)
    return proved(rows.layout(too_large), pieces)


@dataclass(frozen=True, slots=True)
class Rows:
    """Groups laid out, before they are a layout of pieces; `left` are those for which no sheet was left."""

    sheets: tuple[Sheet, ...]
    spots: tuple[Spot, ...]
    left: tuple[Group, ...]
    spacing: float

    def layout(self, too_large: tuple[Unplaced, ...] = ()) -> Layout:
        placed = tuple(one for spot in self.spots for one in spot.placed())
        return Layout(self.sheets, placed, (*too_large, *_left_out(self.left)), self.spacing)


def groups_in_rows(groups: Sequence[Group], sheets: Sequence[Sheet], spacing: float) -> Rows:
    """The better of rows and columns; each group fits on one of the sheets."""
    ways = [_laid(groups, sheets, spacing, upright) for upright in (False, True)]
    return min(ways, key=lambda rows: rows.layout().rank)


def sorted_out(pieces: Sequence[Piece], sheets: Sequence[Sheet]) -> tuple[list[Piece], tuple[Unplaced, ...]]:
    """Pieces that fit on one of the sheets, and those that fit on none."""
    possible = [piece for piece in pieces if any(fits(piece, sheet) for sheet in sheets)]
    others = [piece for piece in pieces if all(piece is not one for one in possible)]
    return possible, tuple(Unplaced(piece, piece.count, _NO_ROOM) for piece in others if piece.count)


def fits(piece: Piece, sheet: Sheet) -> bool:
    """Is there a turn, of those tried here, in which the piece's box lies within the sheet's margin?"""
    wide, high = sheet.usable
    return any(width <= wide and tall <= high for width, tall in _sizes(piece, _turns(piece, every=True)))


def _left_out(groups: Sequence[Group]) -> tuple[Unplaced, ...]:
    """Groups for which no sheet was left, as pieces."""
    pieces = [piece for group in groups for piece in (group.piece, *(guest.piece for guest in group.guests))]
    counts = Counter(id(piece) for piece in pieces)
    by_id = {id(piece): piece for piece in pieces}
    return tuple(Unplaced(piece, counts[number], _NO_SHEET) for number, piece in by_id.items())


class Supply:
    """The sheets that are left."""

    def __init__(self, sheets: Sequence[Sheet]) -> None:
        self._left: list[tuple[Sheet, float]] = [
            (sheet, inf if sheet.count is None else float(sheet.count)) for sheet in sheets
        ]

    def take(self, suits: Callable[[Sheet], bool]) -> Sheet | None:
        """The first that suits, which is gone then; None if there is none."""
        for number, (sheet, count) in enumerate(self._left):
            if count > 0 and suits(sheet):
                self._left[number] = (sheet, count - 1)
                return sheet
        return None

    def rest(self) -> list[Sheet]:
        """What is left, as it was given."""
        return [replace(sheet, count=None if count == inf else int(count)) for sheet, count in self._left if count > 0]


def _laid(groups: Sequence[Group], sheets: Sequence[Sheet], spacing: float, upright: bool) -> Rows:
    boxes = {id(group.piece): _boxes(group.piece, sheets, upright) for group in groups}
    order = sorted(groups, key=lambda group: -round(boxes[id(group.piece)][0].across, 6))
    supply, used, spots = Supply(sheets), list[Sheet](), list[Spot]()
    rows: list[_Row] = []
    left: list[Group] = []
    for group in order:
        turned = boxes[id(group.piece)]
        room = _room(rows, used, turned, spacing, upright)
        if room is None:
            sheet = supply.take(lambda one, turned=turned: _new_row(one, 0.0, turned, upright) is not None)  # type: ignore[misc]
            if sheet is not None:
                used.append(sheet)
                room = _room(rows, used, turned, spacing, upright)
        if room is None:
            left.append(group)
            continue
        row, box = room
        margin = used[row.sheet].margin
        x, y = (margin + row.used, margin + row.start)[:: -1 if upright else 1]
        spots.append(Spot(group, row.sheet, x - box.corner[0], y - box.corner[1], box.turn))
        row.used += box.along + spacing
    return Rows(tuple(used), tuple(spots), tuple(left), spacing)


def _room(
    rows: list[_Row], used: Sequence[Sheet], turned: Sequence[_Boxed], spacing: float, upright: bool
) -> tuple[_Row, _Boxed] | None:
    """The first row in which one of the turns has room, or a new row on the first sheet that has."""
    lengths = [_along_across(sheet.usable, upright)[0] for sheet in used]
    for row in rows:
        for box in turned:
            if box.across <= row.height and row.used + box.along <= lengths[row.sheet]:
                return row, box
    for number, sheet in enumerate(used):
        start = max((row.start + row.height + spacing for row in rows if row.sheet == number), default=0.0)
        new = _new_row(sheet, start, turned, upright)
        if new is not None:
            rows.append(_Row(number, start, new.across))
            return rows[-1], new
    return None


def _new_row(sheet: Sheet, start: float, turned: Sequence[_Boxed], upright: bool) -> _Boxed | None:
    along, across = _along_across(sheet.usable, upright)
    return next((box for box in turned if box.along <= along and start + box.across <= across), None)


def _along_across(size: Point, upright: bool) -> Point:
    return (size[1], size[0]) if upright else size


def _boxes(piece: Piece, sheets: Sequence[Sheet], upright: bool) -> list[_Boxed]:
    """The piece's box in each turn tried, the flattest in the row first; every degree only if nothing else fits."""
    turns = _turns(piece, every=False)
    if not any(w <= one.usable[0] and h <= one.usable[1] for w, h in _sizes(piece, turns) for one in sheets):
        turns = _turns(piece, every=True)
    found = []
    for turn in turns:
        left, low, right, top = placed(Polygon(piece.outline.exterior), (0.0, 0.0), turn).bounds
        found.append(_Boxed(turn, (left, low), *_along_across((right - left, top - low), upright)))
    return sorted(found, key=lambda box: round(box.across, 6))


def _turns(piece: Piece, *, every: bool) -> tuple[float, ...]:
    allowed = TURNS[piece.turns]
    if allowed is not None:
        return allowed
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(piece.outline))
    sides = np.diff(corners, axis=0)
    longest = sides[int(np.argmax(np.round(np.hypot(*sides.T), 6)))]
    lying = -degrees(atan2(longest[1], longest[0]))  # the narrowest box lies along x
    return (0.0, 90.0, lying, lying + 90.0, *(map(float, range(180)) if every else ()))


def _sizes(piece: Piece, turns: Sequence[float]) -> list[Point]:
    """Width and height of the piece's box in each turn."""
    points = shapely.get_coordinates(piece.outline.convex_hull)
    found = []
    for turn in turns:
        c, s = cos_sin(turn)
        xs, ys = points @ (c, -s), points @ (s, c)
        found.append((float(np.ptp(xs)), float(np.ptp(ys))))
    return found
