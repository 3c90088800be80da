"""Two circles about one middle where a hole is meant: a thread, a countersink or a counterbore, seen from above.

Core   of a thread: 0.75 to 0.95 of the diameter (ISO 724, M2 to M30 fine and coarse).
"""

from __future__ import annotations

from collections.abc import Iterator

from gasketcut.received.looks.look import Look
from gasketcut.received.looks.scene import Scene
from gasketcut.shape.loop import Circle

_LARGEST = 60.0
"""mm; a larger hole with a disc in it is rather a ring cut round a disc. Ours."""

_SMALL_RING = 20.0
"""mm; a ring that lies in a larger hole may be another part. Ours."""

_CORE = (0.75, 0.95)
_LEAST = 0.4
"""Of the outer diameter: a hole in a countersink is hardly smaller. Ours."""

_SAME_MIDDLE = 0.01  # of the outer radius


def threads(scene: Scene) -> Iterator[Look]:
    """A circle within a circular hole, about the same middle."""
    nest, children, is_hole = scene.nest, scene.nest.children, scene.is_hole
    for inner in scene.circles():
        outer = int(nest.parent[inner])
        if outer < 0 or not is_hole[outer] or len(children[outer]) != 1:
            continue
        large, small = nest.contours[outer], nest.contours[inner]
        if not isinstance(large, Circle) or not isinstance(small, Circle):
            continue
        if 2 * large.radius > (_SMALL_RING if inner in children else _LARGEST):
            continue
        (x, y), (u, v) = large.center, small.center
        share = small.radius / large.radius
        if large.radius - small.radius <= scene.least.kerf:  # nothing to be seen between: a near double
            continue
        if max(abs(x - u), abs(y - v)) > _SAME_MIDDLE * large.radius or share < _LEAST:
            continue
        what = "a thread" if _CORE[0] <= share <= _CORE[1] else "a countersink or counterbore"
        yield Look(
            "thread",
            small.center,
            f"circles of {2 * small.radius:.4g} and {2 * large.radius:.4g} mm about one middle, {what}? "
            "Both would be cut",
            "keep only the circle that is to be cut",
        )
