"""`[squish]` of a job file."""

from __future__ import annotations

from math import sqrt

from gasketcut.errors import LengthError
from gasketcut.job.ports import PLACES
from gasketcut.job.squish import GapByDeck, Reading, SquishSpec
from gasketcut.length import Measured, parse_angle
from gasketcut.parts.stock import Range
from gasketcut.toml.read import given, read
from gasketcut.toml.table import Table
from gasketcut.toml.whole import whole


def read_squish(table: Table) -> SquishSpec:
    """Readings, or their mean, or deck height or protrusion with what lies above; and what is wanted."""
    spec = read(
        SquishSpec,
        table,
        readings=tuple(whole(_read_reading, table.tables("readings"))),
        measured=_read_measured(table),
        sealant=_read_sealant(table),
        present_line=table.line_of("gasket_present"),
        line=table.line,
    )
    for lack in spec.lacks():
        table.fault(None, lack)
    if spec.readings and spec.measured is not None:
        table.fault("measured", "give the readings or one figure for them, not both")
    if spec.target is not None and spec.least is not None and spec.target < spec.least:
        table.fault("target", f"{spec.target:g} mm is under your own floor, least = {spec.least:g} mm")
    if spec.target is not None and spec.most is not None and spec.target > spec.most:
        table.fault("target", f"{spec.target:g} mm is over your own ceiling, most = {spec.most:g} mm")
    table.close()
    return spec


def _read_reading(table: Table) -> Reading:
    at = table.raw("at")
    if isinstance(at, str) and at not in PLACES:
        try:
            turn = parse_angle(at) % 360
            at = next((place for place, known in PLACES.items() if known == turn), f"{turn:g} deg")
        except LengthError:
            at = table.word("at", tuple(PLACES))
    else:
        at = table.word("at", tuple(PLACES))
    reading = Reading(at, **given(Reading, table, "at"))
    table.close()
    return reading


def _read_measured(table: Table) -> Measured | None:
    """A mean that the user worked out; or deck (or protrusion), head gasket and recess of the head added up."""
    said = [key for key in ("measured", "deck", "protrusion") if key in table]
    if len(said) > 1:
        table.fault(said[1], f"says the same as {said[0]}; keep one")
    sums = given(GapByDeck, table)
    head = [sums.get(key, Measured(0.0)) for key in ("head_gasket", "head_recess")]
    if "measured" in table:
        return table.measured("measured")
    if "deck" in table:
        parts = [sums["deck"], *head]
    elif "protrusion" in table:
        above = sums["protrusion"]
        parts = [Measured(-above.value, above.sigma), *head]
    else:
        return None
    total = Measured(sum(part.value for part in parts), sqrt(sum(part.sigma**2 for part in parts)))
    if total.value <= 0:
        table.fault(said[0], f"leaves {total.value:.3f} mm between piston and head; check head_gasket and head_recess")
        return Measured(1.0)
    return total


def _read_sealant(table: Table) -> Range:
    sealant = table.lengths("sealant", (1, 3))
    if sealant is None:
        return (0.0, 0.0, 0.0)
    least, likely, most = sealant if len(sealant) == 3 else (0.0, sealant[0], sealant[0])
    if not least <= likely <= most:
        table.fault("sealant", "write it as [least, likely, most], rising")
    return least, likely, most
