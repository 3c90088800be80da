"""What comes from outside: the bytes of a file that the user names, and texts as they may be shown.

What a terminal would obey, and what turns the order of reading (CVE-2021-42574), is shown as its code: `\\x1b`,
`\\u202e`. That is C0 and C1 with DEL, the separators of lines and paragraphs, the marks and overrides of direction, and
lone surrogates, which a file name may hold and no encoding can write. A backslash stays one: paths have them.
"""

from __future__ import annotations

import re
from pathlib import Path

from gasketcut.errors import GasketError

Source = bytes | str | Path
"""Bytes, or the path of a file."""

_LINE = re.compile("[\x00-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff]")
_LINES = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff]")
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")  # OWASP, CSV Injection; the line end since August 2025
_NUMBER = re.compile(r"-?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?", re.ASCII)


def bytes_of(source: Source) -> bytes:
    """The bytes; raise `GasketError` with the reason if the file cannot be read."""
    if isinstance(source, bytes):
        return source
    try:
        return Path(source).read_bytes()
    except (OSError, ValueError) as error:  # ValueError: a zero in the name
        reason = error.strerror if isinstance(error, OSError) and error.strerror else error
        raise GasketError(f"{shown(str(source))}: cannot be read: {reason}") from error


def name_of(source: Source, otherwise: str) -> str:
    """How a message calls it: the path as the user wrote it, or `otherwise` for bytes."""
    return otherwise if isinstance(source, bytes) else shown(str(source))


def shown(text: str) -> str:
    """For one line, such as a name: line ends and tabs are escaped too.

    >>> shown("a\\x1b[31m\\n\\u202eb")
    'a\\\\x1b[31m\\\\n\\\\u202eb'
    """
    return text if text.isprintable() else _LINE.sub(_code, text)  # nothing that is escaped is printable: a quick test


def lines_shown(text: str) -> str:
    """For a text of several lines: line ends stay."""
    return _LINES.sub(_code, text)


def shown_in_json(text: str) -> str:
    """For JSON as a text, with JSON's own escapes: who reads it has the very same strings."""
    return _LINES.sub(lambda found: f"\\u{ord(found[0]):04x}", text)


def in_cell(text: str) -> str:
    """For a spreadsheet, which would take what begins so for a formula: a `'` stands before it.

    A tab before it does not help (CVE-2021-41270). Plain numbers stay numbers, so that they add up (our choice).

    >>> in_cell("=1+1"), in_cell("-0.09")
    ("'=1+1", '-0.09')
    """
    return shown(f"'{text}" if text.startswith(_FORMULA) and not _NUMBER.fullmatch(text) else text)


def from_cell(cell: str) -> str:
    """What `in_cell` was given; a spreadsheet that kept the `'` gives it back."""
    return cell[1:] if cell.startswith("'") and cell[1:].startswith(_FORMULA) else cell


def _code(found: re.Match[str]) -> str:
    letter = found[0]
    short = {"\n": r"\n", "\t": r"\t", "\r": r"\r"}.get(letter)
    return short or (f"\\x{ord(letter):02x}" if ord(letter) < 0x100 else f"\\u{ord(letter):04x}")
