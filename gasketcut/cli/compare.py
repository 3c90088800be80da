"""Is this the same gasket as last year's file?"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gasketcut.cli.program import EXIT_STOP, Length, echo_json, main, say
from gasketcut.cli.received import DROP, UNITS
from gasketcut.outside import shown

if TYPE_CHECKING:
    from gasketcut.shape.loop import Outline


@main.command()
@click.argument("a", type=click.Path(path_type=Path))
@click.argument("b", type=click.Path(path_type=Path))
@click.option("--within", type=Length(), default="0.1 mm", show_default=True, help="What still counts as the same.")
@click.option("--units", type=UNITS, help="What the numbers of both files are, if you know better than they do.")
@click.option("--units-a", type=UNITS, help="The same of A alone.")
@click.option("--units-b", type=UNITS, help="The same of B alone.")
@DROP
@click.option("--picture", type=click.Path(path_type=Path), help="Both laid over each other: .svg or .pdf.")
@click.option("--replace", is_flag=True, help="Write over a picture that is there already.")
@click.option("--json", "as_json", is_flag=True, help="Print what differs as JSON.")
def compare(a: Path, b: Path, within: float, units: str | None, units_a: str | None, units_b: str | None,
            drop: tuple[str, ...], picture: Path | None, replace: bool, as_json: bool) -> None:  # fmt: skip
    """Lay drawing B over drawing A, turned, moved or mirrored as need be, and say what differs.

    What agrees is laid exactly, so one hole that moved shows its whole way. A mirror image is not the same. Faults are
    mended where that is safe. Exit code: 0 the same, 1 not, 2 a file cannot be used as it is.

    \b
    Example: gasketcut compare ordered.dxf last-year.dxf --within 0.05mm --picture both.svg
    """
    from gasketcut.comparing.comparison import compare
    from gasketcut.output.compared.data import compare_data
    from gasketcut.output.compared.text import compare_text
    from gasketcut.received.parts import received_parts
    from gasketcut.received.settings import Settings

    draw = None
    if picture is not None:  # an ending that is none is said before a long look
        from gasketcut.output.save import save_one
        from gasketcut.pages.charts.compare import compare_picture
        from gasketcut.pages.charts.files import picture_maker

        draw = picture_maker(picture)

    def outlines(file: Path, own: str | None) -> list[Outline]:
        parts = received_parts(file, Settings(own or units, drop=drop))
        return [part.piece.outline for part in parts for _ in range(part.count)]

    first, second = outlines(a, units_a), outlines(b, units_b)
    found = compare(first, second, within)
    if picture is not None and draw is not None:
        title = shown(f"{a.name} and {b.name}")
        save_one(draw(compare_picture(found, first, second, title)), picture, replace=replace)
    if as_json:
        echo_json(compare_data(found, str(a), str(b)))
    else:
        say(compare_text(found, a.name, b.name))
    if not found.is_same:
        sys.exit(EXIT_STOP)
