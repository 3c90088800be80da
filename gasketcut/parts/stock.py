"""A sheet to cut from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from gasketcut.checked import Checked, Limits, Problem, Size
from gasketcut.described import GASKET, SQUISH, Form, Usual, key
from gasketcut.errors import Lack
from gasketcut.length import Measured

Range = tuple[float, float, float]
"""Least, likely, most [mm]."""

FROM_LEAST = Form("lengths", Limits(), counts=(1, 3))
"""Least, likely, most; or one figure for the three."""

MOST_SHEETS = 20
"""Layers of one stock in a stack: nobody clamps more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock(Checked):
    """One `[[stock]]`."""

    name: str = key(what="a name for the sheet", how="e.g. can sheet", example='"can sheet"', needed=(SQUISH, GASKET))
    thickness: Size = key(
        left_out="the likely figure of fitted",
        what="thickness as bought",
        how="micrometer, in three places",
        example="0.5",
        usual=Usual(0.03, 5),
        needed=(SQUISH, GASKET),
        agrees=("fitted",),
    )
    fitted: Range | None = key(
        None,
        what="thickness when clamped: least, likely, most; or one figure",
        how="a micrometer over the cut sheet, clamped once, five places",
        example="[0.09, 0.10, 0.11]",
        form=FROM_LEAST,
        helps=(SQUISH,),
        agrees=("thickness",),
    )
    used: Measured | None = key(
        None,
        what="thickness of a used gasket of this sheet",
        how="micrometer where it was clamped",
        example='"0.42 mm +- 0.01"',
        usual=Usual(0.03, 5),
        helps=(SQUISH,),
        agrees=("thickness",),
    )
    sheets: Annotated[int, Limits(1, MOST_SHEETS, with_least=True, dimension="whole", unit="")] = key(
        3, what="how many layers of it may lie in one stack", example="4", helps=(SQUISH,)
    )
    material: str | None = key(
        None,
        what="what it is made of, as profiles/sheets.toml or profiles/cutters.toml has it",
        example='"can"',
        form=Form("word"),
        helps=(SQUISH, GASKET),
    )
    size: tuple[Size, Size] | None = key(
        None, what="width and height of the whole sheet", how="a rule", example="[200, 90]", helps=(GASKET,)
    )
    joints: tuple[str, ...] = key(
        (),
        what="the kinds of part it may be used for; left out: any",
        example='["base"]',
        form=Form("words"),
        helps=(SQUISH,),
        agrees=("part.kind",),
    )
    is_spacer: bool = key(
        False, name="spacer", what="is it metal that needs a gasket on either face?", example="true", helps=(SQUISH,)
    )

    def problems(self) -> Iterator[Problem]:
        yield from Checked.problems(self)
        if not self.name:
            yield None, Lack("name", "'name' is missing; write e.g. name = \"paper 0.5\"")
        if self.fitted is not None and not self.fitted[0] <= self.fitted[1] <= self.fitted[2]:
            yield "fitted", "write it as [least, likely, most], rising"
