"""What a drawing holds in mm: by the unit that its size makes likely, and without what is left out.

A group that is left out may have been the larger part of the drawing, as a frame is, so the unit is asked for again.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import hypot

from gasketcut.plane import Point
from gasketcut.received.drop import Drop, Dropped
from gasketcut.received.faults.flaw import Flaw
from gasketcut.received.faults.levels import level_flaws
from gasketcut.received.groups.explain import groups_of
from gasketcut.received.groups.recognise import recognised_of
from gasketcut.received.groups.recognised import Recognised
from gasketcut.received.reading.drawn_lines import DrawnLine, DrawnLines
from gasketcut.received.reading.elements import elements_of
from gasketcut.received.reading.model_space import lines_of
from gasketcut.received.reading.plane import Plane
from gasketcut.received.reading.tags import TaggedDrawing
from gasketcut.received.reading.unit import FACTORS, Unit, declared_unit, unit_of

FAR = 10_000.0
"""Where the lower left corner is farther from the origin than this [mm], readers begin to lose digits."""


@dataclass(frozen=True, slots=True)
class Placed:
    """What is drawn, in mm.

    plane   : from the file's numbers to them
    flaws   : of unit and place; those of single things and of heights stand in `found`
    groups  : what is recognised and stays
    gone    : numbers of the things that went with groups, and what was said of these
    """

    found: DrawnLines
    unit: Unit
    plane: Plane
    flaws: tuple[Flaw, ...]
    groups: tuple[Recognised, ...] = ()
    gone: frozenset[int] = frozenset()
    dropped: tuple[Dropped, ...] = ()


def without_dropped(drawing: TaggedDrawing, units: str | None, drop: Drop) -> Placed:
    """The drawing without what is left out, and the groups in the rest."""
    whole = _placed(drawing, units, drop, frozenset())
    groups = recognised_of(whole.found, drawing.linetypes)
    going = [one for one in groups if one.kind in drop.words]
    stay = tuple(one for one in groups if one.kind not in drop.words)
    if not going:
        return replace(whole, groups=stay)
    gone = frozenset(number for one in going for number in one.numbers)
    named = zip(going, groups_of(going, whole.plane), strict=True)
    dropped = tuple(Dropped(one.kind, group.at, f"{group.called}: {one.says}") for one, group in named)
    rest = _placed(drawing, units, drop, gone)
    moved = tuple(replace(one, at=rest.plane(*whole.plane.back(one.at))) for one in stay)
    return replace(rest, groups=moved, gone=gone, dropped=dropped)


def _placed(drawing: TaggedDrawing, units: str | None, drop: Drop, without: frozenset[int]) -> Placed:
    guess = FACTORS.get(units or declared_unit(drawing) or "mm", 1.0)  # mostly right, so that nothing is read twice
    first = Plane(guess, 0.0, 0.0, guess)
    found = lines_of(drawing, first, drop, without)
    low, high = (first.back(corner) for corner in bounds_of(found.lines))
    extent = max(high[0] - low[0], high[1] - low[1])
    unit, flaws = unit_of(drawing, extent, units)
    far = max(abs(number) for number in low) * unit.factor > FAR
    plane = Plane(unit.factor, 0.0, 0.0, unit.factor)
    if far:
        plane = Plane(unit.factor, 0.0, 0.0, unit.factor, -low[0] * unit.factor, -low[1] * unit.factor)
        text = f"lies {hypot(*low) * unit.factor / 1000:.4g} m from the origin"
        flaws = [*flaws, Flaw("far", low, text, "move it to the origin")]
    if plane != first:
        found.lines.clear()  # a long drawing is not held twice
        found = lines_of(drawing, plane, drop, without)
    found.flaws += level_flaws(found.lines, extent, unit.factor)
    return Placed(found, unit, plane, tuple(flaws))


def bounds_of(lines: list[DrawnLine]) -> tuple[Point, Point]:
    """Lower left and upper right of all lines; the origin if there are none."""
    if not lines:
        return (0.0, 0.0), (0.0, 0.0)
    elements = elements_of(lines)
    low, high = elements.bounds()
    return (float(low[0]), float(low[1])), (float(high[0]), float(high[1]))
