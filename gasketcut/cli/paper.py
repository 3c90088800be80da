"""On paper at full size, beside the templates: the degree wheel and the port stencil."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gasketcut.cli.program import PAPER, Length, main, say

if TYPE_CHECKING:
    from gasketcut.evaluation.evaluation import Evaluation

_ON_PAPER = [
    click.option("--gasket", type=Length(), help='"New" is with this fitted thickness, e.g. "0.18 mm".'),
    PAPER,
    click.option("--printed", help="What the 100 mm bars measured, short edge first, e.g. 99.4x100.3: corrects it."),
    click.option("--printer", help="Name of the printer: keeps --printed under it, or uses what was kept."),
    click.option("--replace", is_flag=True, help="Write over a file that is there already."),
]


def _on_paper(command: Callable[..., None]) -> Callable[..., None]:
    """The options that the wheel and the stencil share."""
    for option in reversed(_ON_PAPER):
        command = option(command)
    return command


def _say(evaluation: Evaluation) -> None:
    """What the work on the ports does not reach."""
    from gasketcut.output.text.finding import findings_text

    if evaluation.exceeded:
        say(findings_text(evaluation.exceeded, evaluation.job.units))


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), default="degree-wheel.pdf", show_default=True, help="The file.")
@click.option("--turns", type=click.Choice(["clockwise", "counter-clockwise"]), default="clockwise", show_default=True,
              help="Which way the crank turns, looking at the wheel.")  # fmt: skip
@_on_paper
def wheel(job: Path, out: Path, turns: str, gasket: float | None, paper: str, printed: str | None, printer: str | None,
          replace: bool) -> None:  # fmt: skip
    """Write the degree wheel of JOB: degrees, mm of piston travel by its own stroke and rod, its ports old and new.

    The second page holds the same in figures.

    \b
    Example: gasketcut wheel engine.toml --out wheel.pdf --paper letter
    """
    from gasketcut.flow import evaluate
    from gasketcut.job.reading.reader import read_job
    from gasketcut.pages.paper_files import wheel_pdf, write_pdf
    from gasketcut.pages.printer import printer_fix

    evaluation = evaluate(read_job(str(job)), gasket=gasket)
    fix = printer_fix(printed, printer)
    data = wheel_pdf(evaluation, paper, turns, fix)  # type: ignore[arg-type]
    write_pdf(data, out, replace=replace)
    say(f"{out}: for a crank that turns {turns} as you look at the wheel; print it at 100 %")
    _say(evaluation)


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), default="port-stencil.pdf", show_default=True, help="The file.")
@click.option("--seen", type=click.Choice(["inside", "outside"]), default="inside", show_default=True,
              help="To slip into the bore, or to wrap round a bar.")  # fmt: skip
@_on_paper
def stencil(job: Path, out: Path, seen: str, gasket: float | None, paper: str, printed: str | None, printer: str | None,
            replace: bool) -> None:  # fmt: skip
    """Write the port stencil of JOB: the bore's wall laid flat, each window at its place, old edge and new edge.

    A port needs width, height and centre, an intake also floor; the second page says what a port lacks.

    \b
    Example: gasketcut stencil engine.toml --out stencil.pdf
    """
    from gasketcut.flow import evaluate
    from gasketcut.job.reading.reader import read_job
    from gasketcut.pages.paper_files import stencil_pdf, write_pdf
    from gasketcut.pages.printer import printer_fix

    evaluation = evaluate(read_job(str(job)), gasket=gasket)
    fix = printer_fix(printed, printer)
    data = stencil_pdf(evaluation, paper, seen, fix)  # type: ignore[arg-type]
    write_pdf(data, out, replace=replace)
    say(f"{out}: seen from {seen} the bore; print it at 100 %")
    _say(evaluation)
