"""Squish: what others advise, and what takes from the clearance when the engine runs, from `profiles/squish.toml`."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated

from gasketcut.checked import Limits
from gasketcut.described import SQUISH, Usual, key
from gasketcut.toml.read import given
from gasketcut.toml.table import Table

_WIDEST = 20.0  # mm; no squish is wider
_WIDEST_BORE = 1000.0  # mm
_MOST = 1e5  # of whatever unit; as `[engine.running]` of a job


@dataclass(frozen=True, slots=True)
class Advice:
    """A published figure for the squish clearance, as a range [mm], for whom, and from where."""

    engines: str
    low: float
    high: float
    source: str


def _at_least(unit: str) -> Limits:
    return Limits(0, _MOST, with_least=True, dimension="number", unit=unit)


def _above(unit: str) -> Limits:
    """A rod without a section or a modulus would stretch without end."""
    return Limits(0, _MOST, dimension="number", unit=unit)


_PROFILE = "as profiles/squish.toml has it"
_CUBE, _SQUARE, _BORE = (
    f"{_PROFILE}, {with_} bore" for with_ in ("by the cube of the", "by the square of the", "by the")
)


@dataclass(frozen=True, slots=True)
class Running:
    """Masses, sections and temperatures of a running engine; the names carry the units, expansions are 1e-6/K."""

    reciprocating_g: Annotated[float, _at_least("g")] = key(
        0.0,
        what="mass that goes up and down: piston, pin, ring, bearing, a third of the rod",
        left_out=_CUBE,
        how="a kitchen scale",
        example="180",
        usual=Usual(20, 1000),
        helps=(SQUISH,),
    )
    rod_section_mm2: Annotated[float, _above("mm2")] = key(
        0.0,
        what="section of the rod's shank",
        left_out=_SQUARE,
        how="calipers across the shank, both ways",
        example="60",
        usual=Usual(10, 500),
        helps=(SQUISH,),
    )
    rod_modulus_gpa: Annotated[float, _above("GPa")] = key(
        0.0,
        what="modulus of the rod's material",
        left_out=_PROFILE,
        how="the material's data sheet",
        example="205",
        usual=Usual(60, 215),
        helps=(SQUISH,),
    )
    rod_expansion: Annotated[float, _at_least("1e-6/K")] = key(
        0.0,
        what="expansion of the rod's material",
        left_out=_PROFILE,
        how="the material's data sheet",
        example="11.5",
        usual=Usual(8, 25),
        helps=(SQUISH,),
    )
    rod_rise_k: Annotated[float, _at_least("K")] = key(
        0.0,
        what="by how much the rod is warmer than when measured",
        left_out=_PROFILE,
        how="a guess between crankcase and piston",
        example="80",
        usual=Usual(20, 200),
        helps=(SQUISH,),
    )
    crown_height_mm: Annotated[float, _at_least("mm")] = key(
        0.0,
        what="from the pin's middle to the crown",
        left_out=_BORE,
        how="calipers along the piston",
        example="25",
        usual=Usual(10, 45),
        helps=(SQUISH,),
    )
    piston_expansion: Annotated[float, _at_least("1e-6/K")] = key(
        0.0,
        what="expansion of the piston's material",
        left_out=_PROFILE,
        how="the material's data sheet",
        example="20",
        usual=Usual(15, 25),
        helps=(SQUISH,),
    )
    piston_rise_k: Annotated[float, _at_least("K")] = key(
        0.0,
        what="by how much the piston is warmer than when measured",
        left_out=_PROFILE,
        how="a guess from the colour of its crown",
        example="180",
        usual=Usual(80, 300),
        helps=(SQUISH,),
    )
    cylinder_expansion: Annotated[float, _at_least("1e-6/K")] = key(
        0.0,
        what="expansion of the cylinder's material",
        left_out=_PROFILE,
        how="the material's data sheet",
        example="21",
        usual=Usual(9, 25),
        helps=(SQUISH,),
    )
    cylinder_rise_k: Annotated[float, _at_least("K")] = key(
        0.0,
        what="by how much the cylinder is warmer than when measured",
        left_out=_PROFILE,
        how="a sensor under the plug, less the room",
        example="120",
        usual=Usual(50, 250),
        helps=(SQUISH,),
    )
    play_mm: Annotated[float, _at_least("mm")] = key(
        0.0,
        what="play of big end, small end and main bearings together, up and down",
        left_out=_PROFILE,
        how="dial gauge on the crown, pulled and pushed",
        example="0.03",
        usual=Usual(0, 0.2),
        helps=(SQUISH,),
    )
    cylinder_height_mm: Annotated[float, _at_least("mm")] | None = key(
        None,
        what="from the crankcase to the deck",
        left_out="twice the stroke",
        how="calipers",
        example="68",
        usual=Usual(30, 150),
        helps=(SQUISH,),
    )


SCALED = {"reciprocating_g": 3, "rod_section_mm2": 2, "crown_height_mm": 1}
"""With which power of the bore a default goes. Our choice: parts of one form."""


@dataclass(frozen=True, slots=True)
class SquishRules:
    """Advice is shown as theirs, never taken as a rule; `running` stands where the job has no value of its own, for an
    engine of the bore `for_bore` [mm]."""

    advice: tuple[Advice, ...] = ()
    running: Running = Running()
    for_bore: float = 0.0

    def running_for(self, bore: float | None) -> Running:
        """For an engine of that bore [mm]; as it stands where the bore is not known.

        Source: our choice. Parts of one form and material: volume and so mass go with the cube of the bore, sections
        with its square, heights with the bore itself.

        >>> rules = SquishRules(running=Running(reciprocating_g=120.0, rod_section_mm2=60.0), for_bore=44.0)
        >>> round(rules.running_for(54.0).reciprocating_g), round(rules.running_for(54.0).rod_section_mm2)
        (222, 90)
        """
        if bore is None or not self.for_bore:
            return self.running
        size = bore / self.for_bore
        return replace(
            self.running,
            **{name: getattr(self.running, name) * size**power for name, power in SCALED.items()},
        )


def read_squish(table: Table, known: SquishRules) -> SquishRules:
    """The known ones, or the file's: a list of advice replaces the whole list."""
    advice = tuple(_advice(one) for one in table.tables("advice"))
    inner, running, bore = table.table("running"), known.running, known.for_bore
    if inner is not None:
        bore = inner.number("for_bore", most=_WIDEST_BORE) or bore
        running = replace(running, **read_running(inner))
    found = SquishRules(advice if "advice" in table else known.advice, running, bore)
    table.close()
    return found


def read_running(table: Table) -> dict[str, float]:
    """The values that the table gives, by key."""
    values = given(Running, table)
    table.close()
    return values


def _advice(table: Table) -> Advice:
    engines, low, high = table.text("engines"), table.number("low", most=_WIDEST), table.number("high", most=_WIDEST)
    for name, example in (("engines", '"air-cooled, 50 cc"'), ("low", "0.5"), ("high", "0.8")):
        if name not in table:
            table.missing(name, f"it, e.g. {name} = {example}")
    if low and high and low > high:
        table.fault("high", f"{high:g} is below low = {low:g}; write the range as low and high")
    found = Advice(engines or "", low or 0.0, high or 0.0, table.text("source") or "not named")
    table.close()
    return found
