"""The parts of a job that can be drawn: those that lack nothing, and wait for nothing that lacks something."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from gasketcut.checked import Path
from gasketcut.errors import Lack
from gasketcut.job.model import Job
from gasketcut.job.work import PortWork
from gasketcut.parts.part_spec import PartSpec
from gasketcut.toml.faults import Faults
from gasketcut.toml.table import Table

Parts = dict[Path, tuple[Table, PartSpec]]


def with_whole_parts(job: Job, parts: Parts, data: Mapping[str, Any], faults: Faults) -> Job:
    """The job with its whole parts; why another one is left out is noted, and what the parts say of each other."""
    if any(not fault.is_lack for fault in faults.sorted()):
        return job  # it is refused; what else would be wrong shows once these are put right
    left = {path: spec for path, (table, spec) in parts.items() if table.is_whole}
    while True:
        job = Job.unchecked(**{**_values(job), "parts": tuple(left.values())})
        waiting = {path: lack for path, spec in left.items() if (lack := _waits_for(spec, job, data))}
        if not waiting:
            break
        for path, lack in waiting.items():
            faults.add(path, lack)
            del left[path]
    works = {work: _work_waits(work, left.values(), data) for work in job.work}
    for work, lack in works.items():
        if lack:
            faults.add(("work", work.number), lack)
    job = Job.unchecked(**{**_values(job), "work": tuple(work for work, lack in works.items() if not lack)})
    places = list(left)
    for key, message in job.problems():
        faults.add(_where(key, places), message)
    return job


def _waits_for(spec: PartSpec, job: Job, data: Mapping[str, Any]) -> Lack | None:
    """What else in the file has to be completed first."""
    if spec.stock is not None and job.sheet(spec.stock) is None and _is_begun(data, "stock", spec.stock):
        return Lack("stock", f"waits for its sheet {spec.stock!r}, which is not all said yet")
    if spec.of is not None and job.part(spec.of) is None and _is_begun(data, "part", spec.of):
        return Lack("of", f"waits for {spec.of!r}, which is not all said yet")
    measured = [name for holes in (*spec.studs, *spec.dowels, *spec.holes) for name in holes.measured]
    if measured and job.measure is None and "measure" in data:
        return Lack("from", "waits for [measure], which is not all said yet")
    if spec.needs_exhaust_port and job.exhaust_mm2 is None:
        hint = "add exhaust = { width = ..., height = ... } to [engine.ports]"
        return Lack("outlet.percent", f"needs the exhaust port: {hint}")
    return None


def _work_waits(work: PortWork, parts: Iterable[PartSpec], data: Mapping[str, Any]) -> Lack | None:
    """The part at whose flange a port is worked on, where that is not all said yet."""
    if work.part is None or work.part in (part.name for part in parts) or not _is_begun(data, "part", work.part):
        return None
    return Lack("part", f"waits for its part {work.part!r}, which is not all said yet")


def _is_begun(data: Mapping[str, Any], section: str, name: str) -> bool:
    """Is there a table of that name, or one that has no name yet?"""
    found = data.get(section)
    tables = found if isinstance(found, list) else [found]
    return any(isinstance(one, dict) and one.get("name", name) == name for one in tables)


def _where(key: str | Path | None, places: list[Path]) -> Path:
    """The way to a problem in the file: some parts before it may have been left out."""
    path = (key,) if isinstance(key, str) else key or ()
    if path[:1] == ("part",) and len(path) > 1 and isinstance(path[1], int):
        return (*places[path[1]], *path[2:])
    return path


def _values(job: Job) -> dict[str, Any]:
    return {name: getattr(job, name) for name in Job.__dataclass_fields__}
