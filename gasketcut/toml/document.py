"""A file that a person wrote, as text and as TOML; what is wrong with it comes back as a fault with its place."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from gasketcut.errors import Fault
from gasketcut.toml.slips import said_at, unclosed

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
        raw = path.read_bytes()
    except OSError as error:
        return Fault(0, "", f"cannot be read: {error.strerror or error}")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        return _other_letters(raw, error.start)


def data_of(text: str, what: str = "job file") -> dict[str, Any] | Fault:
    """The text as TOML has it, or where it is none."""
    deep = 0
    for bracket in re.finditer(r"[\[\]{}]", text):
        deep += 1 if bracket[0] in "[{" else -1
        if deep > DEEPEST:
            return _at(text, bracket.start(), f"goes more than {DEEPEST} brackets deep; that is no {what}")
    plain = text.replace("\r\n", "\n")
    try:
        return tomllib.loads(plain)
    except tomllib.TOMLDecodeError as error:
        return _not_toml(plain, str(error))
    except ValueError:  # a number of more digits than Python turns into one
        digits = re.search(r"\d{1000,}", plain)
        return _at(plain, digits.start() if digits else 0, "holds a number that is far too long")
    except RecursionError:  # long dotted keys
        return Fault(0, "", f"is nested too deeply; that is no {what}")


def _not_toml(text: str, message: str) -> Fault:
    """What a person most likely slipped on, else what the TOML reader says."""
    at = len(text.rstrip())
    if place := re.search(r" \(at (?:line (\d+), column (\d+)|end of document)\)$", message):
        message = message[: place.start()]
        if place[1]:
            at = _offset(text, int(place[1]), int(place[2]))
    if open_ := unclosed(text, at):
        return _at(text, *open_)
    where, said = said_at(text, at, message)
    return _at(text, where, said or f"not valid TOML: {message}")


def _at(text: str, offset: int, message: str) -> Fault:
    start = text.rfind("\n", 0, offset) + 1
    line = text.count("\n", 0, offset) + 1
    return Fault(line, "", message, offset - start + 1, text[start:].partition("\n")[0])


def _offset(text: str, line: int, column: int) -> int:
    """Of a line and a column, both from 1."""
    start = 0
    for _ in range(line - 1):
        start = text.find("\n", start) + 1
    return start + column - 1


def _other_letters(raw: bytes, at: int) -> Fault:
    """A file in another encoding: most often that of an older Windows program, which has one byte a letter."""
    if b"\0" in raw[:1000]:
        return Fault(0, "", "is not UTF-8 text; save it as UTF-8, or is it another kind of file?")
    text = raw.decode("cp1252", errors="replace")  # one letter a byte, so places are those of the bytes
    fault = _at(text, at, f"the letter '{text[at]}' is not in UTF-8; save the file as UTF-8")
    return fault if text[at].isprintable() else _at(text, at, "is not UTF-8 text; save the file as UTF-8")
