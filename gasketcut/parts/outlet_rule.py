"""The openings of a muffler outlet: given by a shape, or by their share of the exhaust port's area."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, pi, radians, sin, sqrt
from typing import TYPE_CHECKING, Annotated, ClassVar, Literal

from gasketcut.checked import Checked, Limits, Problem, Size
from gasketcut.described import GASKET, Usual, key
from gasketcut.errors import Lack, ShapeError
from gasketcut.parts.words import Oval, Placed, Round, Shape, Slot
from gasketcut.plane import Point
from gasketcut.toml.read import read

if TYPE_CHECKING:
    from gasketcut.toml.table import Table

Form = Literal["round", "oval", "slot"]

Share = Annotated[float, Limits(0, 1000, dimension="number", unit="%")]

Aspect = Annotated[float, Limits(1, 20, with_least=True, dimension="number", unit="")]


@dataclass(frozen=True, slots=True)
class OutletRule(Checked):
    """`count` equal openings, given by `shape` or by `percent` of the exhaust port."""

    instead_of_shape: ClassVar[tuple[str, ...]] = ("percent",)

    shape: Shape | None = None
    percent: Share | None = key(
        None,
        what="share of the exhaust port's area, in place of a shape",
        how="yours to choose; law on noise and emission first",
        example="80",
        usual=Usual(20, 150),
        helps=(GASKET,),
        agrees=("engine.ports.width",),
    )
    form: Form = key("round", what="what it is like, when sized by percent", example='"oval"', agrees=("percent",))
    ratio: Aspect = key(
        1.5,
        what="length over width of an oval or slot sized by percent",
        example="1.6",
        usual=Usual(1, 6),
        agrees=("form",),
    )
    count: Annotated[int, Limits(1, 200, with_least=True, dimension="whole", unit="")] = key(
        1, what="how many equal openings", example="3", agrees=("circle",)
    )
    circle: Size | None = key(
        None,
        what="diameter of the circle on which several openings sit",
        how="over two opposite holes, outside, less one diameter",
        example="24.0",
        usual=Usual(3, 100),
        agrees=("count",),
    )

    @classmethod
    def read(cls, table: Table) -> OutletRule:
        """From the part's `outlet`."""
        from gasketcut.parts.reading import read_shape

        rule = read(cls, table, shape=None if "percent" in table else read_shape(table))
        table.close()
        return rule

    def problems(self) -> Iterator[Problem]:
        yield from Checked.problems(self)
        if self.shape is None and self.percent is None:
            yield None, "write the shape of the opening, e.g. { round = 14.0 }, or percent = 80 of the exhaust port"
        if self.count > 1 and self.circle is None:
            hint = "write the circle on which the openings sit, e.g. circle = 24"
            yield None, Lack("circle", f"'circle' is missing; {hint}")

    def openings(self, exhaust_mm2: float | None) -> list[Placed]:
        """Every opening at its place; raise `ShapeError` if there is nothing to take a share of."""
        shape = self._shape(exhaust_mm2)
        return [Placed(shape, place) for place in self._places()]

    def _shape(self, exhaust_mm2: float | None) -> Shape:
        """Sized by percent, all openings together have that share of the port's area: d = sqrt(4 k A / (pi n)).

        Checked against a posted case: a port of 203.83 mm2, 80 % = 14.41 mm.
        """
        if self.shape is not None:
            return self.shape
        if self.percent is None or exhaust_mm2 is None:
            raise ShapeError("has neither a size nor an exhaust port to take a share of")
        area = exhaust_mm2 * self.percent / 100 / self.count
        if self.form == "round":
            return Round(sqrt(4 * area / pi))
        if self.form == "oval":  # area = pi/4 a b with a = ratio b
            width = sqrt(4 * area / (pi * self.ratio))
            return Oval(width * self.ratio, width)
        width = sqrt(area / (self.ratio - 1 + pi / 4))  # slot: (a - b) b + pi/4 b2
        return Slot(width * self.ratio, width)

    def _places(self) -> list[Point]:
        if self.count == 1 or self.circle is None:
            return [(0.0, 0.0)]
        turns = [radians(90 + 360 * number / self.count) for number in range(self.count)]
        return [(self.circle / 2 * cos(turn), self.circle / 2 * sin(turn)) for turn in turns]
