"""What several tests need: a job from a few lines, made into a folder."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import settings

from gasketcut import parse_job
from gasketcut.rendering.job_files import Options
from tests.making import Report, make

# The same examples every time: a build that fails must fail again. New ones: pytest --hypothesis-profile=default
settings.register_profile("fixed", derandomize=True, database=None, deadline=None)  # nor is a busy machine a fault
settings.load_profile("fixed")

Maker = Callable[..., Report]


@pytest.fixture
def made(tmp_path: Path) -> Maker:
    """Make a job text into `tmp_path / "out"`."""

    def run(text: str, *, replace: bool = False, **options: object) -> Report:
        job = parse_job(text, tmp_path / "job.toml")
        return make(job, tmp_path / "out", Options(**options), replace=replace)  # type: ignore[arg-type]

    return run


@pytest.fixture
def command(tmp_path: Path) -> Callable[..., subprocess.CompletedProcess[str]]:
    """Run the command line in `tmp_path` as a user would, in a process of its own."""

    def run(*words: str, text: str | None = None) -> subprocess.CompletedProcess[str]:
        if text is not None:
            (tmp_path / "job.toml").write_text(text, encoding="utf-8")
        return subprocess.run(
            [sys.executable, "-m", "gasketcut", *words], cwd=tmp_path, capture_output=True, text=True, check=False
        )

    run.folder = tmp_path  # type: ignore[attr-defined]
    return run
