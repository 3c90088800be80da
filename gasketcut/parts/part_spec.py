"""One part of a job, and what a kind of part has to say of itself.

Kind       a class of its own in `kinds/`: which passages it must speak of, what it cuts, how it is built, what a person
           has to mind. Nothing outside asks for a kind's name.
Around     what a part needs of the job: its sheet, the exhaust port's area, drawings, the part it is made after.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Annotated, ClassVar, Literal

from gasketcut.checked import Checked, Count, Limits, Margin, Problem
from gasketcut.described import GASKET, SQUISH, Described, Form, Usual, key, keys_of
from gasketcut.errors import Lack
from gasketcut.parts.holes import Holes
from gasketcut.parts.rules import Outline
from gasketcut.parts.stock import Stock
from gasketcut.parts.window import Asked, Landmark, PartWritten, ShortText, Window
from gasketcut.parts.words import Drawings, Placed, Shape
from gasketcut.parts.words.shape import NO_DRAWINGS

if TYPE_CHECKING:
    from gasketcut.finding import Finding
    from gasketcut.parts.drawn import Drawn, DrawnFrom, NamedFor
    from gasketcut.parts.part import Part

SET_BACK = 0.5
"""mm by which a sheet is opened larger than a port unless the job says otherwise: half a millimetre is what hand
cutting and clearance holes together ask for. Our choice."""

MOST_GROWTH = 5.0
"""Per cent; no sheet swells or shrinks more and is still fitted. Our choice."""

Growth = Annotated[float, Limits(-MOST_GROWTH, MOST_GROWTH, with_least=True, dimension="number", unit="%")]

_NAME = re.compile(r"[^\W_][\w .+-]*", re.UNICODE)
_HOLES = re.compile(r"(stud|dowel|hole|bolt)s?( \d+)?$", re.IGNORECASE)
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
    """One `[[part]]`; its class is its kind."""

    written: ClassVar[tuple[type, ...]] = (PartWritten,)

    kind: ClassVar[str]
    passages: ClassVar[tuple[str, ...]] = ()
    """What may pass through such a joint; each is drawn or declared absent. Common practice, no list was found."""

    opening_is: ClassVar[tuple[str, ...]] = ()
    """The passages that the part's opening is the way for."""

    opening_says: ClassVar[str] = "the opening"
    """What findings call it."""

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

    lies_on_original: ClassVar[bool] = False
    """It lies in the same joint as the part that it is made after, and uses up stud there."""

    at_outlet: ClassVar[Literal["", "plate", "screen", "deflector"]] = ""
    """What it is at a muffler's outlet, where the parts are held against each other."""

    lets_pass: ClassVar[bool] = True  # False for what is meant to close every way
    opening_key: ClassVar[str] = "opening"  # the key that holds its opening

    instead_of_tracing: ClassVar[str] = ""
    """What to do where no picture can become such a part."""

    cautions: ClassVar[tuple[str, ...]] = ()
    """What a person has to mind who works on such a part."""

    name: str = key(what="its name, and that of its files", example='"base-gasket"', needed=(GASKET,))
    outline: Outline | None = key(
        None,
        what="how far the sheet reaches: a shape, or a rule that follows what is inside",
        how="the flange's own edge, or a print of it",
        example="{ lobes = 6.5, ring = 4.5, fillet = 6.0 }",
        form=Form("outline"),
        needed=(GASKET,),
    )
    opening: Placed | None = key(
        None,
        what="the bore, or the opening for the gas",
        how="the spigot's diameter and a little more",
        rule="bore + 0.5 mm or more",
        example="{ round = 44.6 }",
        form=Form("placed"),
        needed=(GASKET,),
        agrees=("port", "engine.bore"),
    )
    studs: tuple[Holes, ...] = key(
        (),
        what="holes for the studs, which hold the sheet in its place",
        how="calipers over the studs",
        example='{ at = [[-20, 0], [20, 0]], size = "M5", fit = "medium" }',
        needed=(GASKET,),
        agrees=("clamp",),
    )
    dowels: tuple[Holes, ...] = key(
        (),
        what="holes for dowels",
        how="calipers over the dowels",
        example="{ at = [[-30, 0]], diameter = 8.1, stud_diameter = 8.0 }",
        helps=(GASKET,),
    )
    holes: tuple[Holes, ...] = key(
        (),
        what="other holes of the sheet",
        how="calipers over the holes",
        example="{ circle = 60.0, count = 6, diameter = 4.5 }",
        helps=(GASKET,),
    )
    windows: tuple[Window, ...] = ()
    unmeasured: tuple[Window, ...] = ()
    """Ports and passages whose metal nobody measured: `placed` is the opening of the sheet."""
    set_back: Margin = key(
        SET_BACK,
        what="by how much a sheet is opened larger than a port, all round",
        how="yours to choose: how well you cut, and the play of the holes",
        example="0.4",
        usual=Usual(0.1, 2),
        helps=(GASKET,),
    )
    stock: str | None = key(
        None, what="the sheet it is cut from, by its name", example='"can sheet"', helps=(SQUISH, GASKET),
        agrees=("stock.name",),
    )  # fmt: skip
    of: str | None = key(
        None, what="the part after which this one is made, by its name", example='"base-gasket"', helps=(GASKET,),
        agrees=("part.name",),
    )  # fmt: skip
    face_up: ShortText | None = key(
        None, what="which face is up as it is drawn", example='"crankcase side"', helps=(GASKET,)
    )
    landmark: Landmark | None = key(
        None, what="what lies where, printed on the sheet", example='{ name = "exhaust side", toward = "90 deg" }',
        helps=(GASKET,),
    )  # fmt: skip
    count: Count = key(1, what="how many of it", example="2", helps=(GASKET,))
    absent: tuple[str, ...] = key(
        (), what="passages of the joint that this engine does not have", example='["oil", "water"]', helps=(GASKET,),
        agrees=("passage",),
    )  # fmt: skip
    flow: tuple[str, ...] = key(
        (), what="the faces in the order in which the gas meets them", example='["manifold", "cylinder"]',
        helps=(GASKET,),
    )  # fmt: skip
    growth_percent: Growth = key(
        0.0,
        what="by how much the sheet may have grown (damp, heat) when it is fitted",
        how="a strip of it, measured dry and after a day in a damp cloth",
        example="0.5",
        usual=Usual(-1, 2),
        helps=(GASKET,),
    )
    nick: bool = key(
        False, what="cut a mark into the edge that tells which face is up", example="true", helps=(GASKET,)
    )
    line: int = field(default=0, compare=False)

    # -- rules -------------------------------------------------------------------------------------------------

    def problems(self) -> Iterator[Problem]:
        yield from Checked.problems(self)
        yield from self._name_problems()
        for role, patterns in (("studs", self.studs), ("dowels", self.dowels)):
            for number, pattern in enumerate(patterns):
                if pattern.stud is None:
                    hint = 'what goes through the hole, e.g. size = "M5" or stud_diameter = 5.0'
                    yield (role, number), Lack("stud_diameter", f"'stud_diameter' is missing; write {hint}")
        yield from self._outline_problems()
        yield from self._join_problems()

    def _name_problems(self) -> Iterator[Problem]:
        if not self.name:
            yield None, Lack("name", "'name' is missing; write e.g. name = \"base-gasket\"")
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
                yield None, Lack("of", f"'of' is missing; write {self.follows}")
        elif self.of is not None:
            yield "of", f"only a {_kinds_that_follow()} takes the outline of another part"
        elif self.outline is None and self.needs_outline:
            hint = "outline = { hull = 4.0 } or outline = { round = 60.0 }"
            yield None, Lack("outline", f"'outline' is missing; write e.g. {hint}")

    def _join_problems(self) -> Iterator[Problem]:
        """What a port or passage is meant to run into is there, and is no bolt's hole."""
        known = [*(window.name for window in self.flange_windows()), *self.names_of_opening]
        numbers = {"port": 0, "passage": 0}
        for window in self.windows:
            at = (window.role, numbers[window.role], "joins")
            numbers[window.role] += 1
            others = [name for name in dict.fromkeys(known) if name.casefold() != window.name.casefold()]
            for name in window.joins:
                if name.casefold() in (other.casefold() for other in others):
                    continue
                if name.casefold() == window.name.casefold():
                    yield at, f"'{window.name}' cannot join itself; write the name of the other one"
                elif _HOLES.match(name):
                    yield at, f"{name!r} is a bolt's hole, which nothing may join; move one of the two, or shrink it"
                else:
                    write = ", ".join(f'"{other}"' for other in others) or "nothing, so leave joins out"
                    yield at, f"{name!r} is not in this part; what can be joined here is {write}"

    @property
    def names_of_opening(self) -> tuple[str, ...]:
        """The names under which a port or passage may join the part's opening; none where it has none."""
        return (*self.opening_is, "opening") if self.has_opening else ()

    @property
    def has_opening(self) -> bool:
        """Has it an opening of its own, besides those of ports and passages?"""
        return self.opening is not None

    @property
    def needs_outline(self) -> bool:
        """False for a kind that can do without."""
        return self.is_cut

    @property
    def drawn_from(self) -> DrawnFrom | None:
        """The received drawing whose contours are cut as they are; None where the part is drawn here."""
        return None

    @property
    def remarks(self) -> tuple[Finding, ...]:
        """What was seen in its drawing."""
        return ()

    @property
    def named_for(self) -> NamedFor | None:
        """What its drawing's name says of the sheet."""
        return None

    def divided(self, drawn: Sequence[Drawn]) -> tuple[PartSpec, ...]:  # noqa: ARG002  a received part is
        """A part for each different piece of its drawing; raise `JobError` where one gets no name."""
        return (self,)

    @property
    def needs_exhaust_port(self) -> bool:
        """Its size is a share of the exhaust port's area."""
        return False

    @classmethod
    def own_keys(cls) -> tuple[Described, ...]:
        """Keys that this kind has and not every part."""
        shared = {each.name for each in keys_of(PartSpec)}
        return tuple(each for each in keys_of(cls) if each.name not in shared)

    # -- what it says ------------------------------------------------------------------------------------------

    def spoken_of(self) -> tuple[str, ...]:
        """Names of all that is drawn of the joint, in small letters."""
        names = [window.name.lower() for window in (*self.windows, *self.unmeasured)]
        if self.opening is not None or any(name in self.opening_is for name in names):
            names += self.opening_is
        return (*names, *(("dowel",) if self.dowels else ()))

    def flange_windows(self) -> tuple[Window, ...]:
        """The windows in the metal that the sheet must not cover."""
        return self.windows

    def cuts(self, around: Around) -> list[Asked]:  # noqa: ARG002  an outlet's size comes from there
        """Every opening with how much larger than given it is cut."""
        found = [Asked(self.opening)] if self.opening else []
        for window in self.windows:
            if isinstance(window.cut, Placed):
                found.append(Asked(window.cut, 0.0, window))
            elif self.is_cut_open(window):
                found.append(Asked(window.placed, self.set_back, window))
        found += [Asked(window.placed) for window in self.unmeasured]
        return found

    def is_cut_open(self, window: Window) -> bool:
        """Is the sheet opened for this window, besides the part's own opening?"""
        if window.cut is not None:
            return bool(window.cut)
        return window.role == "passage" or not (self.opening_is_port and self.opening is not None)

    def shapes(self) -> Iterator[Shape]:
        """Every shape that the part names, so that drawings can be read beforehand."""
        placed = [self.opening, *(self.outline.drawn_shapes() if self.outline else ())]
        placed += [
            place for window in self.windows for place in (window.placed, window.cut) if isinstance(place, Placed)
        ]
        placed += [window.placed for window in self.unmeasured]
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
