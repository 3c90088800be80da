"""A frame round the part: it would be cut out as the outside, and the part fall out of it as a hole."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gasketcut.received.groups.paper import paper_of
from gasketcut.received.looks.look import Look
from gasketcut.received.looks.scene import Scene


def frames(scene: Scene) -> Iterator[Look]:
    """The frame that the groups found; else a rectangle of a paper's whole size round everything."""
    found = next((group for group in scene.groups if group.kind == "frame"), None)
    if found is not None:
        yield Look("frame", None, f"looks like the frame of the paper: {found.says}", "--drop frame leaves it out")
        return
    number = paper_round_all(scene)
    if number is not None:
        left, low, right, high = scene.nest.boxes[number].tolist()
        text = f"a rectangle of {right - left:.4g} x {high - low:.4g} mm round everything, the size of a sheet of paper"
        yield Look("frame", (left, low), text, "leave it out if it is the edge of the paper")


def paper_round_all(scene: Scene) -> int | None:
    """The number of a rectangle round everything that is cut, as large as a sheet of paper."""
    nest = scene.nest
    outer = np.flatnonzero(nest.depth == 0)
    if len(outer) != 1 or len(nest.contours) < 2 or not scene.is_rectangle(int(outer[0])):
        return None
    left, low, right, high = nest.boxes[outer[0]].tolist()
    said = paper_of(right - left, high - low)
    return int(outer[0]) if said is not None and "margins" not in said else None
