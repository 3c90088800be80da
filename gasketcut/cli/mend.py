"""Put a received drawing right."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from gasketcut.cli.program import EXIT_STOP, echo_json, main, say
from gasketcut.cli.received import DROP, FIT, JOIN, UNITS, received
from gasketcut.errors import GasketError


@main.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("-o", "--out", type=click.Path(path_type=Path), required=True, help="The mended file; never FILE itself.")
@click.option("--units", type=UNITS, help="What the numbers of FILE are; it is written in mm.")
@JOIN
@FIT
@DROP
@click.option("--replace", is_flag=True, help="Write over a file that is there already.")
@click.option("--json", "as_json", is_flag=True, help="Print the changes as JSON.")
def mend(file: Path, out: Path, units: str | None, join: float, fit: float, drop: tuple[str, ...], replace: bool,
         as_json: bool) -> None:  # fmt: skip
    """Write FILE anew with what can be put right safely, in mm, and list every change; copy it if there is nothing to
    change.

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

    data = received(file)
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
        say(mend_text(mended, str(file), str(out)))
    if mended.refused:
        sys.exit(EXIT_STOP)
