"""The openings of a traced part, round or not, and whether each can be what it is said to be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot, pi, sqrt

from gasketcut.capture.measured import Measured
from gasketcut.capture.proposals.shape_words import FoundSlot, slot_of
from gasketcut.capture.roles.role import WORDS, Role, RoleError
from gasketcut.capture.roles.said import PartSaid
from gasketcut.capture.traced_part import TracedPart
from gasketcut.capture.uncertainty.figures import diameter, place, window_place
from gasketcut.length import both
from gasketcut.plane import Point, place_text
from gasketcut.profile.fasteners import Fasteners
from gasketcut.shape.loop import Circle, Contour


@dataclass(frozen=True, slots=True)
class Opening:
    """`sure` is the half range of a round one's diameter, or how far the edge seen lies off another contour at most;
    `off_place` how far its middle may lie off, any way, 95 times in 100 [mm]."""

    name: str
    contour: Contour
    middle: Point
    sure: float
    off_place: float

    @property
    def is_round(self) -> bool:
        return isinstance(self.contour, Circle)

    @property
    def slot(self) -> FoundSlot | None:
        return None if isinstance(self.contour, Circle) else slot_of(self.contour)

    @property
    def width(self) -> float:
        """Diameter, or width of a slot, else of a circle of the same area [mm]: how large what goes through may be."""
        if isinstance(self.contour, Circle):
            return 2 * self.contour.radius
        return self.slot.width if self.slot else 2 * sqrt(self.contour.area / pi)

    @property
    def says(self) -> str:
        what = f"{both(self.width)} wide" if self.is_round else "not round"
        return f"{what}, at {place_text(self.middle)}"


def openings_of(part: TracedPart) -> tuple[Opening, ...]:
    """Round ones first, in the order of their names."""
    rounds = [
        Opening(one.name, one.circle, one.circle.center, diameter(part, one).half_range, _any_way(place(part, one)))
        for one in part.holes
    ]
    others = [
        Opening(one.name, one.edge.contour, one.middle, one.edge.deviation, _any_way(window_place(part, one)))
        for one in part.windows
    ]
    return (*rounds, *others)


def _any_way(place: tuple[Measured, Measured]) -> float:
    return hypot(*(one.half_range for one in place))


def check_roles(openings: tuple[Opening, ...], said: PartSaid, fasteners: Fasteners) -> None:
    """Raise `RoleError` with all that cannot be, and what to write."""
    if wrong := [*_wrong(openings, said, fasteners)]:
        raise RoleError("\n".join(wrong))


def check_face(part: TracedPart, said: PartSaid) -> None:
    """Raise `RoleError` for an opening of the metal that nobody named: left out, it would be closed in silence."""
    left = [one for one in openings_of(part) if one.name not in said.roles] if said.face else []
    if left:
        flags = " ".join(f"--as {one.name}=ROLE" for one in left)
        raise RoleError(f"every opening of the metal has to be named, or its proof would be none; add {flags}: {WORDS}")


def _wrong(openings: tuple[Opening, ...], said: PartSaid, fasteners: Fasteners) -> Iterator[str]:
    known = {one.name: one for one in openings}
    for name, role in said.roles.items():
        if name not in known:
            yield f"--as {name}={role.text}: there is no {name}; known are {', '.join(known) or 'none'}"
        else:
            yield from _unfit(known[name], role, said, fasteners)
    main = [name for name, role in said.roles.items() if role.what == "opening"]
    if len(main) > 1:
        yield f"{' and '.join(main)} are both the opening; write port:NAME for the other ones, e.g. port:transfer left"


def _unfit(one: Opening, role: Role, said: PartSaid, fasteners: Fasteners) -> Iterator[str]:
    flag = f"--as {one.name}={role.text}"
    if role.what == "opening" and said.face:
        name = said.spec.opening_is[0] if said.spec.opening_is else "NAME"
        yield f"{flag}: metal has ports and passages; write --as {one.name}=port:{name}"
    elif role.what in ("opening", "port", "passage") and not said.spec.lets_pass:
        yield f"{flag}: a {said.kind} lets nothing pass; write --as {one.name}=hole if it is one"
    if role.what in ("stud", "dowel", "hole") and not one.is_round and one.slot is None:
        yield f"{flag}: {one.name} is neither round nor a slot; write opening, port:NAME or the name of a passage"
    elif role.what in ("stud", "dowel") and not said.face:
        through = fasteners.size(role.of).diameter if role.what == "stud" else role.diameter
        if through > one.width:
            yield f"{flag}: {both(through)} does not go through {both(one.width)}; take the size that stands in it"
