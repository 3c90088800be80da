"""What lies far from everything else: a stray that nobody sees on the screen, and that makes the sheet too small."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

import numpy as np

from gasketcut.arrays import Array
from gasketcut.received.looks.look import Look
from gasketcut.received.looks.scene import Scene

_TIMES, _AT_LEAST = 3.0, 300.0
"""Farther off than this many times the size of the rest, and than so many mm. Ours."""

_SHARE = 0.2
"""What is off is less than this share of all; else these are rather two parts. Ours."""


def far_off(scene: Scene) -> Iterator[Look]:
    """One for each group of lines that lies far from the rest."""
    nest = scene.nest
    outer = np.flatnonzero(nest.parent < 0)
    boxes = np.vstack([nest.boxes[outer], scene.open])
    if len(boxes) < 2:
        return
    sizes = np.hypot(boxes[:, 2] - boxes[:, 0], boxes[:, 3] - boxes[:, 1])
    whole = np.hypot(*(boxes[:, 2:].max(axis=0) - boxes[:, :2].min(axis=0)))
    reach = max(_AT_LEAST, _TIMES * float(sizes.max()))
    if whole <= reach:
        return
    groups = _joined(boxes, reach)
    if len(groups) < 2:
        return
    main = max(groups, key=lambda group: float(sizes[group].sum()))
    low, high = boxes[main][:, :2].min(axis=0), boxes[main][:, 2:].max(axis=0)
    for group in groups:
        here = boxes[group]
        off = float(np.hypot(*np.maximum(0.0, np.maximum(here[:, :2] - high, low - here[:, 2:])).T).min())
        if group is main or sizes[group].sum() > _SHARE * sizes.sum() or off < _TIMES * np.hypot(*(high - low)):
            continue
        left, lower, right, upper = here[0].tolist()
        what = "a line lies" if len(group) == 1 else f"{len(group)} lines lie"
        yield Look(
            "far-off",
            ((left + right) / 2, (lower + upper) / 2),
            f"{what} {off / 1000:.3g} m from everything else",
            "take it out of the drawing, or ask whether it belongs to the part",
        )


def _joined(boxes: Array, reach: float) -> list[list[int]]:
    """Numbers of boxes that come within the reach of each other, over others too: those in one cell or in the next."""
    cells: dict[tuple[int, int], list[int]] = defaultdict(list)
    middles = np.floor((boxes[:, :2] + boxes[:, 2:]) / 2 / reach).astype(np.int64)
    for number, (x, y) in enumerate(middles.tolist()):
        cells[x, y].append(number)
    groups = []
    while cells:
        at = [next(iter(cells))]
        group = cells.pop(at[0])
        while at:
            x, y = at.pop()
            for cell in [(x + i, y + j) for i in (-1, 0, 1) for j in (-1, 0, 1)]:
                if cell in cells:
                    group += cells.pop(cell)
                    at.append(cell)
        groups.append(group)
    return groups
