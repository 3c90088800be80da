"""Several views of one part: front, top, side, as projected from each other, each of which would be cut.

In a projection two views share one extent exactly and lie in line by it. Nested parts in rows do that too; so either
three views agree in all three sizes, or one of two is a bare strip, as a sheet is from its edge.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import permutations

import numpy as np

from gasketcut.arrays import Array
from gasketcut.received.looks.look import Look
from gasketcut.received.looks.scene import Scene

_MOST = 12
"""Pieces; more of them are no views. Ours."""

_IN_LINE = 0.01
"""mm within which views lie in line."""

_EDGE, _THIN = 25.0, 0.5
"""mm, and of the other side: as thick as a sheet is seen from its edge. Ours."""


def views(scene: Scene) -> Iterator[Look]:
    """One for all views together; our own files hold none."""
    found = [] if scene.is_ours else _views(scene)
    if found:
        text = f"{len(found)} outlines lie in line and share their sizes: views of one part? Each would be cut"
        yield Look("views", scene.place(found[0]), text, "leave the view that is to be cut")


def _views(scene: Scene) -> list[int]:
    nest = scene.nest
    outer = np.flatnonzero(nest.depth == 0)
    if len(outer) == 1 and scene.is_rectangle(int(outer[0])):  # in a frame, if there is one
        inside = np.flatnonzero(nest.depth == 1)
        framed = any(group.kind == "frame" for group in scene.groups)
        outer = inside if framed else outer
    if not 2 <= len(outer) <= _MOST:
        return []
    boxes = nest.boxes[outer]
    numbers = outer.tolist()
    for front, top, side in permutations(range(len(numbers)), 3):
        if _in_line(boxes[front], boxes[top], 0) and _in_line(boxes[front], boxes[side], 1):
            depth, also = boxes[top][3] - boxes[top][1], boxes[side][2] - boxes[side][0]
            height, width = boxes[front][3] - boxes[front][1], boxes[front][2] - boxes[front][0]
            equal = abs(depth - height) <= _IN_LINE and abs(depth - width) <= _IN_LINE
            if abs(depth - also) <= _IN_LINE and not equal:
                return [numbers[front], numbers[top], numbers[side]]
    children = nest.children
    for face, edge in permutations(range(len(numbers)), 2):
        for axis in (0, 1):
            size = boxes[edge][2:] - boxes[edge][:2]
            strip = size[1 - axis] <= min(_EDGE, _THIN * size[axis]) and numbers[edge] not in children
            if strip and _in_line(boxes[face], boxes[edge], axis) and scene.is_rectangle(numbers[edge]):
                shaped = numbers[face] in children or not scene.is_rectangle(numbers[face])
                if shaped:
                    return [numbers[face], numbers[edge]]
    return []


def _in_line(one: Array, other: Array, axis: int) -> bool:
    """Whether both have the same extent along the axis (0: x) and lie apart along the other."""
    same = np.abs(one[[axis, axis + 2]] - other[[axis, axis + 2]]).max() <= _IN_LINE
    across = 1 - axis
    apart = one[across] > other[across + 2] or other[across] > one[across + 2]
    return bool(same and apart)
