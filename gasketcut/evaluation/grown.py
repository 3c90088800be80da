"""Ports that `[[work]]` grinds larger at a flange: the parts as they will be, and each such port as it was and will be.

A part keeps the outline that it had: what is ground is the port, not the flange.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import Polygon

from gasketcut.checked import Path
from gasketcut.errors import ShapeError
from gasketcut.job.model import Job, PortWork
from gasketcut.length import both
from gasketcut.parts.part import Part
from gasketcut.parts.part_spec import Around, PartSpec
from gasketcut.parts.rules import OutlineRule
from gasketcut.parts.rules.kept import Kept
from gasketcut.parts.window import Window
from gasketcut.parts.words import Drawings, Placed
from gasketcut.parts.words.grown import Grown

_PUT_BACK = 0.01
"""mm by which a new edge may lie inside the old one before it counts as metal put back. Our choice: nobody sees it."""


@dataclass(frozen=True, slots=True)
class GrownPort:
    """One port of the part of that name, before the work and after; `flange` is the part's edge, None of a joint."""

    work: PortWork
    part: str
    before: Window
    after: Window
    flange: Polygon | None


def grown_ports(
    job: Job, specs: tuple[PartSpec, ...], around: Callable[[PartSpec], Around]
) -> tuple[tuple[PartSpec, ...], tuple[GrownPort, ...]]:
    """The parts with the ports as they will be, and those ports.

    Raise `JobError` for work that would leave the flange or put metal back.
    """
    made, ports, wrong = [], [], []
    for spec in specs:
        works = [work for work in job.work if work.part == spec.name]
        if not works:
            made.append(spec)
            continue
        drawings, before = around(spec).drawings, _as_it_was(spec, around(spec))
        flange = None if before is None else before.outer
        grown = [_grown(work, spec, flange) for work in works]
        for one in grown:
            wrong += [(_path(one.work), words) for words in _problems(one, drawings)]
        after = {id(one.before): one.after for one in grown}
        windows = tuple(after.get(id(window), window) for window in spec.windows)
        outline = spec.outline
        if before is not None and isinstance(outline, OutlineRule):
            outline = Kept(before.outer, before.known)
        made.append(replace(spec, windows=windows, outline=outline))
        ports += grown
    if wrong:
        raise job.refused(*wrong)
    return tuple(made), tuple(ports)


def _as_it_was(spec: PartSpec, around: Around) -> Part | None:
    """The part before the work, for its edge; None where it has none of its own or cannot be drawn, which is said when
    the part itself is."""
    if not spec.is_cut or spec.of is not None:
        return None
    try:
        return replace(spec, nick=False).built(around)
    except ShapeError:
        return None


def _grown(work: PortWork, spec: PartSpec, flange: Polygon | None) -> GrownPort:
    (window,) = work.windows_of(spec)
    old = window.placed
    if work.to is not None:
        placed = Placed(work.to, old.at if work.at is None else work.at, old.turn)
    else:
        placed = replace(old, shape=Grown(old.shape, work.all_round, work.widen, work.raised))
    return GrownPort(work, spec.name, window, replace(window, placed=placed), flange)


def _path(work: PortWork) -> Path:
    return ("work", work.number, "to" if work.to is not None else work.flange_keys[0])


def _problems(one: GrownPort, drawings: Drawings) -> list[str]:
    """What the metal does not allow."""
    try:
        old = one.before.placed.polygon(drawings)
    except ShapeError:
        return []  # that is the part's own fault, and said when it is drawn
    try:
        new = one.after.placed.polygon(drawings)
    except ShapeError as error:
        return [str(error)]
    found = []
    inside, at = _beyond(old, new)
    if inside > _PUT_BACK:
        found.append(
            f"the new port '{one.work.port}' lies {both(inside)} inside the old one at ({at[0]:.1f}, {at[1]:.1f}), and "
            "metal cannot be put back; write a shape that takes in the old port"
        )
    if one.flange is not None:
        out, at = _beyond(new, one.flange)
        if out > 0:
            found.append(
                f"the new port '{one.work.port}' leaves the flange of '{one.part}' by {both(out)} at ({at[0]:.1f}, "
                f"{at[1]:.1f}); take off less, or draw the outline as large as the flange is"
            )
    return found


def _beyond(shape: Polygon, outer: Polygon) -> tuple[float, tuple[float, float]]:
    """How far the shape reaches out of the other, and where."""
    corners = shapely.get_coordinates(shape.difference(outer))
    if not len(corners):
        return 0.0, (0.0, 0.0)
    far = np.atleast_1d(shapely.distance(shapely.points(corners), outer))
    worst = int(far.argmax())
    return float(far[worst]), (float(corners[worst][0]), float(corners[worst][1]))
