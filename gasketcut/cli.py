"""The command line: parse, call, print, exit code. Nothing heavy is imported before a command needs it."""

from __future__ import annotations

import gc
import sys
from collections.abc import Callable
from pathlib import Path

import click

from gasketcut.errors import GasketError
from gasketcut.version import VERSION

EXIT_STOP, EXIT_INPUT = 1, 2
PAPERS = ["a4", "letter", "a3", "legal", "tabloid"]


class _Program(click.Group):
    """One place where what the user can put right becomes a plain line and exit code 2."""

    def invoke(self, ctx: click.Context) -> object:
        # Importing makes a great many objects and no garbage: looking for it costs a tenth of the start.
        gc.set_threshold(50_000, 20, 20)
        try:
            return super().invoke(ctx)
        except GasketError as error:
            click.echo(str(error), err=True)
            ctx.exit(EXIT_INPUT)


@click.group(cls=_Program, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80})
@click.version_option(VERSION, prog_name="gasketcut")
def main() -> None:
    """Gaskets and muffler outlets for small two-strokes, from measurements to a file that cuts right.

    \b
    gasketcut make demo --out out      the shipped example
    gasketcut make JOB.toml --out out  your own engine
    """


@main.command(short_help="Draw, check and write every part of a job.")
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), required=True, help="Folder for the files; made if missing.")
@click.option("--dxf", type=click.Choice(["r2000", "r2010", "r12"]), default="r2000", show_default=True,
              help="DXF version.")  # fmt: skip
@click.option("--form", type=click.Choice(["polyline", "segments"]), default="polyline", show_default=True,
              help="One closed polyline a contour, or single lines and arcs.")  # fmt: skip
@click.option("--units", type=click.Choice(["mm", "in"]), default="mm", show_default=True, help="Units of the DXF.")
@click.option("--paper", type=click.Choice(PAPERS), default="a4", show_default=True, help="Paper of the PDF.")
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
    from gasketcut.flow import Options, make
    from gasketcut.job.reader import read_job
    from gasketcut.write.answer import answer
    from gasketcut.write.finding_text import findings_text
    from gasketcut.write.printer import printer_fix

    fix = printer_fix(printed, printer)
    options = Options(dxf=dxf, form=form, units=units, paper=paper, fix=fix,  # type: ignore[arg-type]
                      together=together, replace=replace, anyway=anyway)  # fmt: skip
    report = make(read_job(str(job)), out, options)
    stops = tuple(finding for finding in report.findings if finding.weight == "stop")
    if as_json:
        click.echo(report.as_json(), nl=False)
    elif not quiet:
        click.echo(_coloured(answer(report, out, written=anyway or not stops)))
    elif stops:
        click.echo(findings_text(stops), err=True)
    if stops:
        sys.exit(EXIT_STOP)


class _Length(click.ParamType):  # type: ignore[type-arg]  # generic in newer releases only
    """A length with its unit, as in a job file."""

    name = "length"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> float:
        from gasketcut.length import parse_length

        if isinstance(value, float):
            return value
        try:
            return parse_length(str(value))
        except GasketError as error:
            self.fail(str(error), param, ctx)


@main.command(short_help="Which base gasket, and what it does to the engine.")
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--gasket", type=_Length(), help='Work out "after" for this fitted thickness, e.g. "0.18 mm".')
@click.option("--out", type=click.Path(path_type=Path), help="Folder for the timing diagram and the squish chart.")
@click.option("--replace", is_flag=True, help="Write over files that are there already.")
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
def squish(job: Path, gasket: float | None, out: Path | None, replace: bool, as_json: bool) -> None:
    """Which base gasket gives the squish that JOB wants, how sure that is, and what it does to the engine.

    Exit code: 0 answered, 1 the answer is a danger to the engine, 2 the input is at fault.

    \b
    Example: gasketcut squish engine.toml --gasket "0.18 mm"
    """
    from gasketcut.engine.floor import advice
    from gasketcut.engine.squish import answer_of
    from gasketcut.job.reader import read_job
    from gasketcut.write.finding_data import finding_data
    from gasketcut.write.squish_data import squish_data
    from gasketcut.write.squish_text import squish_text

    found = read_job(str(job))
    answer = answer_of(found, gasket)
    if answer is None:
        raise GasketError(f"{job}: has no [squish]; add it with target, gasket_present and readings")
    if out is not None:
        from gasketcut.write.squish_files import write_squish

        write_squish(answer, found.title, out, replace=replace)
    if as_json:
        import json

        data = {**squish_data(answer), "findings": [finding_data(finding) for finding in answer.findings]}
        click.echo(json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False))
    else:
        beside = found.source.parent if found.source else None
        bore = found.engine.bore if found.engine else None
        click.echo(_coloured(squish_text(answer, found.title, advice(beside), bore)))
    if any(finding.weight == "stop" for finding in answer.findings):
        sys.exit(EXIT_STOP)


@main.command(short_help="Prove that nothing hangs into a port, even where it can move.")
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="Folder for a picture of each part with what was found.")
@click.option("--replace", is_flag=True, help="Write over files that are there already.")
@click.option("--json", "as_json", is_flag=True, help="Print the findings as JSON.")
def fit(job: Path, out: Path | None, replace: bool, as_json: bool) -> None:
    """Check every part of JOB, and every joint of two faces, and write nothing to cut.

    The worst overhang is a bound over every shift and turn that the studs allow. A passage that is neither drawn nor
    declared not to be there is a stop. Exit code: 0 fits, 1 does not, 2 the input is at fault.

    \b
    Example: gasketcut fit engine.toml --out pictures
    """
    from gasketcut.flow import fit
    from gasketcut.job.reader import read_job
    from gasketcut.write.finding_data import finding_data
    from gasketcut.write.finding_text import findings_text, fit_text

    found = read_job(str(job))
    parts, findings = fit(found)
    if out is not None:
        from gasketcut.write.fit_picture import write_fit

        write_fit(found, parts, findings, out, replace=replace)
    if as_json:
        import json

        data = {"title": found.title, "findings": [finding_data(finding) for finding in findings]}
        click.echo(json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False))
    else:
        click.echo(_coloured(f"{found.title}\n\n{fit_text(findings)}\n\n{findings_text(findings)}"))
    if any(finding.weight == "stop" for finding in findings):
        sys.exit(EXIT_STOP)


@main.command(short_help="The build sheet: what was measured, chosen and cut.")
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), default=".", help="Folder for it; this one if not said.")
@click.option("--paper", type=click.Choice(PAPERS), default="a4", show_default=True, help="Paper of the PDF.")
@click.option("--date", help="Date on the sheet, year-month-day; else that of [record], else today's.")
@click.option("--replace", is_flag=True, help="Write over files that are there already.")
def record(job: Path, out: Path, paper: str, date: str | None, replace: bool) -> None:
    """Write build-sheet.pdf and build-sheet.txt of JOB: readings, choice, before and after, parts, blanks.

    \b
    Example: gasketcut record engine.toml --out record
    """
    from gasketcut.flow import record
    from gasketcut.job.reader import read_job

    names = record(read_job(str(job)), out, paper, date, replace=replace)
    click.echo(f"{' and '.join(names)} in {out}")


@main.command(short_help="Hole places from caliper readings, and the one bad reading.")
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print the pattern as JSON.")
def pattern(job: Path, as_json: bool) -> None:
    """Where the holes of JOB's [measure] are, how sure that is, and which reading does not agree.

    Exit code: 0 the readings agree, 1 they contradict each other, 2 the input is at fault.

    \b
    Example: gasketcut pattern engine.toml
    """
    from gasketcut.job.reader import read_job
    from gasketcut.measure.pattern import solve
    from gasketcut.write.pattern_text import pattern_data, pattern_text

    measure = read_job(str(job)).measure
    if measure is None:
        raise GasketError(f"{job}: has no [measure]; add it with [[measure.distance]] from, to, reading and over")
    found = solve(measure)
    if as_json:
        import json

        click.echo(json.dumps(pattern_data(found, measure), indent=2, ensure_ascii=False, allow_nan=False))
    else:
        click.echo(_coloured(pattern_text(found, measure)))
    if any(finding.weight == "stop" for finding in found.findings):
        sys.exit(EXIT_STOP)


_ON_PAPER = [
    click.option("--gasket", type=_Length(), help='"New" is with this fitted thickness, e.g. "0.18 mm".'),
    click.option("--paper", type=click.Choice(PAPERS), default="a4", show_default=True, help="Paper of the PDF."),
    click.option("--printed", help="What the 100 mm bars measured, short edge first, e.g. 99.4x100.3: corrects it."),
    click.option("--printer", help="Name of the printer: keeps --printed under it, or uses what was kept."),
    click.option("--replace", is_flag=True, help="Write over a file that is there already."),
]


def _on_paper(command: Callable[..., None]) -> Callable[..., None]:
    """The options that the wheel and the stencil share."""
    for option in reversed(_ON_PAPER):
        command = option(command)
    return command


@main.command(short_help="A degree wheel for this engine, at full size.")
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
    from gasketcut.engine.squish import answer_of
    from gasketcut.job.reader import read_job
    from gasketcut.write.paper_files import wheel_pdf, write_pdf
    from gasketcut.write.printer import printer_fix

    found = read_job(str(job))
    data = wheel_pdf(found, answer_of(found, gasket), paper, turns, printer_fix(printed, printer))  # type: ignore[arg-type]
    write_pdf(data, out, replace=replace)
    click.echo(f"{out}: for a crank that turns {turns} as you look at the wheel; print it at 100 %")


@main.command(short_help="The bore's ports laid flat, to file by, at full size.")
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
    from gasketcut.engine.squish import answer_of
    from gasketcut.job.reader import read_job
    from gasketcut.write.paper_files import stencil_pdf, write_pdf
    from gasketcut.write.printer import printer_fix

    found = read_job(str(job))
    data = stencil_pdf(found, answer_of(found, gasket), paper, seen, printer_fix(printed, printer))  # type: ignore[arg-type]
    write_pdf(data, out, replace=replace)
    click.echo(f"{out}: seen from {seen} the bore; print it at 100 %")


def _coloured(text: str) -> str:
    """Weights in colour; click takes the colour out again unless it prints to a terminal."""
    colours = {"FITS:": "green", "ANSWER:": "green", "DOES NOT FIT:": "red", "STOP": "red", "warn": "yellow"}
    rows = []
    for row in text.split("\n"):
        word = next((word for word in colours if row.startswith(word)), None)
        rows.append(click.style(word, fg=colours[word], bold=True) + row[len(word) :] if word else row)
    return "\n".join(rows)
