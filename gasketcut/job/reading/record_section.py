"""`[record]` of a job file: what the build sheet is to say besides."""

from __future__ import annotations

import re

from gasketcut.job.model import RecordSpec
from gasketcut.toml.table import Table
from gasketcut.toml.whole import whole


def read_record(table: Table) -> RecordSpec:
    """`[record]` with `[[record.fastener]]`."""
    date = table.text("date")
    if date is not None and not re.fullmatch(r"\d{4}-\d{2}-\d{2}", date):
        table.fault("date", f"{date!r} is not a date; write year-month-day, e.g. 2026-03-09")
    record = RecordSpec(
        date=date,
        tools=table.texts("tools"),
        fasteners=tuple(whole(_read_fastener, table.tables("fastener"))),
        notes=table.texts("notes"),
    )
    table.close()
    return record


def _read_fastener(table: Table) -> tuple[str, str, float | None]:
    what = table.text("what")
    if what is None:
        table.missing("what", 'where it goes, e.g. what = "cylinder nuts"')
    fastener = (what or "", table.text("size") or "", table.number("torque_nm", most=500))
    table.close()
    return fastener
