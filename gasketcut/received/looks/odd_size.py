"""A size that is possible in its unit and odd: numbers of the other unit under its name?"""

from __future__ import annotations

from collections.abc import Iterator

from gasketcut.length import IN
from gasketcut.received.looks.look import Look
from gasketcut.received.looks.scene import Scene
from gasketcut.received.reading.unit import SMALL
from gasketcut.shape.loop import Circle

_SMALL_WITH_HOLES = 25.0
"""mm; a part up to this whose smallest hole is under LEAST_HOLE, too, is odd. Ours."""

_LEAST_HOLE = 0.55  # mm: hardly any cutter makes it, so hardly anybody draws it
_LARGE_IN, _LARGE_HOLE_IN = 10.0, 2.0
"""In inches: a part from the first on with several holes, none under the second, was rather drawn in mm. Ours."""

_WORDS = {"mm": "mm", "in": "inches"}


def odd_size(scene: Scene) -> Iterator[Look]:
    """One at most; none where the user said the unit."""
    nest, unit = scene.nest, scene.unit.likely
    if scene.unit_said or not len(nest.contours) or unit not in ("mm", "in"):
        return
    width = float(nest.boxes[:, 2].max() - nest.boxes[:, 0].min())
    height = float(nest.boxes[:, 3].max() - nest.boxes[:, 1].min())
    holes = [2 * one.radius for one, hole in zip(nest.contours, scene.is_hole, strict=True)
             if hole and isinstance(one, Circle)]  # fmt: skip
    least, larger = min(holes, default=None), max(width, height)
    if unit == "mm":
        small = larger < SMALL or (larger < _SMALL_WITH_HOLES and least is not None and least < _LEAST_HOLE)
        if small:
            yield _look(width, height, least, "mm", "in", IN)
    elif larger > _LARGE_IN * IN and len(holes) > 1 and least is not None and least > _LARGE_HOLE_IN * IN:
        yield _look(width, height, least, "in", "mm", 1 / IN)


def _look(width: float, height: float, least: float | None, unit: str, other: str, factor: float) -> Look:
    holes = f", smallest hole {least:.3g} mm" if least is not None else ""
    then = f", hole {least * factor:.3g} mm" if least is not None else ""
    return Look(
        "odd-size",
        None,
        f"read as {_WORDS[unit]} it is {width:.4g} x {height:.4g} mm{holes}, which is odd; "
        f"as {_WORDS[other]} it would be {width * factor:.4g} x {height * factor:.4g} mm{then}",
        f"ask for the size; if it is that: --units {other}",
    )
