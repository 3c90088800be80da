"""`[cutting]` and `[layout]` of a job file."""

from __future__ import annotations

from gasketcut.job.cutting import PROCESSES, CuttingSpec, LayoutSpec
from gasketcut.toml.read import read
from gasketcut.toml.table import Table


def read_cutting(table: Table) -> CuttingSpec:
    """How the parts are cut; every key may be absent."""
    spec = read(CuttingSpec, table, line=table.line)
    if spec.process is None:
        _needs_process(table, spec)
    table.close()
    return spec


def read_layout(table: Table) -> LayoutSpec:
    """How parts lie on whole sheets; every key may be absent."""
    layout = read(LayoutSpec, table)
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
