"""Drawings from elsewhere: the commands that look through them and put them right."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import click

from gasketcut.cli.program import EXIT_INPUT, EXIT_STOP, Length, coloured, echo_json, main
from gasketcut.errors import GasketError
from gasketcut.outside import bytes_of

BIG = 5_000_000
"""Bytes of a received file from which on the steps are shown."""


def _received(file: Path) -> bytes:
    """The bytes of a received file, and a word if it is a big one."""
    data = bytes_of(file)
    if len(data) > BIG:
        click.echo(f"{file.name}: {len(data) / 1e6:.0f} MB, this takes a while", err=True)
    return data


def _step(size: int) -> Callable[[str], None]:
    """Shows the steps of a long look on the error channel."""
    return (lambda text: click.echo(f"  {text}", err=True)) if size > BIG else (lambda _: None)


_UNITS = click.Choice(["mm", "in", "cm", "m"])


@main.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--units", type=_UNITS, help="What the numbers are, if you know better than the file.")
@click.option("--picture", type=click.Path(path_type=Path), help="An SVG with the faults marked.")
@click.option("--replace", is_flag=True, help="Write over a picture that is there already.")
@click.option("--json", "as_json", is_flag=True, help="Print what was found as JSON.")
def inspect(file: Path, units: str | None, picture: Path | None, replace: bool, as_json: bool) -> None:
    """Look through FILE: version, unit, size under each likely unit, contours, faults with their places.

    The verdict is ready, mend (gasketcut mend does it) or ask. Exit code: 0 ready, 1 faults, 2 no DXF.

    \b
    Example: gasketcut inspect bracket.dxf --picture bracket-faults.svg
    """
    from gasketcut.output.data.inspect import inspect_data, unreadable_data
    from gasketcut.output.save import save_one
    from gasketcut.output.text.inspect import inspect_text
    from gasketcut.received.faults.flaw import NotReadableError
    from gasketcut.received.inspection import inspect

    data = _received(file)
    try:
        found = inspect(data, units, on_progress=_step(len(data)))
    except NotReadableError as error:
        if not as_json:
            raise GasketError(f"{file}: {error}") from error
        echo_json(unreadable_data(str(file), str(error)))
        sys.exit(EXIT_INPUT)
    if picture is not None:
        from gasketcut.pages.charts.inspect import inspect_svg

        save_one(inspect_svg(found, file.name), picture, replace=replace)
    if as_json:
        echo_json(inspect_data(found, str(file)))
    else:
        click.echo(coloured(inspect_text(found, str(file))))
    if found.flaws:
        sys.exit(EXIT_STOP)


@main.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("-o", "--out", type=click.Path(path_type=Path), required=True, help="The mended file; never FILE itself.")
@click.option("--units", type=_UNITS, help="What the numbers of FILE are; it is written in mm.")
@click.option("--join", type=Length(), default="0.05 mm", show_default=True, help="Greatest gap to close.")
@click.option("--fit", type=Length(), default="0.02 mm", show_default=True,
              help="How far an arc may lie off the spline or lines that it replaces.")  # fmt: skip
@click.option("--drop", multiple=True, type=click.Choice(["text", "dimension", "hatch", "point", "hidden", "stray"]),
              help="What may be left out; can be repeated.")  # fmt: skip
@click.option("--replace", is_flag=True, help="Write over a file that is there already.")
@click.option("--json", "as_json", is_flag=True, help="Print the changes as JSON.")
def mend(file: Path, out: Path, units: str | None, join: float, fit: float, drop: tuple[str, ...], replace: bool,
         as_json: bool) -> None:  # fmt: skip
    """Write FILE anew with what can be put right safely, in mm, and list every change.

    Open contours, crossings and uncertain units are refused: a person has to decide. What is written has been looked
    through again. Exit code: 0 written, 1 refused, 2 no DXF.

    \b
    Example: gasketcut mend bracket.dxf -o bracket-mended.dxf --units mm --drop text
    """
    from gasketcut.output.data.inspect import mend_data
    from gasketcut.output.mended import mended_dxf
    from gasketcut.output.save import save_one
    from gasketcut.output.text.inspect import mend_text
    from gasketcut.received.faults.flaw import NotReadableError
    from gasketcut.received.mending import mend

    data = _received(file)
    if out.exists() and out.samefile(file):
        raise GasketError(f"{out}: is the file to be mended; give another name to -o")
    try:
        mended = mend(data, units, join, fit, drop)
    except NotReadableError as error:
        raise GasketError(f"{file}: {error}") from error
    if not mended.refused:
        save_one(data if not mended.changes else mended_dxf(mended, file.name, max(fit, join)), out, replace=replace)
    if as_json:
        said = mend_data(mended, str(file), None if mended.refused else str(out))
        echo_json(said)
    else:
        click.echo(coloured(mend_text(mended, str(file), str(out))))
    if mended.refused:
        sys.exit(EXIT_STOP)
