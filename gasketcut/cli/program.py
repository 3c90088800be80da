"""What all commands share: the program, exit codes, lengths, weights in colour. Nothing heavy is imported here."""

from __future__ import annotations

import gc
import json
from typing import Any

import click

from gasketcut.errors import GasketError
from gasketcut.version import VERSION

EXIT_STOP, EXIT_INPUT = 1, 2
PAPER = click.option(
    "--paper",
    metavar="NAME",
    default="a4",
    show_default=True,
    help="Paper of the PDF: a4, letter or another of papers.toml, your own too.",
)


class Program(click.Group):
    """One place where what the user can put right becomes a plain line and exit code 2."""

    def invoke(self, ctx: click.Context) -> object:
        # Importing makes a great many objects and no garbage: looking for it costs a tenth of the start.
        gc.set_threshold(50_000, 20, 20)
        try:
            return super().invoke(ctx)
        except GasketError as error:
            click.echo(str(error), err=True)
            ctx.exit(EXIT_INPUT)


@click.group(cls=Program, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80})
@click.version_option(VERSION, prog_name="gasketcut")
def main() -> None:
    """Gaskets and muffler outlets for small two-strokes, from measurements to a file that cuts right.

    \b
    gasketcut make demo --out out      the shipped example
    gasketcut make JOB.toml --out out  your own engine
    """


class Length(click.ParamType):  # type: ignore[type-arg]  # generic in newer releases only
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


def coloured(text: str) -> str:
    """Weights in colour; click takes the colour out again unless it prints to a terminal."""
    colours = {"FITS:": "green", "ANSWER:": "green", "READY:": "green", "MEND:": "yellow", "warn": "yellow"}
    colours |= {"FITS AS DRAWN:": "yellow", "NOT PROVEN:": "yellow"}
    colours |= dict.fromkeys(("ASK:", "NOT WRITTEN:", "DOES NOT FIT:", "STOP"), "red")
    rows = []
    for row in text.split("\n"):
        word = next((word for word in colours if row.startswith(word)), None)
        rows.append(click.style(word, fg=colours[word], bold=True) + row[len(word) :] if word else row)
    return "\n".join(rows)


def echo_json(data: dict[str, Any]) -> None:
    """Print it as JSON."""
    click.echo(json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False))
