"""Which gasket, and the build sheet: the commands about the engine."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from gasketcut.cli.program import EXIT_STOP, PAPER, Length, echo_json, main, say
from gasketcut.errors import GasketError


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--gasket", type=Length(), help='Work out "after" for this fitted thickness, e.g. "0.18 mm".')
@click.option("--out", type=click.Path(path_type=Path), help="Folder for the timing diagram and the squish chart.")
@click.option("--replace", is_flag=True, help="Write over files that are there already.")
@click.option("--advice", is_flag=True, help="Print too what others advise for the squish.")
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
def squish(job: Path, gasket: float | None, out: Path | None, replace: bool, advice: bool, as_json: bool) -> None:
    """Which base gasket gives the squish that JOB wants, how sure that is, and what it does to the engine.

    Exit code: 0 answered, 1 the answer is a danger to the engine, 2 the input is at fault.

    \b
    Example: gasketcut squish engine.toml --gasket "0.18 mm"
    """
    from gasketcut.flow import evaluate
    from gasketcut.job.reading.reader import read_job
    from gasketcut.output.data.finding import finding_data
    from gasketcut.output.data.squish import squish_data
    from gasketcut.output.text.squish import squish_text

    evaluation = evaluate(read_job(str(job)), gasket=gasket)
    answer, title = evaluation.squish, evaluation.job.title
    if answer is None:
        raise GasketError(f"{job}: has no [squish]; add it with target, gasket_present and readings")
    if out is not None:
        from gasketcut.output.save import save
        from gasketcut.pages.charts.files import squish_files

        save(squish_files(answer, title), out, replace=replace)
    if as_json:
        data = {**squish_data(answer), "findings": [finding_data(finding) for finding in answer.findings]}
        echo_json(data)
    else:
        others = evaluation.profiles.squish.advice if advice else ()
        say(squish_text(answer, title, others))
    if any(finding.weight == "stop" for finding in answer.findings):
        sys.exit(EXIT_STOP)


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="Folder for it; this one if not said.")
@PAPER
@click.option("--date", help="Date on the sheet, year-month-day; else that of [record], else today's.")
@click.option("--replace", is_flag=True, help="Write over files that are there already.")
@click.option("--json", "as_json", is_flag=True, help="Print every number as JSON; files only where --out says.")
def record(job: Path, out: Path | None, paper: str, date: str | None, replace: bool, as_json: bool) -> None:
    """Write build-sheet.pdf and build-sheet.txt of JOB: readings, choice, before and after, parts, blanks.

    With [[cost]] also costs.csv, with [[trial]] trials.svg and trials.pdf.

    \b
    Example: gasketcut record engine.toml --out record
    """
    from gasketcut.flow import evaluate
    from gasketcut.job.reading.reader import read_job

    evaluation = evaluate(read_job(str(job)))
    evaluation.require("squish", "outlet")
    if out is not None or not as_json:
        from gasketcut.output.save import save
        from gasketcut.rendering.build_sheet import build_sheet_files

        files = build_sheet_files(evaluation, paper, date)
        save(files, out or Path(), replace=replace)
        if not as_json:
            names = tuple(files)
            say(f"{' and '.join((', '.join(names[:-1]), names[-1]))} in {out or Path()}")
    if as_json:
        from gasketcut.pages.build_sheet.data import record_data

        echo_json(record_data(evaluation, date))
