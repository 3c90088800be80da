"""The date on a build sheet: the one thing that an evaluation cannot know."""

from __future__ import annotations

import datetime

from gasketcut.evaluation.evaluation import Evaluation


def dated(evaluation: Evaluation, date: str | None) -> str:
    """The date on the sheet: as asked for, else the job's own, else today's."""
    return date or evaluation.job.record.date or datetime.date.today().isoformat()
