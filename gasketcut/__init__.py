"""Gaskets and muffler outlets for small two-strokes, from measurements to a file that cuts right.

    import gasketcut as gc

    e = gc.evaluate(gc.read_job("engine.toml"))
    print(e.verdict, e.squish.best, e.parts["base"].clear_mm)
    gc.save(gc.render(e), "out")

Names are loaded when first used, so that a program which only wants numbers does not load a drawing library.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from gasketcut.errors import GasketError, JobError
from gasketcut.version import VERSION

if TYPE_CHECKING:
    from gasketcut import parts
    from gasketcut.capture.settings import TraceSettings
    from gasketcut.capture.traced import trace
    from gasketcut.evaluation.evaluation import Evaluation
    from gasketcut.finding import Finding
    from gasketcut.flow import evaluate, render, save
    from gasketcut.job.model import Engine, Job, PortTiming, SquishSpec
    from gasketcut.job.reading.reader import parse_job, read_job
    from gasketcut.profile.profiles import Profiles, read_profiles
    from gasketcut.received.inspection import inspect
    from gasketcut.received.mending import mend
    from gasketcut.rendering.job_files import Options
    from gasketcut.verdict import Verdict

__version__ = VERSION

_HOMES = {
    "Engine": "gasketcut.job.model",
    "Evaluation": "gasketcut.evaluation.evaluation",
    "Finding": "gasketcut.finding",
    "Job": "gasketcut.job.model",
    "Options": "gasketcut.rendering.job_files",
    "PortTiming": "gasketcut.job.model",
    "Profiles": "gasketcut.profile.profiles",
    "SquishSpec": "gasketcut.job.model",
    "Verdict": "gasketcut.verdict",
    "evaluate": "gasketcut.flow",
    "inspect": "gasketcut.received.inspection",
    "mend": "gasketcut.received.mending",
    "parse_job": "gasketcut.job.reading.reader",
    "read_job": "gasketcut.job.reading.reader",
    "read_profiles": "gasketcut.profile.profiles",
    "render": "gasketcut.flow",
    "save": "gasketcut.flow",
    "TraceSettings": "gasketcut.capture.settings",
    "trace": "gasketcut.capture.traced",
}

__all__ = [
    "Engine",
    "Evaluation",
    "Finding",
    "GasketError",
    "Job",
    "JobError",
    "Options",
    "PortTiming",
    "Profiles",
    "SquishSpec",
    "TraceSettings",
    "Verdict",
    "__version__",
    "evaluate",
    "inspect",
    "mend",
    "parse_job",
    "parts",
    "read_job",
    "read_profiles",
    "render",
    "save",
    "trace",
]


def __getattr__(name: str) -> Any:
    if name == "parts":
        return import_module("gasketcut.parts")
    if name in _HOMES:
        return getattr(import_module(_HOMES[name]), name)
    raise AttributeError(f"module 'gasketcut' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted(__all__)
