"""What received drawings, or the parts of a job, cost to cut."""

from __future__ import annotations

import re
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from click.core import ParameterSource

from gasketcut.cli.parts import progress
from gasketcut.cli.program import EXIT_STOP, Length, echo_json, main, same_line, say
from gasketcut.cli.received import DROP, FIT, JOIN, UNITS
from gasketcut.errors import GasketError, IncompleteError, UndecidedError
from gasketcut.job.cutting import PROCESSES

if TYPE_CHECKING:
    from gasketcut.job.model import Job
    from gasketcut.profile.profiles import Profiles


class Box(click.ParamType):  # type: ignore[type-arg]  # generic in newer releases only
    """Width and height, in mm where no unit is said: `1000x500`, `40 x 20 in`."""

    name = "width x height"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> tuple[float, float]:
        from gasketcut.length import parse_length

        if isinstance(value, tuple):
            return value
        sides = re.split(r"[xX×]", str(value))
        unit = re.search(r"[A-Za-z]*\s*$", sides[-1])
        try:
            if len(sides) != 2:
                self.fail(f"{value!r}: write width and height, e.g. 1000x500", param, ctx)
            width, height = (parse_length(side, unit[0].strip() or "mm" if unit else "mm") for side in sides)
        except GasketError as error:
            self.fail(str(error), param, ctx)
        if min(width, height) <= 0:
            self.fail(f"{value!r}: a sheet is larger than nothing", param, ctx)
        return width, height


class Kerf(Length):
    """A length, or `profile`."""

    name = "length or profile"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> float:
        return value if value == "profile" else super().convert(value, param, ctx)  # type: ignore[return-value]


@main.command()
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--sheet", metavar="NAME", help="One of sheets.toml, e.g. 'steel 1.0'; or any, with --size.")
@click.option("--size", type=Box(), help="Of the whole sheet [mm], in place of what sheets.toml says.")
@click.option("--copies", type=click.IntRange(1, 1000), default=1, show_default=True, help="Of every drawing.")
@click.option("--units", type=UNITS, help="What the numbers of the drawings are, if you know better than they.")
@click.option("--process", type=click.Choice(PROCESSES), help="How it is cut, if not as sheets.toml says.")
@click.option("--kerf", type=Kerf(), help="To put into the path: its width, or 'profile'.")
@DROP
@JOIN
@FIT
@click.option("--spacing", type=Length(), help="Between two parts on the sheet.  [default: 3 mm]")
@click.option("--margin", type=Length(), help="Along the sheet's edges.  [default: none]")
@click.option("--seconds", type=click.FloatRange(0, 3600, min_open=True), default=5.0, show_default=True,
              help="How long to look for a denser layout.")  # fmt: skip
@click.option("--nest", type=click.Path(path_type=Path), help="Folder for the laid out sheets, DXF and SVG.")
@click.option("--csv", "table", type=click.Path(path_type=Path), help="The quote as a table.")
@click.option("--replace", is_flag=True, help="Write over files that are there already.")
@click.option("--json", "as_json", is_flag=True, help="Print the quote as JSON.")
@click.option("--quiet", is_flag=True, help="No line on how far the search is.")
def quote(files: tuple[Path, ...], nest: Path | None, table: Path | None, replace: bool, as_json: bool, quiet: bool,
          **asked: Any) -> None:  # fmt: skip
    """What the parts in FILES (received drawings, or one job) cost to cut: price, time, lengths, sheets.

    Rates come from rates.toml, beside you or in your config folder. Exit code: 0 quoted, 1 something stops it (a
    drawing needs a decision, a part goes on no sheet), 2 the input is at fault.

    \b
    Example: gasketcut quote bracket.dxf plate.dxf --sheet "steel 1.0" --copies 4
    """
    from gasketcut.finding import has_stop
    from gasketcut.flow import evaluate
    from gasketcut.job.reading.from_drawings import with_rates
    from gasketcut.output.data.quote import quote_csv, quoted_data, undecided_data
    from gasketcut.output.save import save_at
    from gasketcut.output.text.quote import quoted_text
    from gasketcut.profile.profiles import read_profiles

    is_job = any(file.suffix.lower() == ".toml" for file in files)
    profiles = read_profiles(files[0].parent if is_job else Path())
    job = _job_itself(files, profiles, asked) if is_job else _job(files, profiles, asked)
    says_rates = job.cutting.rate_hour is not None or job.cutting.rate_sheet is not None
    job = with_rates(job, profiles.rates)
    evaluation = evaluate(job, profiles, on_progress=progress if sys.stderr.isatty() and not quiet else None)
    try:
        sheets, on_sheets = evaluation.laid_out
        found, findings = evaluation.quote, (*evaluation.findings, *on_sheets)
    except UndecidedError as error:
        if as_json:
            echo_json(undecided_data(error))
        else:
            say("\n".join(f"ASK: {fault.message}" for fault in error.faults), err=True)
        sys.exit(EXIT_STOP)
    if evaluation.on_progress is not None and job.layout is not None:
        same_line("")
    if found is None:
        raise GasketError(f"{job.called()}: names no process, so nothing can be quoted; add [cutting] with process")
    files_out = {table: quote_csv(found).encode()} if table is not None else {}
    if nest is not None and not has_stop(findings):
        from gasketcut.rendering.job_files import sheet_files

        files_out |= {nest / name: data for name, data in sheet_files(evaluation).items()}
    save_at(files_out, replace=replace)
    if as_json:
        echo_json(quoted_data(found, sheets, findings))
    else:
        own = any(file.name == "rates" for file in profiles.own)
        written = nest if not has_stop(findings) else None
        say(quoted_text(evaluation, found, findings, written, "job" if says_rates else "own" if own else "ours"))
    if has_stop(findings):
        sys.exit(EXIT_STOP)


def _job(files: tuple[Path, ...], profiles: Profiles, asked: Mapping[str, Any]) -> Job:
    """Made of the drawings."""
    from gasketcut.job.cutting import LayoutSpec
    from gasketcut.job.reading.from_drawings import Asked, job_of_drawings

    if asked["sheet"] is None:
        names = ", ".join(one.name for one in profiles.sheets.shelf)
        raise GasketError(f"which sheet? Add --sheet, one of {names}; or any with --size")
    layout = LayoutSpec(spacing=asked["spacing"], margin=asked["margin"] or 0.0, seconds=asked["seconds"])
    of_the_layout = ("spacing", "margin", "seconds")
    said = {name: value for name, value in asked.items() if name not in of_the_layout}
    return job_of_drawings(files, Asked(**said, layout=layout), profiles)


def _job_itself(files: tuple[Path, ...], profiles: Profiles, asked: Mapping[str, Any]) -> Job:
    """As it was written."""
    from gasketcut.job.reading.reader import read_job

    if len(files) > 1:
        raise GasketError("quote one job, or drawings: not both, and no two jobs at once")
    context = click.get_current_context()
    for name in asked:
        if context.get_parameter_source(name) is ParameterSource.COMMANDLINE:
            raise GasketError(f"--{name} is for drawings; {files[0]} says its own")
    job = read_job(files[0], profiles)
    if not job.parts:
        raise (
            IncompleteError(job.called(), job.lacking("part"))
            if job.lacking("part")
            else GasketError(f"{files[0]}: has no [[part]] to quote")
        )
    return job
