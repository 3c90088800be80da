"""`[ring]`, `[outlet]`, `[ignition]`, `[[cost]]` and `[[trial]]` of a job file."""

from __future__ import annotations

from math import pi
from pathlib import Path

from gasketcut.errors import GasketError
from gasketcut.job.reading.cost_table import read_cost_table
from gasketcut.job.topend import Cost, IgnitionSpec, MufflerSpec, RingSpec, Screen, Stage, TopEnd, Trial, TrialSize
from gasketcut.parts.reading import read_shape
from gasketcut.toml.read import given, read
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
    ring = read(RingSpec, table)
    if ring.maker is not None and ring.maker[0] > ring.maker[1]:
        table.fault("maker", "write least and most, e.g. maker = [0.15, 0.35]")
    table.close()
    return ring


def _read_outlet(table: Table) -> MufflerSpec:
    screen = table.table("screen")
    spec = read(
        MufflerSpec,
        table,
        stages=tuple(_read_stage(one) for one in table.tables("stage")),
        screen=_read_screen(screen) if screen else None,
        line=table.line,
    )
    if not spec.stages:
        table.missing("stage", "[[outlet.stage]] with name, count and a shape, from the baffle to the outlet")
    table.close()
    return spec


def _read_stage(table: Table) -> Stage:
    stage = read(Stage, table, shape=None if "area_mm2" in table else read_shape(table))
    table.close()
    return stage


def _read_screen(table: Table) -> Screen:
    screen = read(Screen, table)
    if table.is_whole and screen.wire > 3 * screen.opening:
        table.fault("wire", "is more than three times the opening: no such screen is woven; are the two swapped?")
    table.close()
    return screen


def _read_ignition(table: Table) -> IgnitionSpec:
    said = given(IgnitionSpec, table)
    said |= {"large": max(said["large"], said["small"]), "small": min(said["large"], said["small"])}
    spec = table.built(IgnitionSpec, **said)
    if spec.key_width is not None and spec.removed >= spec.key_width:
        table.fault("removed", f"takes {spec.removed:g} mm from a key of {spec.key_width:g} mm: nothing is left of it")
    elif table.is_whole and spec.removed >= spec.small:
        table.fault("removed", "is more than the taper is wide")
    table.close()
    return spec


def _read_cost(table: Table) -> Cost:
    cost = read(Cost, table, line=table.line)
    table.close()
    return cost


def _read_trial(table: Table) -> Trial:
    size = given(TrialSize, table)
    diameter, area = size.get("diameter"), size.get("area_mm2")
    if diameter is not None and area is not None:
        table.fault("area_mm2", "give a diameter or an area, not both")
    trial = read(Trial, table, size=pi / 4 * diameter**2 if diameter is not None else area if area is not None else 1.0)
    table.close()
    return trial
