"""Options that come to a command as one value."""

from dataclasses import dataclass

import click
from click.testing import CliRunner

from gasketcut.cli.program import bundled


@dataclass(frozen=True)
class Words:
    size: int = 0
    names: tuple[str, ...] = ()


def test_options_come_as_one_value_beside_the_commands_own():
    came = []

    @click.command()
    @bundled((click.option("--size", type=int, default=1), click.option("--name", "names", multiple=True)), Words, "w")
    @click.option("--own", default="")
    def command(own, w):
        """Said of it."""
        came.append((own, w))

    said = CliRunner().invoke(command, ["--name", "a", "--own", "b", "--name", "c"], catch_exceptions=False)
    listed = CliRunner().invoke(command, ["--help"]).output

    assert said.exit_code == 0
    assert came == [("b", Words(1, ("a", "c")))]
    assert "Said of it." in listed
    assert listed.index("--size") < listed.index("--name") < listed.index("--own")
