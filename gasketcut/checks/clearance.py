"""How clear the sheet stays of every port and passage in the metal: as drawn, and over every motion of its studs.

Clear  the least clearance proven over all motions [mm]; negative: the sheet hangs into the gas by so much.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import hypot

import numpy as np
import shapely
from shapely.geometry import Polygon

from gasketcut.checks.motion.growth import worst_grown
from gasketcut.checks.motion.shift import SPACING, Worst, worst_overhang
from gasketcut.checks.overhang import AsDrawn, as_drawn
from gasketcut.parts.part import FlangeOpening, Part, Stud
from gasketcut.shape.motion import Free, Locator, free_motions

LEAST = 0.005
"""mm; a bound this small is no overhang but the uncertainty of the bound. Our choice."""


@dataclass(frozen=True, slots=True)
class Clearance:
    """Of one port or passage.

    worst  the motion that brings the sheet deepest; None if no edge can come near, or if nothing locates the sheet
    clear  least clearance over all motions [mm]; None if it is not known what locates the sheet
    """

    window: FlangeOpening
    drawn: AsDrawn
    worst: Worst | None
    clear: float | None

    @property
    def can_shift_in(self) -> bool:
        """Clear as drawn, but not over every motion."""
        return not self.drawn.hangs_in and self.clear is not None and self.clear < -LEAST


def locators(studs: Sequence[Stud]) -> list[Locator]:
    """The studs as what bounds the sheet's motion."""
    return [Locator(stud.center, stud.play, stud.slot, stud.turn) for stud in studs]


def clearances(part: Part, growth_percent: float = 0.0) -> tuple[Clearance, ...]:
    """For each window in the metal; with growth, the sheet may have grown by any share up to that one."""
    if not part.flange_openings:
        return ()
    studs = locators(part.studs)
    free = free_motions(studs) if studs else None
    return tuple(_clearance(part, window, studs, free, growth_percent / 100) for window in part.flange_openings)


def _clearance(part: Part, window: FlangeOpening, studs: list[Locator], free: Free | None, growth: float) -> Clearance:
    drawn = as_drawn(part, window)
    if free is None:
        return Clearance(window, drawn, None, -drawn.depth if drawn.hangs_in else None)
    if growth:
        worst = worst_grown(part.solid, window.shape, studs, growth)
    else:
        worst = worst_overhang(part.solid, window.shape, free)
    # Without a worst motion no edge comes nearer than SPACING, or all of the window is covered.
    away = max(SPACING, drawn.gap - most_displacement(part.studs, window.shape)) if worst is None else 0.0
    clear = away if worst is None else -worst.bound
    return Clearance(window, drawn, worst, min(clear, -drawn.depth) if drawn.hangs_in else clear)


def most_displacement(studs: Sequence[Stud], window: Polygon) -> float:
    """A bound on how far any motion carries the sheet where the window is [mm], without looking at motions.

    A rigid motion displaces points linearly, so between the studs nothing moves farther than the stud that moves most;
    outside them the turn adds its share, and two studs allow no more turn than both plays over their distance.
    """
    most = max(stud.play + stud.slot for stud in studs)
    places = shapely.MultiPoint([stud.center for stud in studs])
    spans = [
        (a.play + a.slot + b.play + b.slot) / hypot(b.center[0] - a.center[0], b.center[1] - a.center[1])
        for a, b in combinations(studs, 2)
    ]
    if not spans:
        return float("inf")
    corners = shapely.points(shapely.get_coordinates(window))
    return most + float(np.max(shapely.distance(places.convex_hull, corners))) * min(spans)
