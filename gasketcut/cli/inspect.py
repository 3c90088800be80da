"""Look through received drawings: one at length, several as a table."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gasketcut.cli.program import EXIT_INPUT, EXIT_STOP, Length, echo_json, main, same_line, say
from gasketcut.cli.received import DROP, FIT, JOIN, UNITS, received, step
from gasketcut.errors import GasketError
from gasketcut.job.cutting import PROCESSES
from gasketcut.outside import bytes_of

if TYPE_CHECKING:
    from gasketcut.received.batch import Inspect, Looked
    from gasketcut.received.looks.least import Least


class _Thickness(Length):
    """A bare number is mm: sheets are called by it, as in "steel 1.0"."""

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> float:
        from gasketcut.length import parse_length

        try:
            found = parse_length(str(value), "mm")
        except GasketError as error:
            self.fail(str(error), param, ctx)
        return found if found > 0 else self.fail(f"{value} is no thickness", param, ctx)


@main.command()
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--units", type=UNITS, help="What the numbers are, if you know better than the file.")
@click.option("--process", type=click.Choice(PROCESSES), help="What cuts it: look for what that cannot.")
@click.option("--thickness", type=_Thickness(), help="Of the sheet that --process is to cut; a bare number is mm.")
@JOIN
@FIT
@DROP
@click.option("--picture", type=click.Path(path_type=Path), help="What was found, marked: .svg or .pdf.")
@click.option("--reply", type=click.Path(path_type=Path),
              help="A letter to the customer: .pdf or .txt. Never written over.")  # fmt: skip
@click.option("--recursive", is_flag=True, help="Of a folder, the folders within it too.")
@click.option("--csv", "table", type=click.Path(path_type=Path), help="A row a file, for a spreadsheet.")
@click.option("--replace", is_flag=True, help="Write over a picture or a table that is there already.")
@click.option("--json", "as_json", is_flag=True, help="Print what was found as JSON; of several files, one line each.")
def inspect(files: tuple[Path, ...], units: str | None, process: str | None, thickness: float | None, join: float,
            fit: float, drop: tuple[str, ...], picture: Path | None, reply: Path | None, recursive: bool,
            table: Path | None, replace: bool, as_json: bool) -> None:  # fmt: skip
    """Look through FILES: version, unit, size under each likely unit, contours, faults with their places.

    One file is told at length. Several, or a folder, come as a table: of a folder every *.dxf in it that is not hidden.

    The verdict is ready, look (nothing is wrong, but see what is noted), mend (gasketcut mend does it) or ask. Exit
    code: 0 all are ready, 1 not all, or not all could be read, 2 nothing could be looked at.

    \b
    Example: gasketcut inspect bracket.dxf --picture bracket-faults.svg
             gasketcut inspect received/ --csv received.csv
    """
    from gasketcut.received.batch import drawings_in
    from gasketcut.received.inspection import inspect

    look = partial(inspect, units=units, join=join, fit=fit, drop=drop, least=_least(process, thickness))
    if len(files) == 1 and not files[0].is_dir() and table is None:
        _one(files[0], look, picture, reply, replace, as_json)
        return
    if picture is not None or reply is not None:
        raise GasketError("--picture and --reply are of one file; name that alone, without --csv")
    _several(drawings_in(files, deep=recursive), look, table, replace, as_json)


def _least(process: str | None, thickness: float | None) -> Least:
    from gasketcut.profile.profiles import read_profiles
    from gasketcut.received.looks.least import ANY, least_for

    if process is None:
        if thickness is not None:
            raise GasketError("--thickness is of the sheet that --process is to cut; name that too")
        return ANY
    return least_for(process, thickness, read_profiles().cutters)


def _one(file: Path, look: Inspect, picture: Path | None, reply: Path | None, replace: bool, as_json: bool) -> None:
    from gasketcut.output.data.inspect import inspect_data, unreadable_data
    from gasketcut.output.save import save_at
    from gasketcut.output.text.inspect import inspect_text
    from gasketcut.received.faults.flaw import NotReadableError

    draw = write = None
    if picture is not None or reply is not None:  # an ending that is none is said before a long look
        from gasketcut.pages.reply.files import picture_maker, reply_maker

        draw = picture_maker(picture) if picture is not None else None
        write = reply_maker(reply) if reply is not None else None
    data = received(file)
    try:
        found = look(data, on_progress=step(len(data)), name=file.name)
    except NotReadableError as error:
        if not as_json:
            raise GasketError(f"{file}: {error}") from error
        echo_json(unreadable_data(str(file), str(error)))
        sys.exit(EXIT_INPUT)
    files: dict[Path, bytes] = {}
    if picture is not None and draw is not None:
        files[picture] = draw(found, file.name)
    if reply is not None and write is not None:
        files[reply] = write(found, file.name)
        _refuse_sent(reply, files[reply])
    save_at(files, replace=replace)
    if as_json:
        echo_json(inspect_data(found, str(file)))
    else:
        say(inspect_text(found, str(file)))
    if found.verdict != "ready":
        sys.exit(EXIT_STOP)


def _refuse_sent(reply: Path, data: bytes) -> None:
    """A reply may have been sent: it is never written over."""
    if reply.is_file() and bytes_of(reply) != data:
        raise GasketError(f"{reply}: is there already, and a reply is never written over; give it another name")


def _several(files: Sequence[Path], look: Inspect, table: Path | None, replace: bool, as_json: bool) -> None:
    from gasketcut.output.data.inspect import row_data, rows_csv
    from gasketcut.output.save import save_one
    from gasketcut.output.text.received.table import table_text
    from gasketcut.received.batch import look_through

    on_done = _counting(len(files)) if sys.stderr.isatty() else (lambda _: None)
    rows: list[Looked] = []
    try:
        for row in look_through(files, look, on_done):
            rows.append(row)
            if as_json:
                echo_json(row_data(row), indent=None)
    finally:
        if sys.stderr.isatty():
            same_line("")
    if table is not None:
        save_one(rows_csv(rows).encode(), table, replace=replace)
    if not as_json:
        say(table_text(rows))
    if not any(row.summary for row in rows):
        sys.exit(EXIT_INPUT)
    if any(row.verdict != "ready" for row in rows):
        sys.exit(EXIT_STOP)


def _counting(count: int) -> Callable[[int], None]:
    """One line that keeps changing."""
    return lambda done: same_line(f"{done} of {count} looked through")
