"""`[cutting]` of a job file."""

from __future__ import annotations

from typing import Literal, cast

from gasketcut.errors import GasketError
from gasketcut.job.cutting import PROCESSES, Choice, CuttingSpec, LayoutSpec, Process, Turning
from gasketcut.length import parse_length
from gasketcut.toml.table import Table

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

_MINUTE = {"min": 1.0, "s": 60.0}


def read_cutting(table: Table) -> CuttingSpec:
    """How the parts are cut; every key may be absent."""
    process = cast(Process, table.word("process", PROCESSES)) if table.raw("process") is not None else None
    spec = CuttingSpec(
        process=process,
        kerf=_read_kerf(table),
        speed=_read_speed(table),
        pierce=_read_pierce(table),
        rate_hour=table.number("rate_hour", above=False, most=1e6),
        rate_sheet=table.number("rate_sheet", above=False, most=1e6),
        currency=table.text("currency", longest=12),
        order=table.flag("order", default=False),
        lead_in=_read_switch(table, "lead_in"),
        tabs=_read_tabs(table),
        overcut=_read_switch(table, "overcut"),
        letter=table.flag("letter", default=False),
        line=table.line,
    )
    if process is None:
        _needs_process(table, spec)
    table.close()
    return spec


def read_layout(table: Table) -> LayoutSpec:
    """How parts lie on whole sheets; every key may be absent."""
    turning = table.word("turning", ("any", "quarter", "half", "none"), "any")
    layout = LayoutSpec(
        spacing=table.length("spacing") if table.raw("spacing") is not None else None,
        margin=table.length("margin", 0.0, zero=True),
        turning=cast(Turning, turning),
        in_holes=table.flag("in_holes", default=False),
        seconds=table.number("seconds", most=LONGEST_SEARCH) or 10.0,
    )
    table.close()
    return layout


def _needs_process(table: Table, spec: CuttingSpec) -> None:
    say = f"add process = one of {', '.join(PROCESSES)}"
    for key, value in (("kerf", spec.kerf), ("lead_in", spec.lead_in), ("overcut", spec.overcut)):
        if value == "profile":
            table.fault(key, f"takes its size from the process, and none is named; {say}")
    if spec.tabs is not None:
        table.fault("tabs", f"takes their width from the process, and none is named; {say}")
    for key in ("rate_hour", "rate_sheet"):
        if key in table:
            table.fault(key, f"a quote needs to know how the sheet is cut; {say}")


def _read_kerf(table: Table) -> Choice:
    value = table.raw("kerf")
    if value is None or value is False:
        return None
    if value is True:
        table.fault("kerf", 'write kerf = "profile" for the cutter\'s usual kerf, or the one you measured')
        return None
    if isinstance(value, str) and not any(letter.isdigit() for letter in value):
        return "profile" if table.word("kerf", ("profile",)) == value else None
    kerf = table.length("kerf", zero=True)
    if kerf > WIDEST_KERF:
        table.fault("kerf", f"{kerf:g} mm is more than any cutter of thin sheet takes away; check it and its unit")
        return None
    return kerf


def _read_switch(table: Table, key: str) -> Choice:
    """True stands for what the profile says, a length for itself."""
    value = table.raw(key)
    if value is None or isinstance(value, bool):
        return "profile" if value else None
    return table.length(key)


def _read_tabs(table: Table) -> int | Literal["profile"] | None:
    value = table.raw("tabs")
    if value is None or isinstance(value, bool):
        return "profile" if value else None
    return table.whole("tabs", 1, most=MOST_TABS)


def _read_speed(table: Table) -> float | None:
    """`"600 mm/min"`: with a unit, since a bare number might be inches to somebody."""
    value = table.raw("speed")
    if value is None:
        return None
    if isinstance(value, int | float) and not isinstance(value, bool):
        table.fault("speed", f'{value} has no unit; write speed = "{value:g} mm/min"')
        return None
    if not isinstance(value, str):
        table.fault("speed", 'write a speed along the cut, e.g. speed = "600 mm/min"')
        return None
    length, _, time = value.partition("/")
    if time.strip() not in _MINUTE:
        table.fault("speed", f'{value!r} is no speed; write e.g. speed = "600 mm/min" or "10 mm/s"')
        return None
    try:
        speed = parse_length(length.strip()) * _MINUTE[time.strip()]
    except GasketError as error:
        table.fault("speed", f'{error}; write e.g. speed = "600 mm/min"')
        return None
    if not 0 < speed <= FASTEST:
        table.fault("speed", f"{speed:g} mm/min is out of range; write more than 0, up to {FASTEST:g} mm/min")
        return None
    return speed


def _read_pierce(table: Table) -> float | None:
    """`"0.5 s"`."""
    value = table.raw("pierce")
    if value is None:
        return None
    if isinstance(value, int | float) and not isinstance(value, bool):
        table.fault("pierce", f'{value} has no unit; write pierce = "{value:g} s"')
        return None
    try:
        number, unit = value.split()
        pierce = float(number) if unit == "s" and number.replace(".", "", 1).isdecimal() else -1.0
    except (AttributeError, ValueError):
        pierce = -1.0
    if not 0 <= pierce <= LONGEST_PIERCE:
        wanted = f"0 to {LONGEST_PIERCE:g} s"
        table.fault("pierce", f'{value!r} is no time for a start; write {wanted}, e.g. pierce = "0.5 s"')
        return None
    return pierce
