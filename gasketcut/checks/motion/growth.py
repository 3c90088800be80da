"""The worst overhang of a sheet that may have grown or shrunk before it is fitted.

Neither the sheet as it is nor the one that has grown most need be the worst: where one hole has more play than the
other, some share between lets the sheet shift farthest. So the range of shares is halved. Whatever a share within a
piece of the range allows, the middle share allows with as much more play as the holes move from there to its end.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from heapq import heappop, heappush

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import Polygon

from gasketcut.checks.motion.cells import enough_for
from gasketcut.checks.motion.shift import Worst, worst_overhang
from gasketcut.shape.motion import Locator, free_motions

MOST = 20
"""Pieces looked at; beyond it the bound stays a bound but is not as close."""


def worst_grown(solid: Polygon, window: Polygon, locators: Sequence[Locator], most_growth: float) -> Worst | None:
    """The worst over all motions and every share of growth up to `most_growth`, negative for shrinking.

    None if the sheet does not go over its studs as it is, or can come near the window with no share.
    """
    places = np.array([one.at for one in locators])
    middle = (float(places[:, 0].mean()), float(places[:, 1].mean()))
    far = np.hypot(*(places - middle).T)
    reach = float(np.max(np.hypot(*(shapely.get_coordinates(window) - middle).T)))

    def at(share: float, spread: float) -> Worst | None:
        """The worst at the share; with `spread`, of all shares that far about it."""
        wider = [one._replace(play=one.play + spread * float(arm)) for one, arm in zip(locators, far, strict=True)]
        free = free_motions(wider, share)
        return (
            worst_overhang(affinity.scale(solid, 1 + share, 1 + share, origin=middle), window, free) if free else None
        )

    known = [worst for share in (0.0, most_growth) if (worst := at(share, 0.0)) is not None]
    if not known:
        return None
    best = max(known, key=lambda worst: worst.reached)
    highest = max(worst.bound for worst in known)
    pieces: list[tuple[float, float, float]] = []

    def ask(low: float, high: float) -> None:
        spread = (high - low) / 2
        worst = at((low + high) / 2, spread)
        if worst is not None:
            # A point of the sheet near the window moves with the share, too.
            heappush(pieces, (-(worst.bound + spread * (reach + 1.0)), low, high))

    ask(min(0.0, most_growth), max(0.0, most_growth))
    for _ in range(MOST):
        if not pieces or -pieces[0][0] <= max(highest, enough_for(best.reached)):
            break
        _, low, high = heappop(pieces)
        share = (low + high) / 2
        tried = at(share, 0.0)
        if tried is not None:
            best = max(best, tried, key=lambda worst: worst.reached)
            highest = max(highest, tried.bound)
        ask(low, share)
        ask(share, high)
    left = -pieces[0][0] if pieces else highest
    return replace(best, bound=max(highest, left))
