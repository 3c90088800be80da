"""The received drawings that a job names, read before anything is worked out."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from gasketcut.errors import DrawingError, Fault, JobError
from gasketcut.job.model import Job

if TYPE_CHECKING:
    from shapely.geometry import Polygon


def drawings_of(job: Job) -> dict[Path, Polygon]:
    """The closed line of each, read once; raise `JobError` with every one that cannot be used."""
    named = [(spec.line, f"part '{spec.name}'", shape.drawing_file) for spec in job.parts for shape in spec.shapes()]
    named += [(0, f"work.{work.number + 1}.to", work.to.drawing_file) for work in job.work if work.to is not None]
    if all(file is None for _, _, file in named):
        return {}
    from gasketcut.received.shape_file import closed_line  # few jobs name a drawing

    folder = job.source.parent if job.source else Path()
    found: dict[Path, Polygon] = {}
    faults = []
    for line, name, file in named:
        if file is not None and file not in found:
            try:
                found[file] = closed_line(folder / file)
            except DrawingError as error:
                faults.append(Fault(line, name, str(error)))
    if faults:
        raise JobError(job.called(), tuple(faults))
    return found
