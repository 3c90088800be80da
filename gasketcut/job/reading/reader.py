"""A job file (TOML) to a `Job`, or a `JobError` with every fault and its line."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from gasketcut.errors import Fault, JobError
from gasketcut.job.cutting import CuttingSpec
from gasketcut.job.model import Job, PartSpec, RecordSpec, Stock
from gasketcut.job.reading.cutting_section import read_cutting, read_layout
from gasketcut.job.reading.engine_section import read_clamp, read_engine, read_work
from gasketcut.job.reading.measure_section import read_measure
from gasketcut.job.reading.part_section import read_part, read_stock
from gasketcut.job.reading.record_section import read_record
from gasketcut.job.reading.squish_section import read_squish
from gasketcut.job.reading.topend_sections import read_topend
from gasketcut.length import JOB_UNITS
from gasketcut.profile.own import shipped
from gasketcut.profile.profiles import Profiles, read_profiles
from gasketcut.toml.document import data_of, text_of
from gasketcut.toml.faults import Faults
from gasketcut.toml.table import Table

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
    if found := faults.sorted():
        raise JobError(name, found)
    return job


def _read(data: dict[str, Any], faults: Faults, source: Path | None, profiles: Profiles) -> Job:
    units = data.get("units")
    if units is not None and units not in JOB_UNITS:
        faults.add(("units",), f'{units!r} is not known; write units = "mm" or units = "in"')
        units = "mm"
    top = Table(data, (), faults, units)
    top.raw("units")
    measure, record = top.table("measure"), top.table("record")
    cutting, layout = top.table("cutting"), top.table("layout")
    engine, squish, clamp = top.table("engine"), top.table("squish"), top.table("clamp")
    job = Job(
        title=top.text("title") or (source.stem if source else "untitled"),
        engine=read_engine(engine) if engine else None,
        squish=read_squish(squish) if squish else None,
        stock=tuple(read_stock(stock, profiles) for stock in top.tables("stock")),
        work=tuple(read_work(work) for work in top.tables("work")),
        clamp=read_clamp(clamp, profiles.fasteners) if clamp else None,
        measure=read_measure(measure) if measure else None,
        record=read_record(record) if record else RecordSpec(),
        topend=read_topend(top, source.parent if source else None),
        cutting=read_cutting(cutting) if cutting else CuttingSpec(),
        layout=read_layout(layout) if layout is not None else None,
        parts=tuple(read_part(part, profiles.fasteners) for part in top.tables("part")),
        source=source,
    )
    top.close()
    _check_names(job.parts, job.stock, faults)
    _check_references(job, faults)
    return job


def _check_names(parts: tuple[PartSpec, ...], stock: tuple[Stock, ...], faults: Faults) -> None:
    for section, names in (("part", [part.name for part in parts]), ("stock", [sheet.name for sheet in stock])):
        seen: dict[str, int] = {}
        for number, name in enumerate(names):
            # Case is folded because some file systems take 'Base' and 'base' for one file.
            first = seen.setdefault(name.casefold(), number)
            if name and first != number:
                faults.add((section, number, "name"), f"{name!r} is also the name of {section} {first + 1}")


def _check_references(job: Job, faults: Faults) -> None:
    named = {part.name: part for part in job.parts}
    stocks = [stock.name for stock in job.stock]
    measured = {end for one in (job.measure.distances if job.measure else ()) for end in (one.first, one.second)}
    for number, part in enumerate(job.parts):
        for name in (name for holes in (*part.studs, *part.dowels, *part.holes) for name in holes.measured):
            if name not in measured:
                message = f"{name!r} is no hole of [measure]; known there: {', '.join(sorted(measured)) or 'none'}"
                faults.add(("part", number), message)
        if part.stock is not None and part.stock not in stocks:
            known = f"write one of {', '.join(stocks)}" if stocks else "add a [[stock]] with this name"
            faults.add(("part", number, "stock"), f"there is no stock {part.stock!r}; {known}")
        if part.of is not None and (part.of not in named or named[part.of].of is not None):
            known = ", ".join(name for name, other in named.items() if other.of is None)
            faults.add(
                ("part", number, "of"), f"{part.of!r} is no part with an outline of its own; write one of {known}"
            )
        wants_port = part.outlet is not None and part.outlet.percent is not None
        if wants_port and (job.engine is None or job.engine.port("exhaust") is None):
            message = "needs the exhaust port: add exhaust = { width = ..., height = ... } to [engine.ports]"
            faults.add(("part", number, "outlet", "percent"), message)
