"""The whole flow on one page: words and pictures in, one job, one evaluation, many renderings, saved.

read_job  text        -> Job                       job/
evaluate  Job         -> Evaluation                parts, checks, engine, cutting: each fact in one place
render    Evaluation  -> names to proven bytes     output/, pages/
save      bytes       -> files                     the one door to the disk
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from gasketcut.evaluation.evaluation import Evaluation
from gasketcut.profile.profiles import Profiles, read_profiles

if TYPE_CHECKING:
    from gasketcut.checks.clearance import Looking
    from gasketcut.cutting.nest.search import OnProgress
    from gasketcut.evaluation.part_result import PartResult
    from gasketcut.job.model import Job
    from gasketcut.rendering.job_files import Options


def evaluate(
    job: Job,
    profiles: Profiles | None = None,
    *,
    gasket: float | None = None,
    previous: Evaluation | None = None,
    on_progress: OnProgress | None = None,
    on_looking: Looking | None = None,
) -> Evaluation:
    """Everything that the job comes to. Pure: nothing is written, no clock is read, and no file but profiles and the
    drawings that the job names.

    profiles    : None: the shipped ones and the user's own beside the job
    gasket      : fitted thickness [mm] for which "after" is wanted, in place of the best choice
    previous    : an evaluation of the job before a change: parts that have not changed keep their results
    on_progress : called with how far a search for a layout has come
    on_looking  : called with the names of part and window while the worst motion is looked for

    Whatever the metal is, there is an answer, and findings. Raise `JobError` with all faults, at the latest when a
    result is asked for, where a part cannot be drawn or readings contradict each other.
    """
    if profiles is None:
        profiles = read_profiles(job.source.parent if job.source else None)
    known: Mapping[str, PartResult] = previous.parts if previous is not None else {}
    return Evaluation(job, profiles, gasket, known, on_progress, on_looking)


def render(evaluation: Evaluation, options: Options | None = None) -> dict[str, bytes]:
    """Every file of the job, in memory and proven; empty where a stop forbids it.

    Raise `JobError` for a job that cannot be drawn, `ReadBackError` if a file does not hold what the part is.
    """
    from gasketcut.rendering.job_files import Options, render  # brings the drawing libraries

    return render(evaluation, options or Options())


def save(files: Mapping[str, bytes], folder: str | Path, *, replace: bool = False) -> tuple[Path, ...]:
    """Write the files into the folder, all or none; return their paths.

    Raise `OutputError` for a name that leaves the folder, or a file that exists and differs without `replace`.
    """
    from gasketcut.output.save import save

    return save(files, folder, replace=replace)
