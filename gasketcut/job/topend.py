"""What a job file says of the rest of the top end, as frozen values in mm, mm2, degrees and seconds."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, ClassVar, Literal

from gasketcut.checked import Checked, Count, Degrees, Limits, Margin, Money, Size, SquareMillimetres
from gasketcut.described import KEY, OUTLET, RING, Form, Usual, key, keys_only
from gasketcut.length import Measured
from gasketcut.parts.words import Shape

COST_COLUMNS = ("name", "group", "count", "price", "currency", "state", "instead_of", "part")
"""Of a parts list that is kept in a spreadsheet."""

Direction = Literal["advance", "retard"]

State = Literal["new", "used", "own"]
STATES: tuple[State, ...] = ("new", "used", "own")


Seconds = Annotated[float, Limits(0, 1e6, dimension="number", unit="s")]

CutArea = Annotated[float, Limits(0, 1e9, dimension="number", unit="mm2")]


@dataclass(frozen=True, slots=True, kw_only=True)
class RingSpec(Checked):
    """A ring: its end gap, the maker's range if known, and whether a pin holds its ends."""

    gap: Measured | None = key(
        None,
        what="end gap of the ring in the bore",
        how="ring squared in the bore with the piston, feeler in the gap",
        example="0.2",
        usual=Usual(0.05, 1),
        needed=(RING,),
        agrees=("maker",),
    )
    maker: tuple[Size, Size] | None = key(
        None, what="the maker's least and most", how="the workshop manual", example="[0.15, 0.35]", helps=(RING,),
        agrees=("gap",),
    )  # fmt: skip
    pinned: bool = key(True, what="does a pin hold its ends?", example="false", helps=(RING,))


@dataclass(frozen=True, slots=True)
class Stage(Checked):
    """Openings that the gas passes side by side: a baffle's holes, or outlets; `area_mm2` where no shape is given."""

    instead_of_shape: ClassVar[tuple[str, ...]] = ("area_mm2",)

    name: str = key("openings", what="what the openings are", example='"outlet"', helps=(OUTLET,))
    shape: Shape | None = None
    count: Count = key(1, what="how many of them", how="counted", example="6", helps=(OUTLET,))
    area_mm2: SquareMillimetres | None = key(
        None, what="area of one of them, in place of a shape", how="a print on squared paper", example="150",
        helps=(OUTLET,),
    )  # fmt: skip
    beside: bool = key(
        False, what="does it lie beside the stage written before it, and not behind it?", example="true",
        helps=(OUTLET,),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Screen(Checked):
    """Woven wire."""

    opening: Size = key(
        what="clear width between two wires", how="count the wires over 20 mm, less the wire", example="0.8",
        usual=Usual(0.3, 3), needed=(OUTLET,), agrees=("wire",),
    )  # fmt: skip
    wire: Size = key(
        what="thickness of the wire", how="micrometer", example="0.3", usual=Usual(0.1, 1), needed=(OUTLET,),
        agrees=("opening",),
    )  # fmt: skip
    gross_mm2: SquareMillimetres | None = key(
        None, what="gross area of screen that gas goes through", how="a rule", example="600", helps=(OUTLET,)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class MufflerSpec(Checked):
    """Stages one behind the other, the last into the open."""

    port_area_mm2: SquareMillimetres | None = key(
        None, what="area of the exhaust port's window, if not the engine's", how="a print on squared paper",
        example="280", helps=(OUTLET,), agrees=("engine.ports.width",),
    )  # fmt: skip
    stages: tuple[Stage, ...] = key(
        name="stage",
        what="openings side by side: [[outlet.stage]] with name, count and a shape, from the baffle to the outlet",
        how="inside calipers, spark screen out",
        example='[{ name = "outlet", round = 15.0 }]',
        needed=(OUTLET,),
    )
    screen: Screen | None = key(
        None, what="the spark screen", example="{ opening = 0.8, wire = 0.3, gross_mm2 = 600 }", helps=(OUTLET,)
    )
    line: int = field(default=0, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class IgnitionSpec(Checked):
    """The flywheel's key.

    measured      spark after the work, as a strobe shows it, or
    dial          as a dial gauge in the plug hole shows it
    """

    large: Size
    small: Size = key(
        name="taper",
        joins=("large",),
        what="diameters of the taper at both ends of the key",
        how="calipers over the taper, at the thick and at the thin end of the key",
        example="[17.0, 13.0]",
        usual=Usual(5, 40),
        needed=(KEY,),
    )
    key_width: Size | None = key(
        None, what="width of the whole key", how="calipers across the key", example="2.5", usual=Usual(1, 8),
        helps=(KEY,),
        agrees=("removed",),
    )  # fmt: skip
    removed: Margin = key(
        0.0, what="metal off one side of it", how="calipers before and after", example="0.3", usual=Usual(0, 2),
        helps=(KEY,), agrees=("key_width", "taper"),
    )  # fmt: skip
    direction: Direction = key("advance", what="in which the flywheel then goes", example='"retard"', helps=(KEY,))
    present: Degrees | None = key(
        None, what="spark before the work, before top dead centre", how="strobe and degree wheel", example='"28 deg"',
        usual=Usual(5, 50), helps=(KEY,), agrees=("measured",),
    )  # fmt: skip
    measured: Degrees | None = key(
        None, what="spark after it, before top dead centre", how="strobe and degree wheel", example='"31 deg"',
        usual=Usual(5, 50), helps=(KEY,), agrees=("present", "dial"),
    )  # fmt: skip
    dial: Margin | None = key(
        None, what="the same as piston travel before top dead centre", how="dial gauge in the plug hole", example="2.1",
        usual=Usual(0.1, 8), helps=(KEY,), agrees=("measured", "engine.stroke"),
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost(Checked):
    """One line of the parts list."""

    name: str = key(what="what it is", example='"piston kit"')
    group: str = key("parts", what="under which heading", example='"tools"')
    count: Count = key(1, what="how many", example="2")
    price: Money | None = key(None, what="price of one", how="the bill", example="24.5")
    currency: Annotated[str, Form("text", longest=12)] = key("", what="its currency", example='"EUR"')
    state: State = key("new", what="new, used, or your own already", example='"used"')
    instead_of: str | None = key(
        None, what="another line by name, beside which this stands as an alternative", example='"piston kit"',
        agrees=("name",),
    )  # fmt: skip
    part: str | None = key(
        None, what="a part of the job: what it costs to cut by [cutting] is the price", example='"base-gasket"',
        agrees=("part.name", "cutting"),
    )  # fmt: skip
    line: int = field(default=0, compare=False)


@keys_only
class TrialSize:
    """The size of a timed cut."""

    diameter: Size | None = key(
        None, what="diameter of the log or bar that was cut", how="calipers or a tape", example="180",
        usual=Usual(10, 1500),
        agrees=("area_mm2",),
    )  # fmt: skip
    area_mm2: CutArea | None = key(
        None, what="area that was cut, in place of a diameter", how="a tape", example="25000", agrees=("diameter",)
    )


@dataclass(frozen=True, slots=True)
class Trial(Checked):
    """One timed cut, hole or lap: seconds, and its size (1 if only the time counts)."""

    written: ClassVar[tuple[type, ...]] = (TrialSize,)

    condition: str = key(what="what it was timed with", example='"before"')
    seconds: Seconds = key(what="how long it took", how="stopwatch", example="12.4", usual=Usual(0.5, 3600))
    size: float = 1.0


@keys_only
class CostTable:
    """A parts list that is kept in a spreadsheet."""

    cost_table: str | None = key(None, what="a CSV file of costs beside the job", example='"parts.csv"')


@dataclass(frozen=True, slots=True, kw_only=True)
class TopEnd:
    """Every section besides engine, squish and parts."""

    written: ClassVar[tuple[type, ...]] = (CostTable,)

    ring: RingSpec | None = key(None, what="the piston ring", example="{ gap = 0.2 }", needed=(RING,))
    muffler: MufflerSpec | None = key(
        None, name="outlet", what="what the gas passes on its way out of the muffler",
        example='{ stage = [{ name = "outlet", round = 15.0 }] }', needed=(OUTLET,),
    )  # fmt: skip
    ignition: IgnitionSpec | None = key(
        None, what="the flywheel's key and the spark", example="{ taper = [17.0, 13.0] }", needed=(KEY,)
    )
    costs: tuple[Cost, ...] = key((), name="cost", what="a line of the parts list", example='[{ name = "piston kit" }]')
    trials: tuple[Trial, ...] = key(
        (), name="trial", what="a timed trial", example='[{ condition = "before", seconds = 12.4 }]'
    )
