"""The command line: parse, call, print, exit code. Nothing heavy is imported before a command needs it."""

from gasketcut.cli.program import main

__all__ = ["main"]
