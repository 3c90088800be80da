"""Squish: what others advise, and what takes from the clearance when the engine runs, from `profiles/squish.toml`."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

from gasketcut.toml.table import Table

_WIDEST = 20.0  # mm; no squish is wider
_MOST = 1e5  # of whatever unit; as `[engine.running]` of a job
_ABOVE_NOTHING = ("rod_section_mm2", "rod_modulus_gpa")


@dataclass(frozen=True, slots=True)
class Advice:
    """A published figure for the squish clearance, as a range [mm], for whom, and from where."""

    engines: str
    low: float
    high: float
    source: str


@dataclass(frozen=True, slots=True)
class Running:
    """Masses, sections and temperatures of a running engine; the names carry the units, expansions are 1e-6/K.

    cylinder_height_mm  None: twice the stroke
    """

    reciprocating_g: float = 0.0
    rod_section_mm2: float = 0.0
    rod_modulus_gpa: float = 0.0
    rod_expansion: float = 0.0
    rod_rise_k: float = 0.0
    crown_height_mm: float = 0.0
    piston_expansion: float = 0.0
    piston_rise_k: float = 0.0
    cylinder_expansion: float = 0.0
    cylinder_rise_k: float = 0.0
    play_mm: float = 0.0
    cylinder_height_mm: float | None = None


RUNNING = tuple(field.name for field in fields(Running))
"""The keys of `[running]` here and of `[engine.running]` in a job."""


@dataclass(frozen=True, slots=True)
class SquishRules:
    """Advice is shown as theirs, never taken as a rule; `running` stands where the job has no value of its own."""

    advice: tuple[Advice, ...] = ()
    running: Running = Running()


def read_squish(table: Table, known: SquishRules) -> SquishRules:
    """The known ones, or the file's: a list of advice replaces the whole list."""
    advice = tuple(_advice(one) for one in table.tables("advice"))
    inner, running = table.table("running"), known.running
    if inner is not None:
        running = replace(running, **read_running(inner))
    found = SquishRules(advice if "advice" in table else known.advice, running)
    table.close()
    return found


def read_running(table: Table) -> dict[str, float]:
    """The values that the table gives, by key; a rod without a section or a modulus would stretch without end."""
    values = {key: table.number(key, most=_MOST, above=key in _ABOVE_NOTHING) for key in RUNNING}
    table.close()
    return {key: value for key, value in values.items() if value is not None}


def _advice(table: Table) -> Advice:
    engines, low, high = table.text("engines"), table.number("low", most=_WIDEST), table.number("high", most=_WIDEST)
    for key, value in (("engines", '"air-cooled, 50 cc"'), ("low", "0.5"), ("high", "0.8")):
        if key not in table:
            table.missing(key, f"it, e.g. {key} = {value}")
    if low and high and low > high:
        table.fault("high", f"{high:g} is below low = {low:g}; write the range as low and high")
    found = Advice(engines or "", low or 0.0, high or 0.0, table.text("source") or "not named")
    table.close()
    return found
