"""How the engine comes to what is wanted of it: the command about ways."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from gasketcut.cli.program import EXIT_STOP, echo_json, main, say
from gasketcut.errors import GasketError


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="Folder for a picture: the ports now and on each way.")
@click.option("--replace", is_flag=True, help="Write over files that are there already.")
@click.option("--json", "as_json", is_flag=True, help="Print the ways as JSON, every figure in full.")
def ways(job: Path, out: Path | None, replace: bool, as_json: bool) -> None:
    """What to take off where, for JOB to come to what [wanted] says: every way, deed by deed, best first.

    Exit code: 0 there is a way, 1 every way is a danger to the engine, 2 the input is at fault.

    \b
    Example: gasketcut ways engine.toml --out ways
    """
    from gasketcut.flow import evaluate
    from gasketcut.job.reading.reader import read_job
    from gasketcut.output.data.ways import ways_data
    from gasketcut.output.text.ways import ways_text

    evaluation = evaluate(read_job(str(job)))
    result, title = evaluation.ways, evaluation.job.title
    if result is None:
        raise GasketError(f'{job}: has no [wanted]; add it, e.g. exhaust = "160 deg" and may = ["gasket", "ports"]')
    if out is not None:
        from gasketcut.output.save import save
        from gasketcut.pages.charts.ways import ways_files

        save(ways_files(result, title), out, replace=replace)
    if as_json:
        echo_json(ways_data(result))
    else:
        say(ways_text(result, title))
    if result.is_stopped:
        sys.exit(EXIT_STOP)
