"""A job file (TOML) to a `Job`, or a `JobError` with every fault and its line."""

from __future__ import annotations

import re
import tomllib
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
from gasketcut.job.reading.table import Faults, Table
from gasketcut.job.reading.topend_sections import read_topend
from gasketcut.length import JOB_UNITS
from gasketcut.profile.loading import shipped

LARGEST_FILE = 1_000_000
"""Bytes. A job file is a page or two of text that a person wrote."""

DEEPEST = 40
"""Brackets within brackets; no job goes deeper than six."""

DEMO = "demo"


def read_job(file: str | Path) -> Job:
    """Read a job file; `"demo"` is the shipped example.

    Raise `JobError` with all faults, each with its line, key and what to write instead.
    """
    path = shipped("demo") if str(file) == DEMO else Path(file)
    return parse_job(_text_of(path), path)


def parse_job(text: str, source: Path | None = None) -> Job:
    """The same from a text; `source` names the file in messages and is where drawings are looked for."""
    name = str(source) if source else "job"
    data = _toml(text, name)
    faults = Faults(text)
    job = _read(data, faults, source)
    if found := faults.sorted():
        raise JobError(name, found)
    return job


def _text_of(path: Path) -> str:
    name = str(path)
    try:
        if path.is_dir():
            raise JobError(name, (Fault(0, "", "is a folder; name the job file in it"),))
        if (size := path.stat().st_size) > LARGEST_FILE:
            raise JobError(name, (Fault(0, "", f"holds {size / 1e6:.1f} MB; a job file is a page or two of text"),))
        return path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        message = f"is not UTF-8 text (byte {error.start}); save it as UTF-8, or is it another kind of file?"
        raise JobError(name, (Fault(0, "", message),)) from error
    except OSError as error:
        raise JobError(name, (Fault(0, "", f"cannot be read: {error.strerror or error}"),)) from error


def _toml(text: str, name: str) -> dict[str, Any]:
    deep = 0
    for bracket in re.findall(r"[\[\]{}]", text):
        deep += 1 if bracket in "[{" else -1
        if deep > DEEPEST:
            raise JobError(name, (Fault(0, "", f"goes more than {DEEPEST} brackets deep; that is no job file"),))
    try:
        return tomllib.loads(text.replace("\r\n", "\n"))
    except tomllib.TOMLDecodeError as error:
        message, line = str(error), 0
        if place := re.search(r" \(at line (\d+), column \d+\)$", message):
            message, line = message[: place.start()], int(place[1])
        elif message.endswith(" (at end of document)"):
            line = text.rstrip().count("\n") + 1
        raise JobError(name, (Fault(line, "", f"not valid TOML: {message}{_hint(text, line)}"),)) from error
    except ValueError as error:  # a number of more digits than Python turns into one
        digits = re.search(r"\d{1000,}", text)
        line = text.count("\n", 0, digits.start()) + 1 if digits else 1
        raise JobError(name, (Fault(line, "", "holds a number that is far too long"),)) from error
    except RecursionError as error:  # long dotted keys
        raise JobError(name, (Fault(0, "", "is nested too deeply; that is no job file"),)) from error


def _hint(text: str, line: int) -> str:
    shown = text.split("\n")[line - 1] if line else ""
    value = shown.partition("=")[2].strip()
    if re.match(r"\d+,\d+\b", value):
        return f"; write the decimal with a point: {value.replace(',', '.', 1)}"
    if re.match(r"[\d.]+ *[A-Za-z\"]", value):
        return f'; a value with a unit stands in quotes: "{value.replace(chr(34), " in")}"'
    return ""


def _read(data: dict[str, Any], faults: Faults, source: Path | None) -> Job:
    units = data.get("units")
    if units is not None and units not in JOB_UNITS:
        faults.add(("units",), f'{units!r} is not known; write units = "mm" or units = "in"')
        units = "mm"
    top = Table(data, (), faults, units)
    top.raw("units")
    beside = source.parent if source else None
    measure, record = top.table("measure"), top.table("record")
    cutting, layout = top.table("cutting"), top.table("layout")
    engine, squish, clamp = top.table("engine"), top.table("squish"), top.table("clamp")
    job = top.built(
        Job,
        title=top.text("title") or (source.stem if source else "untitled"),
        engine=read_engine(engine) if engine else None,
        squish=read_squish(squish) if squish else None,
        stock=tuple(read_stock(stock) for stock in top.tables("stock")),
        work=tuple(read_work(work) for work in top.tables("work")),
        clamp=read_clamp(clamp) if clamp else None,
        measure=read_measure(measure) if measure else None,
        record=read_record(record) if record else RecordSpec(),
        topend=read_topend(top, beside),
        cutting=read_cutting(cutting) if cutting else CuttingSpec(),
        layout=read_layout(layout) if layout is not None else None,
        parts=tuple(read_part(part, beside) for part in top.tables("part")),
        source=source,
    )
    top.close()
    return job
