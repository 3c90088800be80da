"""Make `output_examples/` anew: `python -m tests.regenerate`. Look at the difference before you keep it."""

from __future__ import annotations

from pathlib import Path

from gasketcut import Options, make, read_job
from gasketcut.engine.squish import answer_of
from gasketcut.flow import fit, record
from gasketcut.write.fit_picture import write_fit
from gasketcut.write.squish_files import write_squish

EXAMPLES = Path(__file__).parent.parent / "output_examples"


def regenerate(folder: Path) -> None:
    """Write every example below the folder."""
    job = read_job("demo")
    make(job, folder, Options(replace=True))
    answer = answer_of(job)
    if answer is not None:
        write_squish(answer, job.title, folder / "squish", replace=True)
    parts, findings = fit(job)
    write_fit(job, parts, findings, folder / "fit", replace=True)
    record(job, folder / "record", date="2026-01-01", replace=True)


if __name__ == "__main__":
    regenerate(EXAMPLES)
