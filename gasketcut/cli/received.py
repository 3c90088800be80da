"""What the commands for received drawings share: their bytes, the unit that a user knows, the steps of a long look."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import click

from gasketcut.cli.program import Length, say
from gasketcut.outside import bytes_of, shown

BIG = 5_000_000
"""Bytes of a received file from which on the steps are shown."""


def received(file: Path) -> bytes:
    """The bytes of a received file, and a word if it is a big one."""
    data = bytes_of(file)
    if len(data) > BIG:
        say(f"{shown(file.name)}: {len(data) / 1e6:.0f} MB, this takes a while", err=True)
    return data


def step(size: int) -> Callable[[str], None]:
    """Shows the steps of a long look on the error channel."""
    return (lambda text: say(f"  {text}", err=True)) if size > BIG else (lambda _: None)


DROP = click.option(
    "--drop",
    multiple=True,
    metavar="WHAT",
    help="What may be left out: text, hatch, point, hidden, region, stray, dimensions, centre-lines, bend-lines, "
    "title-block, frame, layer=NAME, linetype=NAME; can be repeated.",
)
UNITS = click.Choice(["mm", "in", "cm", "m"])
JOIN = click.option("--join", type=Length(), default="0.05 mm", show_default=True, help="Greatest gap to close.")
FIT = click.option(
    "--fit",
    type=Length(),
    default="0.02 mm",
    show_default=True,
    help="How far an arc may lie off the spline or lines that it replaces.",
)
