"""A file that a person wrote, as text and as TOML; what is wrong with it comes back as a fault with its line."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from gasketcut.errors import Fault

LARGEST_FILE = 1_000_000
"""Bytes. A page or two of text that a person wrote."""

DEEPEST = 40
"""Brackets within brackets; no job goes deeper than six."""


def text_of(path: Path, what: str = "job file") -> str | Fault:
    """The text of the file, or why it cannot be had.

    what : of such files, for the message
    """
    try:
        if path.is_dir():
            return Fault(0, "", f"is a folder; name the {what} in it")
        if (size := path.stat().st_size) > LARGEST_FILE:
            return Fault(0, "", f"holds {size / 1e6:.1f} MB; a {what} is a page or two of text")
        return path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        message = f"is not UTF-8 text (byte {error.start}); save it as UTF-8, or is it another kind of file?"
        return Fault(0, "", message)
    except OSError as error:
        return Fault(0, "", f"cannot be read: {error.strerror or error}")


def data_of(text: str, what: str = "job file") -> dict[str, Any] | Fault:
    """The text as TOML has it, or where it is none."""
    deep = 0
    for bracket in re.findall(r"[\[\]{}]", text):
        deep += 1 if bracket in "[{" else -1
        if deep > DEEPEST:
            return Fault(0, "", f"goes more than {DEEPEST} brackets deep; that is no {what}")
    try:
        return tomllib.loads(text.replace("\r\n", "\n"))
    except tomllib.TOMLDecodeError as error:
        message, line = str(error), 0
        if place := re.search(r" \(at line (\d+), column \d+\)$", message):
            message, line = message[: place.start()], int(place[1])
        elif message.endswith(" (at end of document)"):
            line = text.rstrip().count("\n") + 1
        return Fault(line, "", f"not valid TOML: {message}{_hint(text, line)}")
    except ValueError:  # a number of more digits than Python turns into one
        digits = re.search(r"\d{1000,}", text)
        line = text.count("\n", 0, digits.start()) + 1 if digits else 1
        return Fault(line, "", "holds a number that is far too long")
    except RecursionError:  # long dotted keys
        return Fault(0, "", f"is nested too deeply; that is no {what}")


def _hint(text: str, line: int) -> str:
    shown = text.split("\n")[line - 1] if line else ""
    value = shown.partition("=")[2].strip()
    if re.match(r"\d+,\d+\b", value):
        return f"; write the decimal with a point: {value.replace(',', '.', 1)}"
    if re.match(r"[\d.]+ *[A-Za-z\"]", value):
        return f'; a value with a unit stands in quotes: "{value.replace(chr(34), " in")}"'
    return ""
