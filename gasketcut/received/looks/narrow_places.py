"""Holes, slits and webs below the least that is cut: between two contours, and where one comes near itself.

Web    sheet between two cuts. Slit: scrap between two cuts.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from gasketcut.received.looks.look import Look
from gasketcut.received.looks.near_doubles import doubles_of
from gasketcut.received.looks.near_itself import near_itself
from gasketcut.received.looks.scene import Scene
from gasketcut.received.stock.neighbours import gap, is_web, near_pairs
from gasketcut.shape.loop import Circle
from gasketcut.shape.narrow import Narrow, width_of
from gasketcut.tolerances import SAME_PLACE

_SAME = 1e-3  # mm: what is drawn with just the least is right
_LONG = 2.5
"""Times its width that an opening is long at least to be a slot and not a hole. Ours."""


def small_holes(scene: Scene) -> Iterator[Look]:
    """One for each hole or slot below the least."""
    nest, least = scene.nest, scene.least
    holes = np.flatnonzero(scene.is_hole & (nest.length > 0))
    # source: area <= r length for the widest disc's radius r (Bonnesen): what may be under the least
    may = holes[2 * nest.area[holes] / nest.length[holes] < max(least.hole, least.slot)]
    for number in may.tolist():
        one = nest.contours[number]
        if not isinstance(one, Circle) and not nest.rings[number].is_simple:
            continue
        width = width_of(one)
        is_slot = nest.length[number] / 2 > (_LONG + 1) * width.width
        limit = least.slot if is_slot else least.hole
        if width.width < limit - _SAME:
            what = "a slot" if is_slot else "a hole"
            yield Look(
                "small-hole",
                width.at,
                f"{what} of {_mm(width.width)} mm; {least.says(limit)}",
                "make it larger, or drill it afterwards",
            )


def narrow_places(scene: Scene) -> Iterator[Look]:
    """One for each web and slit below the least between two contours, and in one."""
    nest, least = scene.nest, scene.least
    # source: as for holes
    thin = np.flatnonzero(~scene.is_hole & (2 * nest.area < least.web * nest.length))
    for number in thin.tolist():
        if nest.rings[number].is_simple and (width := width_of(nest.contours[number])).width < least.web - _SAME:
            text = f"a part that is nowhere wider than {_mm(width.width)} mm; {least.says(least.web)}"
            yield Look("thin-web", width.at, text, "ask whether it is a part")
    doubles = {(min(a, b), max(a, b)) for a, b, _ in doubles_of(nest, least.kerf)}
    i, j = near_pairs(nest, max(least.web, least.slit))
    webs: Any = is_web(nest, i, j)
    for one, other, web in zip(i.tolist(), j.tolist(), webs.tolist(), strict=True):
        if (min(one, other), max(one, other)) in doubles:
            continue
        yield from _judged(scene, gap(nest, one, other), web)
    found = near_itself(nest, max(least.web, least.slit))
    if found.skipped:
        text = f"necks within one contour were not looked for: {found.skipped:,} lines are too many"
        yield Look("thin-web", None, text, "look at it by eye")
    for place, web in found.places:
        yield from _judged(scene, place, web)


def _judged(scene: Scene, place: Narrow, web: bool) -> Iterator[Look]:
    limit = scene.least.web if web else scene.least.slit
    if not SAME_PLACE < place.width < limit - _SAME:  # what touches is a fault or a look of its own
        return
    if web:
        text, do = "of sheet between two cuts", "move the two edges apart, or let them become one"
    else:
        text, do = "of scrap between two cuts: they run together", "move the two edges apart, or leave one of them"
    kind = "thin-web" if web else "narrow-slit"
    yield Look(kind, place.at, f"{_mm(place.width)} mm {text}; {scene.least.says(limit)}", do)


def _mm(width: float) -> str:
    return f"{width:.3f}".rstrip("0").rstrip(".") if width >= 0.0005 else f"{width:.1g}"
