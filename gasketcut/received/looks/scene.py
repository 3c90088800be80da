"""What the looks look at: the contours that are cut, sorted into each other, and what is known of the file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gasketcut.arrays import Array
from gasketcut.plane import Point
from gasketcut.received.arcs.smooth import Smooth
from gasketcut.received.faults.contour_search import FoundContours
from gasketcut.received.faults.taken import OURS, Taken
from gasketcut.received.groups.group import Group
from gasketcut.received.looks.least import Least
from gasketcut.received.reading.drawn_lines import DrawnLine
from gasketcut.received.reading.elements import elements_of
from gasketcut.received.reading.unit import Unit
from gasketcut.received.stock.nest import Nest, nest_of
from gasketcut.shape.loop import Circle, Loop


@dataclass(frozen=True, slots=True)
class Scene:
    """Lengths in mm.

    nest      the closed contours that are cut
    layers    of each of them
    open      boxes of the open lines that are cut, shape (m, 4): left, low, right, high
    open_lengths  of each of them
    unit_said whether the user said the unit: then it is not questioned
    """

    nest: Nest
    layers: Sequence[str]
    open: Array
    open_lengths: Array
    unit: Unit
    unit_said: bool
    taken: Sequence[Taken]
    groups: Sequence[Group]
    least: Least

    @property
    def is_ours(self) -> bool:
        """Whether all that is cut lies where our own files have it."""
        return bool(self.layers) and all(layer in OURS for layer in self.layers)

    @property
    def is_hole(self) -> NDArray[np.bool_]:
        return np.asarray(self.nest.depth % 2 == 1)

    def circles(self) -> list[int]:
        """Numbers of the whole circles."""
        return [number for number, one in enumerate(self.nest.contours) if isinstance(one, Circle)]

    def place(self, number: int) -> Point:
        """The middle of a contour's box."""
        left, low, right, high = self.nest.boxes[number].tolist()
        return (left + right) / 2, (low + high) / 2

    def is_rectangle(self, number: int) -> bool:
        """Four straight sides at right angles, turned or not."""
        one = self.nest.contours[number]
        if not isinstance(one, Loop) or len(one.points) != 4 or any(one.bulges):
            return False
        sides = np.diff(np.array([*one.points, one.points[0], one.points[1]]), axis=0)
        dots = np.abs(np.sum(sides[:-1] * sides[1:], axis=1))
        size = np.hypot(*sides.T)
        return bool((dots <= 1e-4 * size[:-1] * size[1:]).all())


def scene_of(
    found: FoundContours,
    written: Sequence[Smooth],
    unit: Unit,
    groups: Sequence[Group],
    least: Least,
    *,
    unit_said: bool,
) -> Scene:
    """The scene of what was found, its contours as they would be written; marks are not in it."""
    cut = [(one, each) for one, each in zip(found.closed, written, strict=True) if not one.is_mark]
    loose = [DrawnLine("OPEN", one.layer, one.segments) for one in found.open if not one.is_mark]
    elements, count = elements_of(loose), len(loose)
    low, high = np.full((count, 2), np.inf), np.full((count, 2), -np.inf)
    lows, highs = elements.spans()
    np.minimum.at(low, elements.owner, lows)
    np.maximum.at(high, elements.owner, highs)
    return Scene(
        nest=nest_of([each.contour for _, each in cut]),
        layers=[one.layer for one, _ in cut],
        open=np.hstack([low, high]),
        open_lengths=np.bincount(elements.owner, elements.lengths(), count).astype(np.float64),
        unit=unit,
        unit_said=unit_said,
        taken=found.taken,
        groups=groups,
        least=least,
    )
