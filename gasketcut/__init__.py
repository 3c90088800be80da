"""Gaskets and muffler outlets for small two-strokes, from measurements to a file that cuts right.

    from gasketcut import make, read_job

    report = make(read_job("engine.toml"), "out")
    for finding in report.findings:
        print(finding.weight, finding.part, finding.text)

Names are loaded when first used, so that a program which only wants numbers does not load a drawing library.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from gasketcut.errors import GasketError, JobError
from gasketcut.version import VERSION

if TYPE_CHECKING:
    from gasketcut.finding import Finding
    from gasketcut.flow import Options, make
    from gasketcut.job.model import Job
    from gasketcut.job.reading.reader import parse_job, read_job
    from gasketcut.output.data.report import Report

__version__ = VERSION

__all__ = [
    "Finding",
    "GasketError",
    "Job",
    "JobError",
    "Options",
    "Report",
    "__version__",
    "make",
    "parse_job",
    "read_job",
]

_HOMES = {
    "Finding": "gasketcut.finding",
    "Job": "gasketcut.job.model",
    "Options": "gasketcut.flow",
    "make": "gasketcut.flow",
    "Report": "gasketcut.output.data.report",
    "parse_job": "gasketcut.job.reading.reader",
    "read_job": "gasketcut.job.reading.reader",
}


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        return getattr(import_module(_HOMES[name]), name)
    raise AttributeError(f"module 'gasketcut' has no attribute {name!r}")
