"""Equal holes of a part: studs, dowels and plain ones."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, ClassVar, Literal

from gasketcut.checked import (
    Checked,
    Coordinate,
    Degrees,
    Limits,
    Margin,
    Problem,
    Size,
    TorqueCoefficient,
    TorqueNm,
)
from gasketcut.described import GASKET, Form, Usual, key, keys_only
from gasketcut.plane import Point

DRY_THREAD = 0.2
"""Torque coefficient of a dry thread, counted where the job says none (a fastener chart's notes)."""


Fit = Literal["fine", "medium", "coarse"]
"""As ISO 273 calls its clearance holes."""


@keys_only
class HolesWritten:
    """What a job says of equal holes in place of places and a diameter."""

    fit: Fit = key("medium", what="how wide the clearance hole of that size is (ISO 273)", example='"medium"')
    circle: Size | None = key(
        None,
        what="diameter of the circle on which they sit, in place of at",
        how="over two opposite holes, outside, less one diameter",
        example="60.0",
        usual=Usual(10, 120),
        agrees=("at", "count"),
    )
    count: Annotated[int, Limits(1, 360, with_least=True, dimension="whole", unit="")] | None = key(
        None, what="how many holes sit on the circle", example="4", agrees=("circle",)
    )
    start: Degrees = key(
        0.0,
        what="where on the circle the first one sits, counter-clockwise from +x",
        how="a protractor",
        example='"45 deg"',
        agrees=("circle",),
    )
    centre: tuple[Coordinate, Coordinate] = key(
        (0.0, 0.0), what="middle of the circle", how="calipers from the bore", example="[0, 0]", agrees=("circle",)
    )


@dataclass(frozen=True, slots=True)
class Holes(Checked):
    """Equal holes.

    diameter   of a round hole, or the width of a slot
    length     over all, of a slot lying in the direction `turn`; None for a round hole
    face       None: they are the sheet's own and are cut
    measured   `at` then comes from there
    nut_height, pitch   None: those of the size
    """

    written: ClassVar[tuple[type, ...]] = (HolesWritten,)

    at: tuple[Point, ...] = key(
        left_out="circle with count, or from",
        what="the places [x, y], from the bore's middle or where else the part's origin lies",
        how="calipers over the holes; [measure] works places out of such readings",
        example="[[-27, -22], [27, -22], [27, 24], [-27, 24]]",
        form=Form("at"),
        needed=(GASKET,),
        agrees=("circle", "from"),
    )
    diameter: Size = key(
        left_out="by size and fit, or the width of the slot",
        what="diameter of the hole in the sheet",
        how="inside calipers",
        example="5.5",
        usual=Usual(1.5, 25),
        needed=(GASKET,),
        agrees=("size", "stud_diameter"),
    )
    stud: Size | None = key(
        None,
        name="stud_diameter",
        what="diameter of what goes through, if it is not the size's",
        how="calipers over the thread",
        example="4.9",
        usual=Usual(2.5, 14),
        helps=(GASKET,),
        agrees=("size", "diameter"),
    )
    size: str | None = key(
        None,
        what="thread of the bolt, from which diameter and clearance follow",
        how="calipers over the thread, thread gauge: M5, M6, 1/4",
        example='"M5"',
        form=Form("word"),
        needed=(GASKET,),
        agrees=("diameter", "fit"),
    )
    length: Size | None = key(
        None,
        name="slot",
        what="length over all and width of a slotted hole",
        how="inside calipers, both ways",
        example="[9.0, 5.5]",
        form=Form("lengths", Limits(), counts=(2,)),
        helps=(GASKET,),
        agrees=("diameter",),
    )
    turn: Degrees = key(
        0.0, what="the direction in which a slotted hole lies, counter-clockwise from +x", how="a protractor",
        example='"30 deg"', agrees=("slot",),
    )  # fmt: skip
    tolerance: Margin = key(
        0.0,
        what="how far the stud itself may stand off its place, any way",
        how="the spread of your readings",
        example="0.1",
        usual=Usual(0, 0.5),
        helps=(GASKET,),
    )
    face: Annotated[str, Form("text", longest=40)] | None = key(
        None, what="of which face of the metal they are; left out: they are cut through the sheet",
        example='"cylinder"',
        agrees=("part.flow",),
    )  # fmt: skip
    torque_nm: TorqueNm | None = key(
        None,
        what="torque of each bolt",
        how="torque wrench, the maker's figure",
        example="6.0",
        usual=Usual(0.5, 150),
        helps=(GASKET,),
        agrees=("clamp.torque_nm",),
    )
    k: TorqueCoefficient = key(
        DRY_THREAD, what="torque coefficient of the thread", example="0.2", usual=Usual(0.1, 0.3), helps=(GASKET,)
    )
    stud_length: Size | None = key(
        None,
        what="how far the stud stands out of the face that the sheet lies on",
        how="depth gauge or calipers from the bare face to the stud's end",
        example="22.0",
        usual=Usual(8, 80),
        helps=(GASKET,),
        agrees=("flange", "nut_height", "stock.thickness"),
    )
    flange: Size | None = key(
        None,
        what="all else that lies under the nut, added up: flange, washer, other gaskets",
        how="calipers over flange and washer",
        example="9.6",
        usual=Usual(2, 60),
        helps=(GASKET,),
        agrees=("stud_length",),
    )
    nut_height: Size | None = key(
        None,
        left_out="the size's (ISO 4032), where it is known",
        what="height of the nut",
        how="calipers: heights of old and new standards differ",
        example="4.7",
        usual=Usual(2, 16),
        helps=(GASKET,),
        agrees=("size", "stud_length"),
    )
    pitch: Size | None = key(
        None,
        left_out="the size's coarse pitch, where it is known",
        what="pitch of the thread",
        how="thread gauge, or ten threads with a rule",
        example="0.8",
        usual=Usual(0.4, 2.5),
        helps=(GASKET,),
        agrees=("size",),
    )
    measured: tuple[str, ...] = key(
        (),
        name="from",
        what="names of holes in [measure] whose places these are",
        example='["A", "B"]',
        helps=(GASKET,),
        agrees=("measure.distance",),
    )

    def problems(self) -> Iterator[Problem]:
        yield from Checked.problems(self)
        if self.stud is not None and self.stud > self.diameter:
            yield None, f"a stud of {self.stud:g} mm does not go through a hole of {self.diameter:g} mm"
        if self.length is not None and self.length < self.diameter:
            yield "slot", f"its length {self.length:g} is below its width {self.diameter:g}; write [length, width]"
