"""A received drawing as parts: inspected, mended where that is safe, taken apart, with like pieces counted.

ReceivedPart  one different piece, how many of it there are, and what a person may want to know of it.
"""

from __future__ import annotations

import shlex
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import shapely
from shapely.geometry import Polygon

from gasketcut.errors import DrawingError, GasketError, NotSafeError
from gasketcut.plane import Point
from gasketcut.received.alike import alike
from gasketcut.received.looks.look import Look
from gasketcut.received.mending import Change, Mended, mend
from gasketcut.received.pieces import Piece, pieces_of
from gasketcut.received.said import by_kind, flaw_said, flaws_said, group_said, look_said, offer_said
from gasketcut.received.settings import Settings
from gasketcut.received.stock.as_named import thickness_named
from gasketcut.shape.loop import Circle, Loop, Segment

_COARSE = 0.05
"""How fine the polygons are that say to which piece a place belongs [mm]; they measure nothing."""


_NO_PART = ("self-touch",)
"""Looks at what is no single sheet: nothing can be worked out of it."""


@dataclass(frozen=True, slots=True)
class ReceivedPart:
    """Places of looks and changes are in mm, as the piece lies; `named` is what the names of file and layers say of the
    sheet."""

    piece: Piece
    count: int
    looks: tuple[Look, ...] = ()
    changes: tuple[Change, ...] = ()
    named: str | None = None

    @property
    def named_thickness(self) -> float | None:
        """The thickness that those names say [mm]."""
        return thickness_named(self.named) if self.named else None


def received_parts(file: Path, settings: Settings = Settings()) -> tuple[ReceivedPart, ...]:
    """The parts of a DXF file, from the bottom left upwards.

    Raise `NotSafeError` if a person has to decide something first, `DrawingError` for what is no drawing or a `drop`
    that is not known.
    """
    try:
        mended = mend(file, settings.units, settings.join, settings.fit, settings.drop)
    except DrawingError as error:
        raise DrawingError(f"{file.name}: {error}") from error
    except GasketError as error:
        raise DrawingError(str(error)) from error
    command = shlex.join(["gasketcut", "inspect", str(file), *settings.words])
    first = f"{file}: a person has to decide something first; {command} shows where"
    if mended.refused:
        found = mended.inspection
        offers = (f"{group_said(one)}; {offer_said(one)}" for one in found.groups)
        faults = by_kind([flaw for flaw in found.unexplained if flaw in mended.refused])
        rows = (*offers, *(f"{flaws_said(kind, these)}: {flaw_said(these[0])}" for kind, these in faults))
        raise NotSafeError("\n  ".join((first, *rows)))
    contours, marks = _cut_and_marked(mended)
    every = pieces_of(contours, marks)
    looks = [one for one in mended.inspection.looks if not every or one.kind in _NO_PART]
    if looks or not every:
        nothing = () if every else ("nothing in it is cut",)
        raise NotSafeError("\n  ".join((first, *nothing, *map(look_said, looks))))
    return tuple(_with_remarks(mended, every, tuple(_lost(marks, every))))


def _cut_and_marked(mended: Mended) -> tuple[list[Loop | Circle], list[tuple[Segment, ...]]]:
    cut, marks = [], []
    for found, (contour, _) in zip(mended.inspection.closed, mended.closed, strict=True):
        if found.is_mark:
            marks.append(tuple((contour.halves() if isinstance(contour, Circle) else contour).segments()))
        else:
            cut.append(contour)
    marks += [one.segments for one in mended.open if one.is_mark]
    return cut, marks


def _lost(marks: Sequence[tuple[Segment, ...]], pieces: Sequence[Piece]) -> Iterator[Look]:
    """Marks that begin on none of the pieces, so that they go with none."""
    kept = {mark for piece in pieces for mark in piece.marks}
    lost = [mark for mark in marks if mark not in kept]
    if lost:
        words = f"{len(lost)} marks begin" if len(lost) > 1 else "a mark begins"
        text = f"{words} on none of the parts and {'are' if len(lost) > 1 else 'is'} left out"
        yield Look("mark", lost[0][0].start, text, "draw it on the part, or drop its layer")


def _with_remarks(mended: Mended, pieces: Sequence[Piece], lost: Sequence[Look]) -> Iterator[ReceivedPart]:
    """A part for each sort of piece, with each look and each change at a piece of that sort or nearest to one; what has
    no place is with the first.

    lost : looks at places that are in mm already
    """
    groups = alike(pieces)
    sort = {number: at for at, group in enumerate(groups) for number in group}
    tree = shapely.STRtree([Polygon(piece.outer.flattened(_COARSE)) for piece in pieces])
    plane = mended.inspection.plane
    looks: list[list[Look]] = [[] for _ in groups]
    changes: list[list[Change]] = [[] for _ in groups]

    def home(at: Point | None) -> int:
        return 0 if at is None else sort[int(tree.nearest(shapely.Point(at)))]

    seen = [(look, plane(*look.at) if look.at else None) for look in mended.inspection.looks]
    for look, at in (*seen, *((look, look.at) for look in lost)):
        looks[home(at)].append(Look(look.kind, at, look.text, look.do))
    for change in mended.changes:
        at = plane(*change.at) if change.at else None
        changes[home(at)].append(Change(change.kind, at, change.text))
    for group, looked, changed in zip(groups, looks, changes, strict=True):
        yield ReceivedPart(pieces[group[0]], len(group), tuple(looked), tuple(changed), mended.inspection.what.as_named)
