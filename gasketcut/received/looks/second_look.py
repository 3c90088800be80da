"""The second look: after the faults, what would probably scrap the sheet.

A false alarm costs more trust than it saves sheets: each look says what speaks for it, and ordinary parts pass.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import islice

from gasketcut.received.looks.far_off import far_off
from gasketcut.received.looks.frame import frames
from gasketcut.received.looks.layers import marked_layers
from gasketcut.received.looks.look import Look
from gasketcut.received.looks.narrow_places import narrow_places, small_holes
from gasketcut.received.looks.near_doubles import near_doubles
from gasketcut.received.looks.odd_size import odd_size
from gasketcut.received.looks.scene import Scene
from gasketcut.received.looks.self_touch import self_touches
from gasketcut.received.looks.threads import threads
from gasketcut.received.looks.views import views
from gasketcut.received.reading.plane import Plane

WIDTHS = (near_doubles, small_holes, narrow_places)
LOOKS: tuple[Callable[[Scene], Iterator[Look]], ...] = (
    odd_size, frames, views, far_off, marked_layers, threads, self_touches, *WIDTHS,
)  # fmt: skip

MOST = 50
"""Of each kind, that are listed one by one."""


def second_look(scene: Scene, plane: Plane) -> tuple[Look, ...]:
    """All looks, their places in the file's own numbers."""
    found: list[Look] = []
    for look_for in LOOKS:
        if look_for in WIDTHS and any(one.kind == "odd-size" for one in found):
            break  # one wrong unit makes every hole too small
        rows = look_for(scene)
        found += [replace(one, at=plane.back(one.at) if one.at else None) for one in islice(rows, MOST)]
        if (more := sum(1 for _ in rows)) > 0:
            found.append(replace(found[-1], at=None, text=f"and {more} more like the last {MOST}"))
    return tuple(found)
