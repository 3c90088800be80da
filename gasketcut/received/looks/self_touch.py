"""A contour that comes through one point twice: the sheet hangs on nothing there."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gasketcut.received.looks.look import Look
from gasketcut.received.looks.scene import Scene
from gasketcut.tolerances import SAME_PLACE

_WAY = 0.02
"""mm of the contour between the two visits: less is one corner in short lines."""


def self_touches(scene: Scene) -> Iterator[Look]:
    """One for each such point."""
    e = scene.nest.elements
    if not len(e.owner):
        return
    run = np.concatenate([[0.0], np.cumsum(e.lengths())[:-1]])
    seen: set[tuple[int, int, int]] = set()
    for shift in (0.0, SAME_PLACE / 2):  # two grids: what one of them parts lies together in the other
        cells = np.floor((e.start + shift) / SAME_PLACE).astype(np.int64)
        order = np.lexsort((run, cells[:, 1], cells[:, 0], e.owner))
        before, after = order[:-1], order[1:]
        same = (e.owner[before] == e.owner[after]) & (cells[before] == cells[after]).all(axis=1)
        for one, other in zip(before[same].tolist(), after[same].tolist(), strict=True):
            owner = int(e.owner[one])
            between = run[other] - run[one]
            x, y = e.start[one].tolist()
            key = (owner, round(x * 100), round(y * 100))
            if min(between, scene.nest.length[owner] - between) > _WAY and key not in seen:
                seen.add(key)
                yield Look(
                    "self-touch",
                    (x, y),
                    "a contour comes through this point twice: nothing holds there",
                    "move the two corners apart, or make two contours of it",
                )
