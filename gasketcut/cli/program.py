"""What all commands share: the program, exit codes, lengths, what is printed. Nothing heavy is imported here."""

from __future__ import annotations

import gc
import importlib
import json
from collections.abc import Callable
from dataclasses import fields
from functools import wraps
from typing import Any

import click

from gasketcut.errors import GasketError
from gasketcut.outside import lines_shown, shown, shown_in_json
from gasketcut.version import VERSION

Command = Callable[..., None]

EXIT_STOP, EXIT_INPUT = 1, 2
PAPER = click.option(
    "--paper",
    metavar="NAME",
    default="a4",
    show_default=True,
    help="Paper of the PDF: a4, letter or another of papers.toml, your own too.",
)


COMMANDS = {
    "compare": ("compare", "Is this DXF the same as that, or this part cut as drawn?"),
    "fit": ("parts", "Prove that nothing hangs into a port, even where it can move."),
    "inspect": ("inspect", "What a received DXF is, and every fault in it."),
    "keys": ("keys", "Every key of a job file: what it is, how to measure it."),
    "make": ("parts", "Draw, check and write every part of a job."),
    "mend": ("mend", "Put a received DXF right where that is safe."),
    "new": ("guide", "Asks for one measurement after another and writes the job."),
    "pattern": ("parts", "Hole places from caliper readings, and the one bad reading."),
    "quote": ("quote", "What cutting received drawings costs, on whole sheets."),
    "record": ("engine", "The build sheet: what was measured, chosen and cut."),
    "squish": ("engine", "Which base gasket, and what it does to the engine."),
    "status": ("guide", "What a job can give already, and what to measure next."),
    "stencil": ("paper", "The bore's ports laid flat, to file by, at full size."),
    "target": ("capture", "The sheet to lay a part on and photograph it."),
    "trace": ("capture", "A scan of an old gasket to a part with true circles and arcs."),
    "ways": ("ways", "What to take off where, to come to what is wanted."),
    "wheel": ("paper", "A degree wheel for this engine, at full size."),
}
"""Of each command the module of this room that has it, and what it does in a line."""


class Program(click.Group):
    """Loads a command when it is asked for, and is the one place where what the user can put right becomes a plain line
    and exit code 2."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002  as click calls it
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name in COMMANDS and cmd_name not in self.commands:
            importlib.import_module(f"gasketcut.cli.{COMMANDS[cmd_name][0]}")
        return super().get_command(ctx, cmd_name)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        with formatter.section("Commands"):
            formatter.write_dl([(name, said) for name, (_, said) in COMMANDS.items()])

    def invoke(self, ctx: click.Context) -> object:
        # Importing makes a great many objects and no garbage: looking for it costs a tenth of the start.
        gc.set_threshold(50_000, 20, 20)
        try:
            return super().invoke(ctx)
        except GasketError as error:
            say(str(error), err=True)
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

    def __init__(self, *, bare: bool = False) -> None:
        self.bare = bare
        """A number without a unit is mm: where nothing else is usual."""

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> float:
        from gasketcut.length import parse_length

        if isinstance(value, float):
            return value
        try:
            return parse_length(f"{value} mm" if self.bare and str(value).strip()[-1:].isdigit() else str(value))
        except GasketError as error:
            self.fail(str(error), param, ctx)


_COLOURS = dict.fromkeys(("FITS:", "ANSWER:", "READY:", "SAME:", "CUT AS DRAWN:"), "green")
_COLOURS |= dict.fromkeys(("FITS AS DRAWN:", "NOT PROVEN:", "READY, LOOK AT", "MEND:", "warn"), "yellow")
_COLOURS |= dict.fromkeys(("ASK:", "NOT WRITTEN:", "NOT THE SAME", "NOT CUT AS DRAWN:", "DOES NOT FIT:", "STOP"), "red")


def say(text: str, *, err: bool = False) -> None:
    """Print it: weights in colour if to a terminal, and nothing in it that a terminal would obey.

    Every command prints through here, or through the two below.
    """
    click.echo("\n".join(_coloured(row) for row in lines_shown(text).split("\n")), err=err)


def _coloured(row: str) -> str:
    word = next((word for word in _COLOURS if row.startswith(word)), None)
    return click.style(word, fg=_COLOURS[word], bold=True) + row[len(word) :] if word else row


def same_line(text: str) -> None:
    """On the error channel, in place of what stood there; the next thing written begins at the left."""
    click.echo(f"\r{shown(text):<78}\r", nl=False, err=True)


def echo_json(data: dict[str, Any], *, indent: int | None = 2) -> None:
    """Print it as JSON; on one line where `indent` is None."""
    say(shown_in_json(json.dumps(data, indent=indent, ensure_ascii=False, allow_nan=False)))


def bundled(
    options: tuple[Callable[[Command], Command], ...], kind: type[Any], name: str
) -> Callable[[Command], Command]:
    """A decorator that gives a command options that belong together; what was said comes to it as `name`, a dataclass
    of that kind with a field for each."""

    def with_options(command: Command) -> Command:
        @wraps(command)
        def with_one(**words: Any) -> None:
            own = {one.name: words.pop(one.name) for one in fields(kind)}
            command(**words, **{name: kind(**own)})

        made: Command = with_one
        for option in reversed(options):
            made = option(made)
        return made

    return with_options
