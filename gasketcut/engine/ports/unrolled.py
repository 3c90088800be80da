"""The bore's wall laid flat: where each port's window stands round it and below the deck, old and new.

Wall    measured round the bore [mm]; a calliper across a window measures its chord, which is less.
Roof    a window's upper edge, floor its lower one: mm below the deck.
Centre  degrees round the bore, counter-clockwise from above: 0 right, 90 front (the exhaust side), 180 left, 270 rear.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import asin, cos, pi, radians, sin

from gasketcut.engine.assumptions import SAME_EDGE
from gasketcut.engine.ports.crank import Crank
from gasketcut.engine.ports.port_change import PortChange, wall_width
from gasketcut.engine.ports.timing import heights_of
from gasketcut.job.model import Engine, PortTiming
from gasketcut.plane import Point


@dataclass(frozen=True, slots=True, kw_only=True)
class WallWindow:
    """A window on the wall: centre [deg], chord, roof, floor and corner [mm]."""

    name: str
    centre: float
    chord: float
    roof: float
    floor: float
    corner: float = 0.0

    def wall(self, bore: float) -> float:
        """Its width round the wall [mm]."""
        return wall_width(self.chord, bore)

    def outline(self, bore: float) -> tuple[Point, ...]:
        """Closed line of points (along the wall from the window's centre, depth below the deck) [mm].

        The window is a rectangle with round corners as one looks into it; laid flat its corners are a little wider.
        """
        half, r = self.chord / 2, min(self.corner, self.chord / 2, (self.floor - self.roof) / 2)
        points: list[Point] = []
        for quarter, (x, y) in enumerate(
            (
                (half - r, self.roof + r),
                (half - r, self.floor - r),
                (r - half, self.floor - r),
                (r - half, self.roof + r),
            )
        ):
            steps = 12 if r > 0 else 0
            for step in range(steps + 1):
                turn = radians(-90 + 90 * quarter + (90 * step / steps if steps else 0))
                points.append((along_wall(x + r * cos(turn), bore), y + r * sin(turn)))
        return (*points, points[0])


@dataclass(frozen=True, slots=True)
class OnWall:
    """A window as it is and as it is to become: None where nothing changes; `restores` says that the new edge is not
    work that was asked for but what would bring the old timing back with the new gasket."""

    old: WallWindow
    new: WallWindow | None = None
    restores: bool = False


@dataclass(frozen=True, slots=True)
class NotDrawn:
    """A port that the job does not say enough of, and the keys to add to it."""

    name: str
    add: tuple[str, ...]
    line: int


def circumference(bore: float) -> float:
    """Width of the wall laid flat [mm].

    >>> round(circumference(66.0), 2)
    207.35
    """
    return pi * bore


def along_wall(x: float, bore: float) -> float:
    """Round the wall [mm] from where a window faces one to a point that lies `x` to its side, seen straight on.

    Half the chord gives half the wall width. Source: geometry, arc = B/2 asin(2 x/B).

    >>> round(2 * along_wall(40.92 / 2, 66.0), 2)
    44.14
    """
    return bore / 2 * asin(max(-1.0, min(1.0, 2 * x / bore)))


def across(wall: float, bore: float) -> float:
    """The chord [mm] of a width measured round the wall.

    >>> round(across(44.14, 66.0), 2)
    40.92
    """
    return bore * sin(wall / bore)


def share(wall: float, bore: float) -> float:
    """Degrees round the bore of a length along the wall [mm]."""
    return wall / circumference(bore) * 360


def on_wall(
    engine: Engine, crank: Crank | None, done: dict[str, PortChange], moved: float
) -> tuple[tuple[OnWall, ...], tuple[NotDrawn, ...]]:
    """The windows that can be drawn, and the ports that cannot.

    done  : port work by port
    moved : how much higher the cylinder will stand [mm]; below zero: lower
    """
    drawn, left = [], []
    for port in (port for port in engine.ports if not port.is_rotary):  # whose window lies beside the crank
        roof, floor = heights_of(port, crank, engine.deck)
        missing = _missing(port, roof, floor)
        if (
            not missing
            and port.centre is not None
            and port.width is not None
            and roof is not None
            and floor is not None
        ):
            old = WallWindow(
                name=port.name, centre=port.centre, chord=port.width, roof=roof, floor=floor, corner=port.corner
            )
            drawn.append(_changed(old, port, done.get(port.name), moved))
        elif port.is_by_piston or port.width is not None:
            left.append(NotDrawn(port.name, missing, port.line))
    return tuple(drawn), tuple(left)


def _missing(port: PortTiming, roof: float | None, floor: float | None) -> tuple[str, ...]:
    keys = []
    if port.centre is None:
        keys.append(f'centre = "{_likely_centre(port)} deg" (where it stands round the bore)')
    if port.width is None:
        keys.append("width = 20.0 (chord)")
    if port.is_by_crown:
        if roof is None:
            keys.append("depth = 25.0 (deck to roof)")
        if port.height is None and port.floor is None:
            keys.append("height = 10.0 (roof to floor)")
    else:
        if floor is None:
            keys.append("floor = 47.0 (deck to its lower edge)")
        if port.height is None:
            keys.append("height = 12.0 (roof to floor)")
    if not keys and roof is not None and floor is not None and not 0 <= roof < floor:
        keys.append(f"a floor below its roof: they come out as {floor:.2f} and {roof:.2f} mm from the deck")
    return tuple(keys)


def _likely_centre(port: PortTiming) -> int:
    return 90 if port.is_exhaust else 0 if port.is_transfer else 270


def _changed(old: WallWindow, port: PortTiming, work: PortChange | None, moved: float) -> OnWall:
    removed = widened = 0.0
    if work is not None:
        removed, widened = work.removed, work.widened
    elif port.is_by_piston:
        # Metal only comes off: a roof can follow a cylinder that went down, an intake's floor one that went up.
        removed = max(0.0, -moved if port.is_by_crown else moved)
    if removed < SAME_EDGE and widened < SAME_EDGE:
        return OnWall(old)
    new = replace(old, chord=old.chord + widened)
    new = replace(new, roof=old.roof - removed) if port.is_by_crown else replace(new, floor=old.floor + removed)
    return OnWall(old, new, restores=work is None)


def seam(windows: Iterable[OnWall], bore: float, ring_pin: float | None = None) -> float:
    """The best angle at which to cut the wall open: the middle of the widest stretch without window or pin [deg]."""
    spans = [] if ring_pin is None else [(ring_pin % 360, ring_pin % 360)]
    for window in windows:
        wide = max(share(one.wall(bore), bore) for one in (window.old, window.new) if one is not None)
        spans.append((window.old.centre % 360 - wide / 2, window.old.centre % 360 + wide / 2))
    if not spans:
        return 270.0
    spans.sort()
    gaps = []
    end = max(last for _, last in spans) - 360
    for first, last in spans:
        gaps.append((first - end, (first + end) / 2))
        end = max(end, last)
    return max(gaps, key=lambda gap: (round(gap[0], 6), gap[1]))[1] % 360
