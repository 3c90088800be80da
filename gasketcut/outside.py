"""The one door for what comes from outside: the bytes of a file that the user names, or bytes as they are."""

from __future__ import annotations

from pathlib import Path

from gasketcut.errors import GasketError

Source = bytes | str | Path
"""Bytes, or the path of a file."""


def bytes_of(source: Source) -> bytes:
    """The bytes; raise `GasketError` with the reason if the file cannot be read."""
    if isinstance(source, bytes):
        return source
    try:
        return Path(source).read_bytes()
    except (OSError, ValueError) as error:  # ValueError: a zero in the name
        reason = error.strerror if isinstance(error, OSError) and error.strerror else error
        raise GasketError(f"{source}: cannot be read: {reason}") from error


def name_of(source: Source, otherwise: str) -> str:
    """How a message calls it: the path as the user wrote it, or `otherwise` for bytes."""
    return otherwise if isinstance(source, bytes) else str(source)
