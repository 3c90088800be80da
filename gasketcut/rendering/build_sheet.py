"""The build sheet as files: PDF and text, the parts list, the timed trials."""

from __future__ import annotations

from gasketcut.evaluation.evaluation import Evaluation
from gasketcut.output.data.costs import costs_to_csv
from gasketcut.output.picture import as_svg
from gasketcut.output.proof.svg import prove_size
from gasketcut.pages.build_sheet.date import dated
from gasketcut.pages.build_sheet.record import record_pdf, record_text
from gasketcut.pages.build_sheet.sections import record_sections
from gasketcut.pages.charts.files import picture_page
from gasketcut.pages.charts.trials import trials_picture


def build_sheet_files(evaluation: Evaluation, paper: str = "a4", date: str | None = None) -> dict[str, bytes]:
    """`build-sheet.pdf` and `.txt`; with costs also `costs.csv`, with trials `trials.svg` and `.pdf`.

    date : year-month-day; else the job's own, else today's
    """
    title, on, sections = evaluation.job.title, dated(evaluation, date), record_sections(evaluation)
    files = {
        "build-sheet.pdf": record_pdf(title, on, sections, evaluation.profiles.papers.paper(paper)),
        "build-sheet.txt": record_text(title, on, sections).encode(),
    }
    topend = evaluation.topend
    if topend.bill is not None:
        files["costs.csv"] = costs_to_csv(topend.bill).encode()
    if topend.trials is not None:
        picture = trials_picture(topend.trials, title)
        files["trials.svg"] = as_svg(picture)
        prove_size(files["trials.svg"], (picture.width, picture.height), "trials")
        files["trials.pdf"] = picture_page([picture], title, "timed trials")
    return files
