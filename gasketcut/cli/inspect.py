"""Look through a received drawing."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from gasketcut.cli.program import EXIT_INPUT, EXIT_STOP, coloured, echo_json, main
from gasketcut.cli.received import DROP, UNITS, received, step
from gasketcut.errors import GasketError


@main.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--units", type=UNITS, help="What the numbers are, if you know better than the file.")
@DROP
@click.option("--picture", type=click.Path(path_type=Path), help="An SVG with the faults marked.")
@click.option("--replace", is_flag=True, help="Write over a picture that is there already.")
@click.option("--json", "as_json", is_flag=True, help="Print what was found as JSON.")
def inspect(file: Path, units: str | None, drop: tuple[str, ...], picture: Path | None, replace: bool,
            as_json: bool) -> None:  # fmt: skip
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

    data = received(file)
    try:
        found = inspect(data, units, drop=drop, on_progress=step(len(data)), name=file.name)
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
    if found.verdict != "ready":
        sys.exit(EXIT_STOP)
