"""Draw, check, place: the commands about parts."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING

import click

from gasketcut.cli.program import EXIT_STOP, PAPER, echo_json, main, same_line, say
from gasketcut.errors import GasketError, IncompleteError

if TYPE_CHECKING:
    from gasketcut.cutting.nest.search import Progress


def progress(seen: Progress) -> None:
    """One line that keeps changing while a layout is searched; Ctrl-C keeps the best so far."""
    gone = f"{seen.seconds:.0f} of {seen.limit:.0f} s"
    same_line(f"sheet {seen.sheet}: {seen.length:.0f} mm used, {gone}; Ctrl-C takes this")


class _Looking:
    """One line, once a second has gone, that says which port is being looked at."""

    def __init__(self) -> None:
        self._start = monotonic()
        self._said = False

    def __call__(self, part: str, window: str) -> None:
        if monotonic() - self._start >= 1.0:
            self._said = True
            same_line(f"{part}: how far it can shift into {window}")

    def done(self) -> None:
        """Leave nothing of it on the screen."""
        if self._said:
            same_line("")


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), required=True, help="Folder for the files; made if missing.")
@click.option("--dxf", type=click.Choice(["r2000", "r2010", "r12"]), default="r2000", show_default=True,
              help="DXF version.")  # fmt: skip
@click.option("--form", type=click.Choice(["polyline", "segments"]), default="polyline", show_default=True,
              help="One closed polyline a contour, or single lines and arcs.")  # fmt: skip
@click.option("--units", type=click.Choice(["mm", "in"]), default="mm", show_default=True, help="Units of the DXF.")
@PAPER
@click.option("--printed", help="What the 100 mm bars measured, short edge first, e.g. 99.4x100.3: corrects the print.")
@click.option("--printer", help="Name of the printer: keeps --printed under it, or uses what was kept.")
@click.option("--together", is_flag=True, help="One PDF more, with several small parts a page.")
@click.option("--replace", is_flag=True, help="Write over files that are there already.")
@click.option("--anyway", is_flag=True, help="Write parts that do not fit, and say so in their names.")
@click.option("--json", "as_json", is_flag=True, help="Print the report as JSON.")
@click.option("--quiet", is_flag=True, help="Print only what stops the work.")
def make(job: Path, out: Path, dxf: str, form: str, units: str, paper: str, printed: str | None, printer: str | None,
         together: bool, replace: bool, anyway: bool, as_json: bool, quiet: bool) -> None:  # fmt: skip
    """Draw, check and write every part of JOB (a TOML file, or 'demo').

    Writes a DXF, an SVG and a full-size PDF of each part, and report.json. A part that does not fit is not written.
    Exit code: 0 done, 1 something does not fit, 2 the input is at fault.

    \b
    Example: gasketcut make engine.toml --out out --paper letter
    """
    from gasketcut.flow import evaluate
    from gasketcut.job.reading.reader import read_job
    from gasketcut.output.save import save
    from gasketcut.output.text.finding import findings_text
    from gasketcut.output.text.make import make_text
    from gasketcut.pages.printer import printer_fix
    from gasketcut.rendering.job_files import REPORT, Options, is_stopped, render, report_bytes, unprinted

    fix = printer_fix(printed, printer)
    options = Options(dxf=dxf, form=form, units=units, paper=paper, fix=fix,  # type: ignore[arg-type]
                      together=together, anyway=anyway)  # fmt: skip
    found = read_job(str(job))
    if not found.parts and (lacking := found.lacking("part")):
        raise IncompleteError(found.called(), lacking)
    if not found.parts:
        raise GasketError(f"{job}: has no [[part]]; add one, e.g. a base gasket")
    on_progress = progress if sys.stderr.isatty() and not quiet else None
    looking = _Looking() if on_progress else None
    evaluation = evaluate(found, on_progress=on_progress, on_looking=looking)
    files = render(evaluation, options)
    if looking is not None:
        looking.done()
    save(files, out, replace=replace)
    if on_progress and found.layout is not None:
        same_line("")
    stops = tuple(finding for finding in evaluation.findings if finding.weight == "stop")
    if as_json:
        echo_json(json.loads(files.get(REPORT, report_bytes(evaluation))))
    elif not quiet:
        say(make_text(evaluation, out, files, unprinted(evaluation, options) if files else ()))
    elif stops:
        say(findings_text(stops, found.units), err=True)
    if is_stopped(evaluation):
        sys.exit(EXIT_STOP)


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="Folder for a picture of each part with what was found.")
@click.option("--replace", is_flag=True, help="Write over files that are there already.")
@click.option("--json", "as_json", is_flag=True, help="Print the findings as JSON.")
@click.option("--quiet", is_flag=True, help="No line on how far it is.")
def fit(job: Path, out: Path | None, replace: bool, as_json: bool, quiet: bool) -> None:
    """Check every part of JOB, and every joint of two faces, and write nothing to cut.

    The worst overhang is a bound over every shift and turn that the studs allow. A passage that is neither drawn nor
    declared absent leaves the part "not proven". Exit code: 0 fits, 1 anything else, 2 the input is at fault.

    \b
    Example: gasketcut fit engine.toml --out pictures
    """
    from gasketcut.flow import evaluate
    from gasketcut.job.reading.reader import read_job
    from gasketcut.output.data.report import fit_data
    from gasketcut.output.text.finding import findings_text
    from gasketcut.output.text.verdict import verdict_text
    from gasketcut.verdict import Verdict

    found = read_job(str(job))
    if not found.parts and (lacking := found.lacking("part")):
        raise IncompleteError(found.called(), lacking)
    looking = _Looking() if sys.stderr.isatty() and not quiet else None
    evaluation = evaluate(found, on_looking=looking)
    worked_out = evaluation.findings
    if looking is not None:
        looking.done()
    if out is not None:
        from gasketcut.output.save import save
        from gasketcut.pages.charts.fit import fit_files

        save(fit_files(evaluation.parts.values()), out, replace=replace)
    if as_json:
        echo_json(fit_data(evaluation))
    else:
        title, verdict = evaluation.job.title, verdict_text(evaluation)
        say(f"{title}\n\n{verdict}\n\n{findings_text(worked_out, found.units)}")
    if evaluation.verdict is not Verdict.FITS:
        sys.exit(EXIT_STOP)


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print the pattern as JSON.")
def pattern(job: Path, as_json: bool) -> None:
    """Where the holes of JOB's [measure] are, how sure that is, and which reading does not agree.

    Exit code: 0 the readings agree, 1 they contradict each other, 2 the input is at fault.

    \b
    Example: gasketcut pattern engine.toml
    """
    from gasketcut.flow import evaluate
    from gasketcut.job.reading.reader import read_job
    from gasketcut.output.text.pattern import pattern_data, pattern_text

    evaluation = evaluate(read_job(str(job)))
    found, measure = evaluation.pattern, evaluation.job.measure
    if found is None or measure is None:
        raise GasketError(f"{job}: has no [measure]; add it with [[measure.distance]] from, to, reading and over")
    if as_json:
        echo_json(pattern_data(found, measure))
    else:
        say(pattern_text(found, measure, evaluation.job.units))
    if any(finding.weight == "stop" for finding in found.findings):
        sys.exit(EXIT_STOP)
