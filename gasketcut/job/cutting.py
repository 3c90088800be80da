"""What `[cutting]` of a job file asks for, as frozen values."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, Literal, get_args

from gasketcut.checked import Checked, Limits, Margin, Money, Size
from gasketcut.described import GASKET, Form, Usual, key

Process = Literal["co2", "fibre", "knife", "waterjet", "hand"]
PROCESSES: tuple[Process, ...] = get_args(Process)

Turning = Literal["any", "quarter", "half", "none"]

Choice = float | Literal["profile"] | None
"""A length [mm], what the cutter's profile says, or None: not asked for."""

WIDEST_KERF = 3.0
"""mm. No cutter of thin sheet takes away more; our choice."""

FASTEST = 100_000.0
"""mm/min; more is a slip of the unit. Our choice."""

LONGEST_PIERCE = 60.0
"""s; our choice."""

LONGEST_SEARCH = 3600.0
"""s; our choice."""

MOST_TABS = 20
"""Of one part; our choice."""

_KERF = Limits(
    0,
    WIDEST_KERF,
    with_least=True,
    says="is more than any cutter of thin sheet takes away; check it and its unit",
)

_SWITCH = Form("length or flag", Limits())


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingSpec(Checked):
    """`[cutting]`; everything that is absent stays off."""

    process: Process | None = key(None, what="how the sheet is cut", example='"co2"', helps=(GASKET,))
    kerf: Choice = key(
        None,
        what="put the kerf into the path, outside out and inside in: its width, or \"profile\" for the usual one",
        how="cut a square, measure it and its hole: half the difference",
        example="0.15",
        form=Form("kerf", _KERF),
        usual=Usual(0, 1),
        helps=(GASKET,),
        agrees=("process",),
    )  # fmt: skip
    speed: Annotated[float, Limits(0, FASTEST, dimension="speed", unit="mm/min")] | None = key(
        None,
        what="speed along the cut, in place of the profile's",
        how="a test cut",
        example='"600 mm/min"',
        usual=Usual(50, 20000),
        helps=(GASKET,),
    )
    pierce: Annotated[float, Limits(0, LONGEST_PIERCE, with_least=True, dimension="time", unit="s")] | None = key(
        None,
        what="time for each start, in place of the profile's",
        how="a test cut",
        example='"0.5 s"',
        usual=Usual(0, 5),
        helps=(GASKET,),
    )
    rate_hour: Money | None = key(
        None, what="what an hour of the machine costs", example="60", helps=(GASKET,), agrees=("process",)
    )
    rate_sheet: Money | None = key(
        None, what="what one whole sheet costs", example="4.5", helps=(GASKET,), agrees=("process",)
    )
    currency: Annotated[str, Form("text", longest=12)] | None = key(
        None, what="the currency of both rates", example='"EUR"', helps=(GASKET,)
    )
    order: bool = key(
        False, what="sort the cuts: marks, inside, outside, by the shortest travel", example="true", helps=(GASKET,)
    )
    lead_in: Choice = key(
        None, what="start every cut in the scrap: true, or how long", example="2.0", form=_SWITCH, helps=(GASKET,),
        agrees=("process",), usual=Usual(0.5, 6), how="yours to choose",
    )  # fmt: skip
    tabs: int | Literal["profile"] | None = key(
        None,
        what="leave small bridges in the outside: true, or how many",
        example="3",
        form=Form("whole or flag", Limits(1, MOST_TABS, with_least=True, dimension="whole", unit="")),
        helps=(GASKET,),
        agrees=("process",),
    )
    overcut: Choice = key(
        None, what="run on past the start: true, or how far", example="0.5", form=_SWITCH, helps=(GASKET,),
        agrees=("process",), usual=Usual(0.1, 2), how="a test cut with the knife",
    )  # fmt: skip
    letter: bool = key(
        False, what="write what the part is in single lines on the mark layer", example="true", helps=(GASKET,)
    )
    line: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class LayoutSpec(Checked):
    """`[layout]`: all parts laid out on whole sheets."""

    spacing: Size | None = key(
        None, what="between two paths as they are cut", how="yours to choose", example="3.0", usual=Usual(1, 10),
        helps=(GASKET,),
    )  # fmt: skip
    margin: Margin = key(
        0.0, what="along the sheet's edges in which nothing lies", how="the clamps of your machine", example="5.0",
        usual=Usual(0, 30), helps=(GASKET,), agrees=("stock.size",),
    )  # fmt: skip
    turning: Turning = key("any", what="how a part may be turned on the sheet", example='"half"', helps=(GASKET,))
    in_holes: bool = key(False, what="may small parts lie in the holes of large ones?", example="true", helps=(GASKET,))
    seconds: Annotated[float, Limits(0, LONGEST_SEARCH, dimension="number", unit="s")] = key(
        10.0, what="how long to search", how="yours to choose", example="10", helps=(GASKET,)
    )
