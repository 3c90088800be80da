"""The three steps in one call, as most tests want them: evaluate, render, save."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from gasketcut import Evaluation, Finding, Job, evaluate
from gasketcut.checks.subject import Subject
from gasketcut.evaluation.part_result import PartResult
from gasketcut.finding import sorted_findings
from gasketcut.output.save import save
from gasketcut.pages.build_sheet.data import record_data
from gasketcut.parts.faces import faces_of
from gasketcut.parts.part import Part
from gasketcut.profile.profiles import Profiles
from gasketcut.rendering.build_sheet import build_sheet_files
from gasketcut.rendering.job_files import Options, render, report_bytes
from gasketcut.shape.loop import Outline


@dataclass(frozen=True)
class Made:
    """A part, its outline, and the names of its files."""

    part: Part
    outline: Outline
    files: tuple[str, ...]


@dataclass(frozen=True)
class Report:
    """An evaluation with the files that were written of it."""

    evaluation: Evaluation
    files: dict[str, bytes]

    @property
    def made(self) -> list[Made]:
        return [Made(one.part, one.outline, self._own(one)) for one in self.evaluation.parts.values()]

    def _own(self, result: PartResult) -> tuple[str, ...]:
        rows = self.as_data()["parts"]
        return tuple(next(row["files"] for row in rows if row["name"] == result.name))

    @property
    def findings(self) -> tuple[Finding, ...]:
        return sorted_findings((*self.evaluation.findings, *self.evaluation.laid_out[1]))

    def as_data(self) -> dict[str, Any]:
        return json.loads(self.as_json())

    def as_json(self) -> str:
        return self.files.get("report.json", report_bytes(self.evaluation)).decode()

    def __getattr__(self, name: str) -> Any:
        return getattr(self.evaluation, name)


def make(
    job: Job, out: str | Path, options: Options = Options(), on_progress: Any = None, *, replace: bool = False
) -> Report:
    evaluation = evaluate(job, on_progress=on_progress)
    files = render(evaluation, options)
    save(files, out, replace=replace)
    return Report(evaluation, files)


def fit(job: Job) -> tuple[tuple[Part, ...], tuple[Finding, ...]]:
    """The parts and everything that was found."""
    evaluation = evaluate(job)
    return evaluation.built, evaluation.findings


def built(job: Job) -> tuple[Part, ...]:
    """The parts alone."""
    return evaluate(job).built


__all__ = ["Options", "Report", "built", "fit", "make"]


def record(
    job: Job, out: str | Path, paper: str = "a4", date: str | None = None, *, replace: bool = False
) -> tuple[str, ...]:
    """The build sheet, written; the names of its files."""
    files = build_sheet_files(evaluate(job), paper, date)
    save(files, out, replace=replace)
    return tuple(files)


def record_numbers(job: Job, date: str | None = None) -> dict[str, Any]:
    """What `record --json` prints."""
    return record_data(evaluate(job), date)


def subject_of(job: Job, profiles: Profiles | None = None) -> Subject:
    """What the checks of the job's first part look at."""
    evaluation = evaluate(job, profiles)
    result = next(iter(evaluation.parts.values()))
    faces = faces_of(result.spec, evaluation.drawings)
    return Subject(result.part, result.spec, faces, result.clearances, result.narrowest, evaluation.profiles)
