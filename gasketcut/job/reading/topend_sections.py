"""`[ring]`, `[outlet]`, `[ignition]`, `[[cost]]` and `[[trial]]` of a job file."""

from __future__ import annotations

from math import pi
from pathlib import Path
from typing import cast

from gasketcut.errors import GasketError
from gasketcut.job.reading.cost_table import read_cost_table
from gasketcut.job.topend import (
    STATES,
    Cost,
    IgnitionSpec,
    MufflerSpec,
    RingSpec,
    Screen,
    Stage,
    State,
    TopEnd,
    Trial,
)
from gasketcut.parts.reading import read_shape
from gasketcut.toml.table import Table
from gasketcut.toml.whole import whole, whole_table


def read_topend(top: Table, folder: Path | None) -> TopEnd:
    """All of them, from the whole job; a section that is not there is None or empty.

    folder : that of the job file, in which the table of costs lies
    """
    return TopEnd(
        ring=whole_table(top, "ring", _read_ring),
        muffler=whole_table(top, "outlet", _read_outlet),
        ignition=whole_table(top, "ignition", _read_ignition),
        costs=(*whole(_read_cost, top.tables("cost")), *_cost_table(top, folder)),
        trials=tuple(whole(_read_trial, top.tables("trial"))),
    )


def _cost_table(top: Table, folder: Path | None) -> tuple[Cost, ...]:
    """`cost_table = "parts.csv"`."""
    name = top.text("cost_table")
    if name is None:
        return ()
    try:
        return read_cost_table((folder or Path()) / name)
    except GasketError as error:
        top.fault("cost_table", str(error))
        return ()


def _read_ring(table: Table) -> RingSpec:
    maker = table.lengths("maker", (2,))
    if maker is not None and maker[0] > maker[1]:
        table.fault("maker", "write least and most, e.g. maker = [0.15, 0.35]")
    ring = RingSpec(
        gap=table.measured("gap") if "gap" in table else None,
        maker=(maker[0], maker[1]) if maker else None,
        pinned=table.flag("pinned", default=True),
    )
    table.close()
    return ring


def _read_outlet(table: Table) -> MufflerSpec:
    screen = table.table("screen")
    spec = MufflerSpec(
        port_area_mm2=table.number("port_area_mm2", most=1e6),
        stages=tuple(_read_stage(one) for one in table.tables("stage")),
        screen=_read_screen(screen) if screen else None,
        line=table.line,
    )
    if not spec.stages:
        table.missing("stage", "[[outlet.stage]] with name, count and a shape, from the baffle to the outlet")
    table.close()
    return spec


def _read_stage(table: Table) -> Stage:
    name, count = table.text("name") or "openings", table.whole("count", 1)
    area = table.number("area_mm2", most=1e6)
    shape = None if area is not None else read_shape(table)
    table.close()
    return Stage(name, shape, count, area)


def _read_screen(table: Table) -> Screen:
    screen = Screen(
        opening=table.length("opening"), wire=table.length("wire"), gross_mm2=table.number("gross_mm2", most=1e6)
    )
    if table.is_whole and screen.wire > 3 * screen.opening:
        table.fault("wire", "is more than three times the opening: no such screen is woven; are the two swapped?")
    table.close()
    return screen


def _read_ignition(table: Table) -> IgnitionSpec:
    taper = table.lengths("taper", (2,))
    if taper is None:
        table.missing("taper", "diameters of the taper at both ends of the key, e.g. taper = [17.0, 13.0]")
    large, small = max(taper or (1.0,)), min(taper or (1.0,))
    direction = table.word("direction", ("advance", "retard"), "advance")
    spec = IgnitionSpec(
        large=large,
        small=small,
        key_width=table.length_or_none("key_width"),
        removed=table.length("removed", 0.0, zero=True),
        direction="retard" if direction == "retard" else "advance",
        present=table.angle("present"),
        measured=table.angle("measured"),
        dial=table.length_or_none("dial", zero=True),
    )
    if spec.key_width is not None and spec.removed >= spec.key_width:
        table.fault("removed", f"takes {spec.removed:g} mm from a key of {spec.key_width:g} mm: nothing is left of it")
    elif taper is not None and spec.removed >= small:
        table.fault("removed", "is more than the taper is wide")
    table.close()
    return spec


def _read_cost(table: Table) -> Cost:
    name = table.text("name")
    if name is None:
        table.missing("name", 'what it is, e.g. name = "piston kit"')
    cost = Cost(
        name=name or "",
        group=table.text("group") or "parts",
        count=table.whole("count", 1),
        price=table.number("price", above=False, most=1e6),
        currency=table.text("currency", longest=12) or "",
        state=cast(State, table.word("state", STATES, "new")),
        instead_of=table.text("instead_of"),
        part=table.text("part"),
        line=table.line,
    )
    table.close()
    return cost


def _read_trial(table: Table) -> Trial:
    condition = table.text("condition")
    if condition is None:
        table.missing("condition", 'what it was timed with, e.g. condition = "before"')
    seconds = table.number("seconds", most=1e6)
    if seconds is None:
        table.missing("seconds", "how long it took, e.g. seconds = 12.4")
    diameter, area = table.length_or_none("diameter"), table.number("area_mm2", most=1e9)
    if diameter is not None and area is not None:
        table.fault("area_mm2", "give a diameter or an area, not both")
    size = pi / 4 * diameter**2 if diameter is not None else area if area is not None else 1.0
    table.close()
    return Trial(condition or "", seconds or 1.0, size)
