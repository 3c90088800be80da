"""`[record]` of a job file: what the build sheet is to say besides."""

from __future__ import annotations

from gasketcut.job.record import Fastening, RecordSpec
from gasketcut.toml.read import read
from gasketcut.toml.table import Table
from gasketcut.toml.whole import whole


def read_record(table: Table) -> RecordSpec:
    """`[record]` with `[[record.fastener]]`."""
    record = read(RecordSpec, table, fasteners=tuple(whole(_read_fastener, table.tables("fastener"))))
    table.close()
    return record


def _read_fastener(table: Table) -> Fastening:
    fastener = read(Fastening, table)
    table.close()
    return fastener
