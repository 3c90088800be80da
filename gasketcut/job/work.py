"""`[[work]]` of a job file: work on a port, in the bore, at a flange, or at both.

Bore     the edge that times the port moves (`remove`, `duration`), its window grows wider (`widen`).
Flange   the port of a part is ground larger where that part lies (`part`): all round, upward, wider, or to a new shape.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Annotated

from gasketcut.checked import Checked, Coordinate, Duration, Margin, Problem, Size
from gasketcut.described import GASKET, TIMING, Form, Usual, key
from gasketcut.errors import Lack
from gasketcut.parts.part_spec import PartSpec
from gasketcut.parts.window import Window
from gasketcut.parts.words import Shape
from gasketcut.parts.words.grown import Grown
from gasketcut.toml.faults import meant

AT_A_FLANGE = ("all_round", "raise", "widen", "to")
"""The keys of what is done to a port at a flange."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PortWork(Checked):
    """One piece of work on a port.

    number  its place in the file, from 0
    """

    port: str = key(
        what="the port to work on", example='"exhaust"', needed=(TIMING, GASKET), agrees=("engine.ports", "part.port")
    )
    remove: Margin = key(
        0.0,
        what="taken off the edge that times the port, in the bore",
        how="the paper stencil, or a height gauge",
        example="0.5",
        usual=Usual(0.05, 5),
        helps=(TIMING,),
        agrees=("duration",),
    )
    widen: Margin = key(
        0.0,
        what="added to the width; at a flange half of it on either side",
        how="inside calipers straight across the window",
        example="1.0",
        usual=Usual(0.1, 10),
        helps=(TIMING, GASKET),
    )
    duration: Duration | None = key(
        None,
        what="the duration that is wanted",
        how="yours to choose",
        example='"165 deg"',
        usual=Usual(90, 210),
        helps=(TIMING,),
        agrees=("remove",),
    )
    part: str | None = key(
        None,
        what="the part at whose flange the port is ground, by its name",
        example='"carb-gasket"',
        helps=(GASKET,),
        agrees=("part.name",),
    )
    face: Annotated[str, Form("text", longest=40)] | None = key(
        None, what="of which face the port is that is ground, where the part has it on both", example='"cylinder"',
        agrees=("part.flow",),
    )  # fmt: skip
    all_round: Coordinate = key(
        0.0,
        what="taken off all round the port at the flange",
        how="yours to choose; the template of make shows it",
        example="0.8",
        usual=Usual(0.1, 5, "our choice"),
        helps=(GASKET,),
        agrees=("to",),
    )
    raised: Margin = key(
        0.0,
        name="raise",
        what="taken off the port's upper edge at the flange, as its shape is written before it is turned",
        how="yours to choose; the template of make shows it",
        example="0.5",
        usual=Usual(0.1, 5, "our choice"),
        helps=(GASKET,),
        agrees=("to",),
    )
    to: Shape | None = key(
        None,
        what="the new port at the flange, in place of what is taken off",
        how="calipers, or a print of the other face on paper",
        example="{ round = 21.0 }",
        form=Form("shape"),
        helps=(GASKET,),
        agrees=("all_round", "raise"),
    )
    at: tuple[Coordinate, Coordinate] | None = key(
        None, left_out="where the old one lies", what="where the middle of the new port lies",
        how="calipers from the part's origin", example="[0.0, 0.5]", agrees=("to",),
    )  # fmt: skip
    least_wall: Size | None = key(
        None,
        what="metal that has to stay between the new port and threads, dowels, other passages and the outside",
        how="yours to choose",
        example="3.0",
        usual=Usual(1, 15, "our choice"),
        helps=(GASKET,),
    )
    number: int = field(default=0, compare=False)

    def problems(self) -> Iterator[Problem]:
        yield from Checked.problems(self)
        others = (self.face, self.all_round or None, self.raised or None, self.to, self.at, self.least_wall)
        if self.part is None and any(one is not None for one in others):
            yield None, Lack("part", "'part' is missing; write at which flange, e.g. part = \"carb-gasket\"")
        if self.part is not None and not self.flange_keys:
            hint = f"what is done at the flange: {', '.join(AT_A_FLANGE[:-1])} or to, e.g. all_round = 0.8"
            yield None, Lack("all_round", f"'all_round' is missing; write {hint}")
        if self.to is not None and (self.all_round or self.raised or (self.widen and not self.is_timed)):
            yield "to", "give the new shape or what is taken off, not both"
        if self.at is not None and self.to is None:
            yield (
                None,
                Lack("to", "'to' is missing; write the new shape whose middle lies there, e.g. { round = 21.0 }"),
            )

    @property
    def is_timed(self) -> bool:
        """Is the port in the bore worked on?"""
        return self.part is None or bool(self.remove) or self.duration is not None

    @property
    def flange_keys(self) -> tuple[str, ...]:
        """Which of the keys say what is done at the flange; empty for work in the bore alone."""
        said = (self.all_round, self.raised, self.widen, self.to)
        return () if self.part is None else tuple(
            name for name, one in zip(AT_A_FLANGE, said, strict=True) if one
        )  # fmt: skip

    def windows_of(self, part: PartSpec) -> tuple[Window, ...]:
        """The windows of that part that it may mean."""
        return tuple(
            one
            for one in part.windows
            if one.name == self.port and (self.face is None or one.face in (None, self.face))
        )


def work_problems(work: Sequence[PortWork], parts: Sequence[PartSpec]) -> Iterator[Problem]:
    """What the parts of a job have to say of the work at their flanges."""
    seen: set[tuple[str, str, str | None]] = set()
    for one in work:
        if one.part is None:
            continue
        at, part = ("work", one.number), next((part for part in parts if part.name == one.part), None)
        if part is None:
            known = meant(one.part, [part.name for part in parts]) if parts else "add a [[part]] with this name"
            yield (*at, "part"), f"there is no part {one.part!r}; {known}"
            continue
        windows = one.windows_of(part)
        if not windows:
            yield (*at, "port"), _without_port(one, part)
        elif len(windows) > 1:
            yield (*at, "port"), _several(one, windows)
        elif (place := (part.name, one.port, windows[0].face)) in seen:
            yield (
                (*at, "port"),
                f"port {one.port!r} of '{part.name}' is worked on already; say all of it in one [[work]]",
            )
        else:
            seen.add(place)
            if one.all_round < 0:
                yield (*at, "all_round"), _inward(one, windows[0])


def _without_port(work: PortWork, part: PartSpec) -> str:
    if any(one.name == work.port for one in part.windows):
        faces = [f'face = "{one.face}"' for one in part.windows if one.name == work.port and one.face is not None]
        return f"port {work.port!r} of '{part.name}' is not on face {work.face!r}; write {' or '.join(faces)}"
    if not part.windows and part.of is not None:
        return f"part '{part.name}' has the ports of '{part.of}'; write part = \"{part.of}\""
    if not part.windows:
        hint = f'add to it port = [{{ name = "{work.port}", shape = {{ round = 20.0 }} }}]'
        return f"part '{part.name}' has no port or passage; {hint}, as it was measured before the work"
    return f"part '{part.name}' has no port {work.port!r}; {meant(work.port, [one.name for one in part.windows])}"


def _several(work: PortWork, windows: Sequence[Window]) -> str:
    faces = list(dict.fromkeys(one.face for one in windows if one.face is not None))
    if len(faces) > 1:
        words = " or ".join(f'face = "{one}"' for one in faces)
        return f"port {work.port!r} is on two faces; write {words}"
    return f"{len(windows)} ports are called {work.port!r}; give each a name of its own"


def _inward(work: PortWork, window: Window) -> str:
    is_gone = Grown(window.placed.shape, work.all_round).is_gone
    says = f"moved inward so far nothing is left of port {work.port!r}" if is_gone else "metal cannot be put back"
    return f"{work.all_round:g} mm: {says}; write what is taken off, e.g. all_round = {-work.all_round:g}"
