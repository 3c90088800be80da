"""`[squish]` of a job file."""

from __future__ import annotations

from gasketcut.errors import LengthError
from gasketcut.job.engine import Engine
from gasketcut.job.ports import PLACES
from gasketcut.job.squish import Reading, SquishSpec
from gasketcut.length import parse_angle
from gasketcut.parts.stock import Range
from gasketcut.toml.read import given, read
from gasketcut.toml.table import Table
from gasketcut.toml.whole import whole


def read_squish(table: Table, engine: Engine | None) -> SquishSpec:
    """Readings, or their mean, or a deck with what lies above it; and what is wanted.

    engine : as read, since it may be the one that says the deck
    """
    spec = read(
        SquishSpec,
        table,
        readings=tuple(whole(_read_reading, table.tables("readings"))),
        sealant=_read_sealant(table),
        said=table.names,
        present_line=table.line_of("gasket_present"),
        line=table.line,
    )
    for lack in spec.lacks(engine):
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


def _read_sealant(table: Table) -> Range:
    sealant = table.lengths("sealant", (1, 3), signed=True)  # none at all is a film too
    if sealant is None:
        return (0.0, 0.0, 0.0)
    least, likely, most = sealant if len(sealant) == 3 else (0.0, sealant[0], sealant[0])
    if not 0 <= least <= likely <= most:
        table.fault("sealant", "write it as [least, likely, most], rising from 0 or more")
    return least, likely, most
