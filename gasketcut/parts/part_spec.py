"""One part of a job, and what a kind of part has to say of itself.

Kind       a class of its own in `kinds/`: which passages it must speak of, what it cuts, how it is built, what a person
           has to mind. Nothing outside asks for a kind's name.
Around     what a part needs of the job: its sheet, the exhaust port's area, drawings, the part it is made after.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, ClassVar

from gasketcut.checked import Checked, Margin, Problem
from gasketcut.parts.holes import Holes
from gasketcut.parts.rules import Outline
from gasketcut.parts.stock import Stock
from gasketcut.parts.window import Landmark, Window
from gasketcut.parts.words import Drawings, Placed, Shape
from gasketcut.parts.words.shape import NO_DRAWINGS

if TYPE_CHECKING:
    from gasketcut.parts.part import Part
    from gasketcut.toml.table import Table

SET_BACK = 0.5
"""mm by which a sheet is opened larger than a port unless the job says otherwise: half a millimetre is what hand
cutting and clearance holes together ask for. Our choice."""

MOST_GROWTH = 5.0
"""Per cent; no sheet swells or shrinks more and is still fitted. Our choice."""

_NAME = re.compile(r"[^\W_][\w .+-]*", re.UNICODE)
_RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d|report)(\..*)?", re.IGNORECASE)  # taken by Windows, or by us
_LONGEST_NAME = 60


@dataclass(frozen=True, slots=True)
class Around:
    """What a part needs of the rest of the job.

    exhaust_mm2  area of the exhaust port's window, if the job knows it
    built        the parts that are built already, by name
    """

    stock: Stock | None = None
    exhaust_mm2: float | None = None
    drawings: Drawings = field(default_factory=lambda: NO_DRAWINGS)
    built: Mapping[str, Part] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class PartSpec(Checked):
    """One `[[part]]`; its class is its kind.

    absent          passages of the joint that this engine does not have
    flow            the faces in the order in which the gas meets them
    growth_percent  by which the sheet may have grown (heat, humidity) when it is fitted
    nick            cut a small mark into the edge that shows which face is up
    of              the part after which this one is made
    """

    kind: ClassVar[str]
    passages: ClassVar[tuple[str, ...]] = ()
    """What may pass through such a joint; each is drawn or declared absent. Common practice, no list was found."""

    opening_is: ClassVar[tuple[str, ...]] = ()
    """The passages that the part's opening is the way for."""

    opening_is_port: ClassVar[bool] = False
    """Ports are not cut where the part has an opening: that is the way for the gas, and they are checked against it."""

    is_cut: ClassVar[bool] = True
    """False for two faces without a sheet between them."""

    seals: ClassVar[bool] = False
    """It keeps gas in: without a port or passage of the metal nothing is proven of it."""

    is_base: ClassVar[bool] = False
    """It lies under the cylinder, so its thickness sets the squish."""

    follows: ClassVar[str | None] = None
    """What to write for `of` where the kind is made after another part."""

    own_outline: ClassVar[bool] = False
    """A kind that follows another part may have an outline of its own instead."""

    own_keys: ClassVar[tuple[str, ...]] = ()
    """Keys that this kind has and not every part."""

    cautions: ClassVar[tuple[str, ...]] = ()
    """What a person has to mind who works on such a part."""

    name: str
    outline: Outline | None = None
    opening: Placed | None = None
    studs: tuple[Holes, ...] = ()
    dowels: tuple[Holes, ...] = ()
    holes: tuple[Holes, ...] = ()
    windows: tuple[Window, ...] = ()
    set_back: Margin = SET_BACK
    stock: str | None = None
    of: str | None = None
    face_up: str | None = None
    landmark: Landmark | None = None
    count: int = 1
    absent: tuple[str, ...] = ()
    flow: tuple[str, ...] = ()
    growth_percent: float = 0.0
    nick: bool = False
    line: int = field(default=0, compare=False)

    # -- rules -------------------------------------------------------------------------------------------------

    def problems(self) -> Iterator[Problem]:
        yield from Checked.problems(self)
        yield from self._name_problems()
        if not 1 <= self.count <= 1000:
            yield "count", f"{self.count} is not a whole number from 1 to 1000"
        if abs(self.growth_percent) > MOST_GROWTH:
            yield "growth_percent", f"{self.growth_percent:g} is out of range; write -5 or more, up to 5"
        for key, patterns in (("studs", self.studs), ("dowels", self.dowels)):
            for number, pattern in enumerate(patterns):
                if pattern.stud is None:
                    hint = 'what goes through the hole, e.g. size = "M5" or stud_diameter = 5.0'
                    yield (key, number), f"'stud_diameter' is missing; write {hint}"
        yield from self._outline_problems()

    def _name_problems(self) -> Iterator[Problem]:
        if not self.name:
            yield None, "'name' is missing; write e.g. name = \"base-gasket\""
        elif (
            not _NAME.fullmatch(self.name)
            or self.name.endswith(".")
            or _RESERVED.fullmatch(self.name)
            or len(self.name) > _LONGEST_NAME
        ):
            yield "name", (f"{self.name!r} becomes a file name; write letters, digits, blanks and - + . _ only, "
                           "e.g. 'base-gasket'")  # fmt: skip

    def _outline_problems(self) -> Iterator[Problem]:
        if self.follows is not None:
            if self.of is None and (self.outline is None or not self.own_outline):
                yield None, f"'of' is missing; write {self.follows}"
        elif self.of is not None:
            yield "of", f"only a {_kinds_that_follow()} takes the outline of another part"
        elif self.outline is None and self.needs_outline:
            yield None, "'outline' is missing; write e.g. outline = { hull = 4.0 } or outline = { round = 60.0 }"

    @property
    def needs_outline(self) -> bool:
        """False for a kind that can do without."""
        return self.is_cut

    @property
    def needs_exhaust_port(self) -> bool:
        """Its size is a share of the exhaust port's area."""
        return False

    @classmethod
    def read_own(cls, table: Table) -> dict[str, Any]:  # noqa: ARG003  most kinds have no keys of their own
        """The values of the keys that this kind alone has."""
        return {}

    # -- what it says ------------------------------------------------------------------------------------------

    def spoken_of(self) -> tuple[str, ...]:
        """Names of all that is drawn of the joint, in small letters."""
        names = [window.name.lower() for window in self.windows]
        if self.opening is not None or any(name in self.opening_is for name in names):
            names += self.opening_is
        return (*names, *(("dowel",) if self.dowels else ()))

    def flange_windows(self) -> tuple[Window, ...]:
        """The windows in the metal that the sheet must not cover."""
        return self.windows

    def cuts(self, around: Around) -> list[tuple[Placed, float]]:  # noqa: ARG002  an outlet's size comes from there
        """Every opening with how much larger than given it is cut."""
        found = [(self.opening, 0.0)] if self.opening else []
        for window in self.windows:
            if isinstance(window.cut, Placed):
                found.append((window.cut, 0.0))
            elif self._is_cut_open(window):
                found.append((window.placed, self.set_back))
        return found

    def _is_cut_open(self, window: Window) -> bool:
        if window.cut is not None:
            return bool(window.cut)
        return window.role == "passage" or not (self.opening_is_port and self.opening is not None)

    def shapes(self) -> Iterator[Shape]:
        """Every shape that the part names, so that drawings can be read beforehand."""
        placed = [self.opening, *(self.outline.drawn_shapes() if self.outline else ())]
        placed += [
            place for window in self.windows for place in (window.placed, window.cut) if isinstance(place, Placed)
        ]
        yield from (place.shape for place in placed if place is not None)

    # -- building ----------------------------------------------------------------------------------------------

    def built(self, around: Around) -> Part:
        """The part; raise `ShapeError` if no single sheet comes out of it."""
        from gasketcut.parts.assembly import gasket
        from gasketcut.parts.nick import nicked

        part = gasket(self, around)
        return nicked(part) if self.nick else part


def _kinds_that_follow() -> str:
    from gasketcut.parts.kinds import KINDS  # they are made of this one

    return " or a ".join(name for name, kind in KINDS.items() if kind.follows)
