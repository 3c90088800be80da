"""The command line: parse, call, print, exit code. Nothing heavy is imported before a command needs it."""

from gasketcut.cli import capture, engine, guide, keys, paper, parts, received
from gasketcut.cli.program import main

__all__ = ["capture", "engine", "guide", "keys", "main", "paper", "parts", "received"]
