"""The port stencil at full size: the bore's wall laid flat, each window at its place, old edge solid, new edge dashed.

Seen     "inside": printed side to the bore's axis, as it lies in the bore; "outside": printed side out, as it lies on
         a bar. The one is the mirror image of the other, so it stands in the heading.
Seam     where the wall is cut open: in the middle of the widest stretch without a window.
Paper x  mm from the left edge; seen from inside the degrees round the bore run to the left, from outside to the right.
Paper y  mm up; the deck is the upper edge.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import ceil
from typing import Literal

from gasketcut.engine.ports.unrolled import OnWall, WallWindow
from gasketcut.engine.ports.wall import BoreWall
from gasketcut.evaluation.evaluation import Evaluation
from gasketcut.job.model import PLACES
from gasketcut.length import PT, Units, both
from gasketcut.output.picture import Picture
from gasketcut.pages.columns import wide
from gasketcut.plane import Point

Seen = Literal["inside", "outside"]

FLAP = 10.0
"""mm at the right end, to glue on. Our choice."""

_BELOW, _LEFT, _TOP, _FOOT = 7.0, 8.0, 6.0, 9.0
"""mm: wall below the lowest window; room for the depths, for the deck's words, for the width below. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stencil:
    """What is drawn: the bore's wall, seen from which side, and how deep it reaches [mm]."""

    title: str
    wall: BoreWall
    seen: Seen
    depth: float
    units: Units = "mm"

    @property
    def width(self) -> float:
        return self.wall.width

    def x(self, degrees: float) -> float:
        """Where an angle round the bore lies, from the left edge [mm]."""
        turn = (degrees - self.wall.seam) % 360 / 360 * self.width
        return self.width - turn if self.seen == "inside" else turn


def stencil_of(evaluation: Evaluation, seen: Seen = "inside") -> Stencil:
    """The stencil of the job; raise `GasketError` with what to add if there is no bore or no window to draw."""
    wall = evaluation.wall
    job, depth = evaluation.job, float(ceil(wall.lowest + _BELOW))
    return Stencil(title=job.title, wall=wall, seen=seen, depth=depth, units=job.units)


def draw_stencil(stencil: Stencil) -> Picture:
    """The wall laid flat, with its depth in mm at the left, degrees along the deck and its width below."""
    width, depth = stencil.width, stencil.depth
    picture = Picture(_LEFT + width + FLAP + 1, _TOP + depth + _FOOT, f"{stencil.title}: port stencil", stencil.units)
    sheet = _Sheet(picture, (_LEFT, _FOOT + depth))
    sheet.line((0, 0), (width, 0), (width, depth), (0, depth), (0, 0), width=0.25)
    sheet.line((width, 1), (width + FLAP, 3), (width + FLAP, depth - 3), (width, depth - 1), width=0.18)
    sheet.words(
        (width + FLAP / 2 + 1, depth / 2), "glue under the other end" if depth > 45 else "glue under", 7, turn=90
    )
    _depths(sheet, stencil)
    _degrees(sheet, stencil)
    for window in stencil.wall.windows:
        _window(sheet, stencil, window)
    if stencil.wall.ring_pin is not None:
        x = stencil.x(stencil.wall.ring_pin)
        sheet.line((x, 7), (x, depth), width=0.3, dash=(4.0, 1.2, 0.6, 1.2))
        sheet.words((x - 1, 8.5), "ring pin", 6.5, "end", turn=90)
    _width(sheet, stencil)
    return picture


@dataclass(frozen=True, slots=True)
class _Sheet:
    """A picture on which x runs from the stencil's left edge and y down from its deck."""

    picture: Picture
    corner: Point

    def on(self, point: Point) -> Point:
        return self.corner[0] + point[0], self.corner[1] - point[1]

    def line(self, *points: Point, width: float = 0.25, dash: tuple[float, ...] = ()) -> None:
        self.picture.line(*map(self.on, points), width=width, dash=dash)

    def words(
        self,
        at: Point,
        text: str,
        size: float,
        anchor: Literal["start", "middle", "end"] = "middle",
        turn: float = 0.0,
        *,
        bold: bool = False,
    ) -> None:
        self.picture.words(self.on(at), text, size, anchor, turn, bold=bold)


def _depths(sheet: _Sheet, stencil: Stencil) -> None:
    for mm in range(1, int(stencil.depth)):
        sheet.line((0, mm), (3.0 if mm % 10 == 0 else 2.2 if mm % 5 == 0 else 1.4, mm), width=0.13)
        if mm % 10 == 0:
            sheet.words((-1, mm + 0.9), str(mm), 7, "end")
    sheet.words((0, -2), "deck edge, this end up; mm below it at the left", 7, "start")


def _degrees(sheet: _Sheet, stencil: Stencil) -> None:
    """Degrees round the bore along the deck; the four sides in words, and numbers where these leave room."""
    for turn in range(0, 360, 10):
        x = stencil.x(turn)
        sheet.line((x, 0), (x, 2.4 if turn % 30 == 0 else 1.4), width=0.13)
    taken = []
    for name, side in PLACES.items():
        words = f"{name} {side:.0f}"
        half = wide(words, 7, bold=True) / 2 + 0.5
        x = min(max(stencil.x(side), half + 3.5), stencil.width - half)
        sheet.words((x, 5.2), words, 7, bold=True)
        taken.append((x - half - 2.5, x + half + 2.5))
    for turn in range(30, 360, 30):
        x = min(max(stencil.x(turn), 6.0), stencil.width - 3)
        if all(not low < x < high for low, high in taken):
            sheet.words((x, 5.2), str(turn), 6)
            taken.append((x - 5, x + 5))


def _width(sheet: _Sheet, stencil: Stencil) -> None:
    y = stencil.depth + 3
    sheet.line((0, y), (stencil.width, y), width=0.13)
    for x in (0, stencil.width):
        sheet.line((x, y - 2), (x, y + 2), width=0.13)
    words = f"{both(stencil.width)} = π x bore of {both(stencil.wall.bore)}"
    sheet.words((12, y + 3.6), words, 7, "start")  # where no edge of a tile cuts it in two


# -- windows ---------------------------------------------------------------------------------------------------


def _window(sheet: _Sheet, stencil: Stencil, window: OnWall) -> None:
    _outline(sheet, stencil, window.old, 0.3, ())
    if window.new is not None:
        _outline(sheet, stencil, window.new, 0.45, (1.6, 1.0))
    old, x = window.old, stencil.x(window.old.centre)
    rows = [old.name, *_change(window, stencil.wall.bore)]
    box = old.wall(stencil.wall.bore) - 1.5, old.floor - old.roof - 1.0
    middle = (old.roof + old.floor) / 2
    for shown in (rows, rows[:1]):
        for turn, (along, up) in ((0.0, box), (90.0, box[::-1])):
            for size in (8.0, 7.0, 6.0):
                step = size * 1.25 / PT
                if max(wide(row, size, bold=True) for row in shown) <= along and step * len(shown) <= up:
                    for number, row in enumerate(shown):
                        off = step * (number - (len(shown) - 1) / 2) + 0.32 * size / PT
                        at = (x, middle + off) if turn == 0 else (x + off, middle)
                        sheet.words(at, row, size, turn=turn, bold=number == 0)
                    return
    lowest = window.new.floor if window.new is not None else old.floor
    sheet.words((x, max(lowest, old.floor) + 3), old.name, 6)


def _change(window: OnWall, bore: float) -> list[str]:
    """What to take off, in words short enough to stand in the window."""
    old, new = window.old, window.new
    if new is None:
        return []
    rows = []
    if old.roof - new.roof > 0:
        rows.append(f"roof up {old.roof - new.roof:.2f}")
    if new.floor - old.floor > 0:
        rows.append(f"floor down {new.floor - old.floor:.2f}")
    if new.chord > old.chord:
        rows.append(f"sides {(new.wall(bore) - old.wall(bore)) / 2:.2f} each")
    return rows


def _outline(sheet: _Sheet, stencil: Stencil, window: WallWindow, width: float, dash: tuple[float, ...]) -> None:
    """Cut off at the ends of the stencil, and its rest drawn at the other end, if it lies across the seam."""
    side = -1 if stencil.seen == "inside" else 1
    middle = stencil.x(window.centre)
    for turn in (-stencil.width, 0.0, stencil.width):
        points = [(middle + turn + side * x, y) for x, y in window.outline(stencil.wall.bore)]
        for run in _between(points, 0.0, stencil.width):
            sheet.line(*run, width=width, dash=dash)


def _between(points: list[Point], low: float, high: float) -> list[list[Point]]:
    """The parts of a line whose x lies between two values."""
    runs: list[list[Point]] = []
    for a, b in pairwise(points):
        ends = _part(a, b, low, high)
        if ends is None:
            continue
        if not runs or runs[-1][-1] != ends[0]:
            runs.append([ends[0]])
        runs[-1].append(ends[1])
    return runs


def _part(a: Point, b: Point, low: float, high: float) -> tuple[Point, Point] | None:
    """The part of a straight line whose x lies between two values; its own ends where nothing is cut off."""
    if max(a[0], b[0]) <= low or min(a[0], b[0]) >= high:
        return None

    def cut(end: Point, other: Point) -> Point:
        x = min(max(end[0], low), high)
        return end if x == end[0] else (x, end[1] + (other[1] - end[1]) * (x - end[0]) / (other[0] - end[0]))

    return cut(a, b), cut(b, a)
