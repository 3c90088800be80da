"""No way across: how wide the sheet seals between one gas and the next, wherever its studs let it move.

Gas      of a port or passage is where its window in the metal is, and where the sheet is opened for it; that moves with
         the sheet. Sealed is the least distance between two gases, to a bolt's hole, or to the sheet's edge.
Still    distances that no motion changes: between two openings of one sheet, between two windows of the metal. A sheet
         that has shrunk has them narrower by as much.
Moving   the distance between a window and an opening of another gas. As drawn it is known; a motion takes no more off
         it than it can carry a point there, which is cheaply bounded. Only where that does not settle it, the window is
         grown until it touches the opening as drawn: how deep the opening's edge can then come into it (motion/) is
         what the worst motion takes off.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import degrees
from typing import TYPE_CHECKING

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from gasketcut.checks.clearance import locators
from gasketcut.checks.motion.allowed import Allowed, allowed_motions
from gasketcut.checks.motion.overhang import worst_overhang
from gasketcut.finding import Finding
from gasketcut.length import IN, both
from gasketcut.parts.part import FlangeOpening, Part
from gasketcut.plane import Point
from gasketcut.shape.outlines import grown
from gasketcut.tolerances import CHORD

if TYPE_CHECKING:
    from gasketcut.checks.subject import Subject

OUTSIDE = "the outside"

NONE = 1e-3
"""mm; sealed by no more than this is not sealed at all: it is the uncertainty of the bound. Our choice."""


@dataclass(frozen=True, slots=True)
class Seal:
    """Of one port or passage against one neighbour.

    width   sealed at least over all motions [mm], proven; 0: gas passes
    at      the middle of where it is least
    motion  that brings it there: dx, dy [mm], turn [rad]; None: it is so narrow as drawn, and no motion changes it
    still   the width that no motion changes [mm]
    other   the way of the neighbour; None: a bolt's hole or the outside
    """

    window: FlangeOpening
    against: str
    width: float
    at: Point
    motion: tuple[float, float, float] | None
    still: float
    other: int | None = None


@dataclass(frozen=True, slots=True)
class _Gas:
    """What findings call it; its openings in the sheet, its windows in the metal, and its way."""

    says: str
    openings: tuple[Polygon, ...]
    metal: tuple[FlangeOpening, ...] = ()
    way: int | None = None


@dataclass(frozen=True, slots=True)
class _Pair:
    """A window and an opening of another gas: their distance as drawn, and what every motion leaves of it [mm]."""

    metal: Polygon
    opening: Polygon
    drawn: float
    low: float


@dataclass(frozen=True)
class _Sheet:
    """The part with what lets it move."""

    part: Part
    growth: float
    allowed: Allowed

    @property
    def scale(self) -> float:
        """By which distances on the sheet are the least they can be."""
        return min(1.0, 1.0 + self.growth)

    @cached_property
    def outside(self) -> Polygon:
        """All that lies round the sheet, out to where nothing comes from."""
        left, low, right, high = self.part.solid.bounds
        reach = right - left + high - low
        frame = shapely.box(left - reach, low - reach, right + reach, high + reach)
        return Polygon(frame.exterior, [self.part.solid.exterior])

    def sway(self, window: Polygon, near: float) -> float:
        """A bound on how far any motion carries a point that stands as near to the window before or after it [mm]."""
        x, y = self.allowed.middle
        arm = shapely.hausdorff_distance(shapely.Point(x, y), window) + near
        return self.allowed.sway(arm + 2 * self.allowed.sway(arm))


def seals(part: Part, growth_percent: float, wanted: float) -> tuple[Seal, ...]:
    """Of every port and passage against every other gas, every bolt's hole and the outside.

    Nothing where nothing locates the sheet. What is wider than `wanted` [mm] and not the least of its port or passage
    may be wider than is said.
    """
    if not part.flange_openings or not part.studs:
        return ()
    allowed = allowed_motions(locators(part.studs), growth_percent / 100)
    if allowed is None:
        return ()  # it does not go over its studs, which is said elsewhere
    sheet = _Sheet(part, growth_percent / 100, allowed)
    return tuple(seal for window in part.flange_openings for seal in _of(window, sheet, wanted))


def least_seal(found: Sequence[Seal], window: FlangeOpening) -> Seal | None:
    """The narrowest of one port or passage."""
    return min((one for one in found if one.window is window), key=lambda one: one.width, default=None)


def sealing(subject: Subject) -> Iterator[Finding]:
    """A stop where a motion lets gas across, a warning where little is left to seal; else how much it is at least."""
    part, found, sheets = subject.part, subject.seals, subject.profiles.sheets
    wanted = sheets.seal(part.stock.material if part.stock else None)
    said: list[Seal] = []
    for one in sorted(found, key=lambda one: one.width):
        known = one.motion is None and one.width < sheets.land_warn  # a land, a web or a wall, and judged as that
        if one.width >= wanted or known or any(_same(one, other) for other in said):
            continue
        said.append(one)
        yield _finding(part.name, one, wanted)
    narrowest = min(found, key=lambda one: one.width, default=None)
    if narrowest is not None and narrowest.width >= max(wanted, NONE):
        yield Finding(
            rule="seal",
            weight="note",
            part=part.name,
            at=narrowest.at,
            found=narrowest.width,
            wanted=wanted,
            text=f"{narrowest.window.says} stays sealed over {both(narrowest.width)} or more however the sheet shifts; "
            f"least against {narrowest.against}",
            do="nothing",
        )


def _same(one: Seal, other: Seal) -> bool:
    """The same pair seen from either side?"""
    return one.other is not None and {one.window.way, one.other} == {other.window.way, other.other}


def _finding(part: str, one: Seal, wanted: float) -> Finding:
    dx, dy, turn = one.motion or (0.0, 0.0, 0.0)
    shift = f"{dx:+.2f}, {dy:+.2f} mm ({dx / IN:+.3f}, {dy / IN:+.3f} in)"
    turned = f"shifted {shift} and turned {degrees(turn):+.2f} deg, as its studs allow"
    motion = turned if any((dx, dy, turn)) else "as it is drawn"
    passes = one.width <= NONE
    left = "nothing of it seals" if passes else f"only {both(one.width)} of it seals"
    return Finding(
        rule="seal",
        weight="stop" if passes else "warn",
        part=part,
        at=one.at,
        found=one.width,
        wanted=0.0 if passes else wanted,
        text=f"{motion}, the sheet lets gas across: {left} between {one.window.says} and {one.against}",
        do="use a finer fit on the studs, or make the opening smaller or the land wider there",
    )


def _of(window: FlangeOpening, sheet: _Sheet, wanted: float) -> Iterator[Seal]:
    cuts = sheet.part.cuts
    own = _Gas(
        window.says, tuple(cut.shape for cut in cuts if cut.way is not None and cut.way == window.way), (window,)
    )
    least = float("inf")
    drawn = [_as_drawn(own, other, sheet) for other in _others(window, sheet.part, sheet.outside)]
    for still, pairs in sorted(drawn, key=lambda one: min(_low(one[1]), one[0].width)):
        low = _low(pairs)
        if low >= still.width:
            seal = still
        elif low >= max(least, wanted):
            seal = replace(still, width=low)
        else:
            seal = _moved(still, pairs, sheet)
        least = min(least, seal.width)
        yield seal


def _others(window: FlangeOpening, part: Part, outside: Polygon) -> Iterator[_Gas]:
    """Everything that its gas must not reach."""
    mine = _together(part, window.way)
    ways: dict[int | None, list[FlangeOpening]] = {}
    for other in part.flange_openings:
        if other is not window and (other.way is None or other.way not in mine):
            ways.setdefault(other.way, []).append(other)
    for cut in part.cuts:
        if cut.way is None:
            yield _Gas(cut.says, (cut.shape,))
    openings = {cut.way: cut.says for cut in reversed(part.cuts) if cut.way is not None and cut.way not in mine}
    for way, says in openings.items():
        yield _Gas(says, tuple(cut.shape for cut in part.cuts if cut.way == way), tuple(ways.pop(way, ())), way)
    for closed in ways.values():  # no opening of the sheet belongs to them
        yield from (_Gas(one.says, (), (one,), one.way) for one in closed)
    yield _Gas(OUTSIDE, (outside,))


def _together(part: Part, way: int | None) -> set[int]:
    """The ways that this one runs into, and those that they run into."""
    found = set() if way is None else {way}
    while more := {other for pair in part.joined if pair & found for other in pair} - found:
        found |= more
    return found


def _as_drawn(own: _Gas, other: _Gas, sheet: _Sheet) -> tuple[Seal, list[_Pair]]:
    """What no motion changes, and the pairs of which motions take something off."""
    (window,) = own.metal
    fixed = [(sheet.scale, a, b) for a in own.openings for b in other.openings]
    fixed += [(1.0, window.shape, beside.shape) for beside in other.metal if window.faces(beside)]
    widths = [(scale * float(a.distance(b)), a, b) for scale, a, b in fixed]
    at = window.shape.representative_point()
    width, one, beside = min(widths, key=lambda found: found[0], default=(float("inf"), at, at))
    still = Seal(window, other.says, width, _between(one, beside), None, width, other.way)
    moving = [(window.shape, opening) for opening in other.openings]
    moving += [(metal.shape, opening) for metal in other.metal for opening in own.openings]
    return still, [_Pair(metal, opening, *_bounds(metal, opening, sheet)) for metal, opening in moving]


def _bounds(metal: Polygon, opening: Polygon, sheet: _Sheet) -> tuple[float, float]:
    """The distance as drawn, and what every motion leaves of it without looking at motions."""
    drawn = float(metal.distance(opening))
    return drawn, max(0.0, drawn - sheet.sway(metal, drawn)) if drawn else 0.0


def _low(pairs: Sequence[_Pair]) -> float:
    return min((pair.low for pair in pairs), default=float("inf"))


def _moved(still: Seal, pairs: Sequence[_Pair], sheet: _Sheet) -> Seal:
    """The least of what stays as it is and what the worst motions leave."""
    found = still
    for pair in sorted(pairs, key=lambda pair: pair.low):
        if pair.low >= found.width:
            break
        if not pair.drawn:
            at = pair.metal.intersection(pair.opening).representative_point()
            return replace(still, width=0.0, at=(at.x, at.y), motion=(0.0, 0.0, 0.0))
        # A point of the opening that comes to within s of the window stands drawn - s deep in the grown one.
        window = Polygon(grown(pair.metal, pair.drawn).exterior)
        worst = worst_overhang(pair.opening, window, sheet.allowed)
        width = max(pair.low, pair.drawn - worst.bound - CHORD)
        if width < found.width:
            found = replace(still, width=width, at=_between(pair.metal, shapely.Point(worst.at)), motion=worst.motion)
    return found


def _between(one: BaseGeometry, other: BaseGeometry) -> Point:
    a, b = nearest_points(one, other)
    return (a.x + b.x) / 2, (a.y + b.y) / 2
