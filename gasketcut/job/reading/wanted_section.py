"""`[wanted]` of a job file."""

from __future__ import annotations

from gasketcut.job.wanted import Wanted
from gasketcut.toml.read import read
from gasketcut.toml.table import Table


def read_wanted(table: Table) -> Wanted:
    """What is wanted of the engine, and what may be done."""
    wanted = read(Wanted, table, line=table.line)
    table.close()
    return wanted
