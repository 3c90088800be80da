"""Commands are loaded when they are asked for: what stands in the list is there, and nothing else is."""

import importlib
import re
import subprocess
import sys
from pathlib import Path

import click
import pytest

from gasketcut.cli.program import COMMANDS, main

ROOM = Path(main.callback.__code__.co_filename).parent
SHARED = ("__init__", "program", "received", "scale_options")
MODULES = sorted(file.stem for file in ROOM.glob("*.py") if file.stem not in SHARED)


@pytest.mark.parametrize("name", COMMANDS)
def test_each_command_of_the_list_can_be_had_and_says_how_it_is_used(name):
    command = main.get_command(click.Context(main), name)
    assert command is not None
    assert command.callback.__module__ == f"gasketcut.cli.{COMMANDS[name][0]}"
    assert f"gasketcut {name} " in command.help


def test_no_module_has_a_command_that_is_not_in_the_list():
    for module in MODULES:
        importlib.import_module(f"gasketcut.cli.{module}")
    assert set(main.commands) == set(COMMANDS)
    assert {module for module, _ in COMMANDS.values()} == set(MODULES)


def test_all_that_is_printed_goes_through_one_place_where_it_is_made_harmless():
    printing = re.compile(r"click\.s?echo|click\.echo_via_pager|\bprint\(|sys\.std(out|err)\.write")
    found = {file.name for file in ROOM.glob("*.py") if printing.search(file.read_text(encoding="utf-8"))}

    assert found == {"program.py"}


def test_help_loads_no_command():
    look = "import sys; print([name for name in sys.modules if name.startswith('gasketcut.cli.')])"
    does = f"from gasketcut.cli import main; main(['--help'], standalone_mode=False)\n{look}"
    done = subprocess.run([sys.executable, "-c", does], capture_output=True, text=True, check=True)
    assert done.stdout.strip().splitlines()[-1] == "['gasketcut.cli.program']"


def test_a_command_that_is_none_is_refused():
    done = subprocess.run([sys.executable, "-m", "gasketcut", "mkae"], capture_output=True, text=True, check=False)
    assert done.returncode == 2
    assert "No such command" in done.stderr
