"""A job file (TOML) to a `Job`, or a `JobError` with every fault and its line."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from gasketcut.errors import Fault, JobError
from gasketcut.job.cutting import CuttingSpec
from gasketcut.job.model import Job, RecordSpec
from gasketcut.job.reading.cutting_section import read_cutting, read_layout
from gasketcut.job.reading.engine_section import read_clamp, read_engine, read_work
from gasketcut.job.reading.measure_section import read_measure
from gasketcut.job.reading.part_section import read_part, read_stock
from gasketcut.job.reading.record_section import read_record
from gasketcut.job.reading.squish_section import read_squish
from gasketcut.job.reading.topend_sections import read_topend
from gasketcut.job.reading.wanted_section import read_wanted
from gasketcut.job.reading.whole_parts import with_whole_parts
from gasketcut.length import JOB_UNITS
from gasketcut.profile.own import shipped
from gasketcut.profile.profiles import Profiles, read_profiles
from gasketcut.toml.document import data_of, text_of
from gasketcut.toml.faults import Faults
from gasketcut.toml.table import Table
from gasketcut.toml.whole import whole, whole_table

DEMO = "demo"


def read_job(file: str | Path, profiles: Profiles | None = None) -> Job:
    """Read a job file; `"demo"` is the shipped example.

    profiles : sizes and materials that the job may name; None: ours and those in the job's folder

    Raise `JobError` with all faults, each with its line, key and what to write instead.
    """
    path = shipped("demo") if str(file) == DEMO else Path(file)
    text = text_of(path)
    if isinstance(text, Fault):
        raise JobError(str(path), (text,))
    return parse_job(text, path, profiles)


def parse_job(text: str, source: Path | None = None, profiles: Profiles | None = None) -> Job:
    """The same from a text; `source` names the file in messages and is where drawings are looked for."""
    name = str(source) if source else "job"
    data = data_of(text)
    if isinstance(data, Fault):
        raise JobError(name, (data,))
    faults = Faults(text)
    job = _read(data, faults, source, profiles or read_profiles(source.parent if source else None))
    found = faults.sorted()
    if any(not fault.is_lack for fault in found):
        raise JobError(name, found)
    return replace(job, incomplete=found) if found else job


def _read(data: dict[str, Any], faults: Faults, source: Path | None, profiles: Profiles) -> Job:
    units = data.get("units")
    if units is not None and units not in JOB_UNITS:
        faults.add(("units",), f'{units!r} is not known; write units = "mm" or units = "in"')
        units = "mm"
    top = Table(data, (), faults, units)
    top.raw("units")
    record, cutting, layout = top.table("record"), top.table("cutting"), top.table("layout")
    squish, motor = top.table("squish"), top.table("engine")
    engine = read_engine(motor) if motor else None
    parts = {table.path: (table, read_part(table, profiles.fasteners)) for table in top.tables("part")}
    job = Job.unchecked(
        units="in" if units == "in" else "mm",
        sure=top.texts("sure"),
        title=top.text("title") or (source.stem if source else "untitled"),
        engine=engine,
        squish=read_squish(squish, engine) if squish else None,
        stock=tuple(whole(lambda table: read_stock(table, profiles), top.tables("stock"))),
        work=tuple(whole(read_work, top.tables("work"))),
        wanted=whole_table(top, "wanted", read_wanted),
        clamp=whole_table(top, "clamp", lambda table: read_clamp(table, profiles.fasteners)),
        measure=whole_table(top, "measure", read_measure),
        record=read_record(record) if record else RecordSpec(),
        topend=read_topend(top, source.parent if source else None),
        cutting=read_cutting(cutting) if cutting else CuttingSpec(),
        layout=read_layout(layout) if layout is not None else None,
        source=source,
        text=faults.text,
    )
    top.close()
    return with_whole_parts(job, parts, data, faults)
