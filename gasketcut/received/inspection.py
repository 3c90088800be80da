"""A received DXF inspected: what it is, how big, which contours, and every fault with its place.

tags -> lines, blocks taken apart -> lines that lie on each other -> chains -> where contours cross or touch
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection
from dataclasses import dataclass
from pathlib import PurePath

from gasketcut.outside import Source, bytes_of, name_of, shown
from gasketcut.received.arcs.smooth import Smooth, smoothed
from gasketcut.received.drop import Dropped, drop_of
from gasketcut.received.faults.contour_search import Closed, Open, find_contours
from gasketcut.received.faults.fault_left import fault_left
from gasketcut.received.faults.flaw import MENDED, Flaw
from gasketcut.received.faults.taken import Taken
from gasketcut.received.groups.explain import explained, groups_of
from gasketcut.received.groups.group import Group
from gasketcut.received.looks.least import ANY, Least
from gasketcut.received.looks.look import Look
from gasketcut.received.looks.scene import scene_of
from gasketcut.received.looks.second_look import second_look
from gasketcut.received.placed import bounds_of, without_dropped
from gasketcut.received.reading.model_space import lines_of
from gasketcut.received.reading.plane import Plane
from gasketcut.received.reading.tags import read_tags
from gasketcut.received.reading.unit import FACTORS, Unit, is_likely
from gasketcut.received.settings import FIT, JOIN, Settings
from gasketcut.received.what_it_is import WhatItIs, what_it_is


@dataclass(frozen=True, slots=True)
class Inspection:
    """What was found.

    entities : how many of each type the model space holds
    size     : of all that is drawn [mm], by the likely unit
    plane    : from the file's numbers to the mm of the contours
    flaws    : in the file's own coordinates
    taken    : what is not cut by the name of its layer [mm]
    what     : parts, holes, lengths, the narrowest places
    looks    : what is not wrong and would probably scrap the sheet, in the file's own coordinates
    smooth   : the closed contours as they would be written, in the same order
    settings : under which it was looked through
    groups   : what looks like dimensions, centre lines and so on, and can be left out
    dropped  : what was left out because the user said so
    """

    version: str | None
    unit: Unit
    entities: dict[str, int]
    size: tuple[float, float]
    plane: Plane
    layers: tuple[str, ...]
    closed: tuple[Closed, ...]
    open: tuple[Open, ...]
    flaws: tuple[Flaw, ...]
    taken: tuple[Taken, ...]
    smooth: tuple[Smooth, ...]
    settings: Settings
    what: WhatItIs
    looks: tuple[Look, ...] = ()
    groups: tuple[Group, ...] = ()
    dropped: tuple[Dropped, ...] = ()

    @property
    def sizes(self) -> dict[str, tuple[float, float]]:
        """The size [mm] under each unit that gives a part one could cut, and under the one declared."""
        width, height = (side / self.unit.factor for side in self.size)
        return {
            unit: (width * factor, height * factor)
            for unit, factor in FACTORS.items()
            if unit in (self.unit.declared, self.unit.likely) or is_likely(max(width, height), unit)
        }

    @property
    def undecided(self) -> tuple[Flaw, ...]:
        """What `mend` does not put right: a person has to decide."""
        return tuple(flaw for flaw in self.flaws if flaw.kind not in MENDED)

    @property
    def unexplained(self) -> tuple[Flaw, ...]:
        """What is there whether or not a group is left out."""
        because = Counter(flaw for group in self.groups for flaw in group.flaws)
        left = []
        for flaw in self.flaws:
            if because[flaw]:
                because[flaw] -= 1
            else:
                left.append(flaw)
        return tuple(left)

    @property
    def verdict(self) -> str:
        """`ready`, `look` (nothing is wrong, but see `looks`), `mend` (all faults can be put right safely) or `ask` (a
        person has to decide)."""
        if not self.flaws:
            return "look" if self.looks else "ready"
        return "ask" if self.undecided else "mend"


def inspect(
    source: Source,
    units: str | None = None,
    join: float = JOIN,
    fit: float = FIT,
    drop: Collection[str] = (),
    on_progress: Callable[[str], None] = lambda _: None,
    name: str = "",
    least: Least = ANY,
) -> Inspection:
    """Inspect a DXF file; raise `NotReadableError` if it is none, `GasketError` if it cannot be read.

    source : the path of a file, or its bytes
    units  : what the user says the numbers are, in place of what the file says
    join   : greatest gap that counts as closed [mm]
    fit    : how far arcs and circles may lie off the lines and curves that they replace [mm]
    drop   : what is left out, as in `--drop`: `text`, `dimensions`, `layer=DIM`
    on_progress : called with each step of the work, for long ones
    name   : of the file, where the source is its bytes; it may say what sheet it is for
    least  : what the process at hand cuts at least
    """
    leave_out = drop_of(drop)
    on_progress("reading tags")
    drawing = read_tags(bytes_of(source))
    on_progress(f"drawing {len(drawing.entities)} entities")
    sheet = without_dropped(drawing, units, leave_out)
    found, plane = sheet.found, sheet.plane
    if not sheet.groups:  # else it is read once more
        drawing.release()
    flaws = [*drawing.flaws, *sheet.flaws, *found.flaws]
    if not found.lines and not any(flaw.kind in ("truncated", "damaged", "bad-number", "region") for flaw in flaws):
        flaws.append(Flaw("empty", None, "nothing that can be cut", "ask for the drawing"))
    on_progress(f"joining {len(found.lines)} lines, looking for crossings")
    contours = find_contours(found.lines, plane, join)
    smooth = smoothed(contours.closed, plane, fit)
    groups = groups_of(sheet.groups, plane)
    if groups and (found.flaws or contours.flaws):
        rest = lines_of(drawing, plane, leave_out, sheet.gone.union(*(one.numbers for one in sheet.groups)))
        left = [*rest.flaws, *find_contours(rest.lines, plane, join).flaws]
        groups = explained(sheet.groups, groups, found, plane, [*found.flaws, *contours.flaws], left)
    low, high = bounds_of(found.lines)
    on_progress("taking stock")
    scene = scene_of(contours, smooth.contours, sheet.unit, groups, least, unit_said=units is not None)
    names = [PurePath(shown(name) or name_of(source, "")).stem, *found.layers.values()]
    flaws += [*contours.flaws, *smooth.flaws]
    left_out = [Dropped(flaw.kind, flaw.at, flaw.text) for flaw in flaws if flaw.kind in leave_out.words]
    flaws = [flaw for flaw in flaws if flaw.kind not in leave_out.words]
    if flaws and all(flaw.kind in MENDED for flaw in flaws):
        unsafe = fault_left(contours.closed, smooth.contours, contours.open, plane, fit)
        flaws += [unsafe] if unsafe else []
    return Inspection(
        version=drawing.version,
        unit=sheet.unit,
        entities=dict(drawing.types),
        size=(high[0] - low[0], high[1] - low[1]),
        plane=plane,
        layers=tuple(found.layers.values()),
        closed=tuple(contours.closed),
        open=tuple(contours.open),
        flaws=tuple(flaws),
        smooth=smooth.contours,
        settings=Settings(units, join, fit, tuple(drop)),
        groups=groups,
        dropped=(*found.dropped, *sheet.dropped, *left_out),
        taken=tuple(contours.taken),
        what=what_it_is(scene.nest, plane, scene.open_lengths, names),
        looks=(*second_look(scene, plane), *smooth.looks),
    )
