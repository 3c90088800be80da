"""`[measure]` of a job file, as frozen values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from gasketcut.checked import Checked, Limits, Size
from gasketcut.described import GASKET, Form, Usual, key, keys_only
from gasketcut.length import Measured
from gasketcut.plane import Point

Over = Literal["centres", "inside", "outside", "inside-outside", "outside-inside"]

SIGMA = 0.05
"""Standard deviation of a caliper reading over holes [mm] where the job says none. Our choice."""


@keys_only
class Sigma:
    """How sure readings are, where they do not say so themselves."""

    sigma: Size | None = key(
        None,
        what="standard deviation of the readings",
        how="the spread of ten readings of one length",
        example="0.05",
        usual=Usual(0.005, 0.5),
        helps=(GASKET,),
    )


@dataclass(frozen=True, slots=True)
class CaliperReading(Checked):
    """A caliper reading over two holes, or an edge and a hole, by name."""

    written: ClassVar[tuple[type, ...]] = (Sigma,)

    first: str = key(name="from", what="a hole, or an edge", example='"A"', needed=(GASKET,))
    second: str = key(name="to", what="the other hole", example='"B"', needed=(GASKET,))
    reading: Measured = key(
        what="what the caliper showed",
        how="calipers square to the part, three times",
        example="59.48",
        usual=Usual(1, 400),
        needed=(GASKET,),
    )
    over: Over = key(
        "centres", what="what the jaws touched: centres, inside, outside of both, or one of each", example='"outside"',
        helps=(GASKET,),
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure(Checked):
    """Readings from which hole places follow."""

    written: ClassVar[tuple[type, ...]] = (Sigma,)

    distances: tuple[CaliperReading, ...] = key(
        name="distance",
        what="a distance between two holes, or an edge and a hole: [[measure.distance]], once for each",
        example='[{ from = "A", to = "B", reading = 59.48, over = "outside" }]',
        needed=(GASKET,),
    )
    diameters: tuple[tuple[str, Measured], ...] = key(
        (),
        name="holes",
        what='diameters of the holes by name; "unknown" for one that was not measured',
        how="inside calipers, both ways across",
        example="{ A = 5.5, B = 5.5 }",
        form=Form("named measured", Limits()),
        helps=(GASKET,),
    )
    edges: tuple[str, ...] = key(
        (), what="names that are straight edges of the part and not holes", example='["left edge"]', helps=(GASKET,)
    )
    frame: tuple[str, str] | None = key(
        None,
        what="the two holes at the origin and on +x",
        example='["A", "B"]',
        form=Form("texts", counts=(2,)),
        helps=(GASKET,),
    )
    left: str | None = key(
        None, what="a hole on the left of the way from the one to the other", example='"C"', helps=(GASKET,)
    )
    rough: tuple[tuple[str, Point], ...] = key(
        (),
        what="places off a sketch, to decide between arrangements that fit as well",
        how="a rule on a sketch",
        example="{ A = [0, 0], C = [30, 40] }",
        form=Form("named places"),
        helps=(GASKET,),
    )
