"""What would probably scrap the sheet although nothing is wrong with the file: a person looks, nothing is changed.

Look   one such place: what it is, where, and what to do about it.
"""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.plane import Point


@dataclass(frozen=True, slots=True)
class Look:
    """One place to look at; `at` in the file's own coordinates, None if it has no place; `do` is an imperative."""

    kind: str
    at: Point | None
    text: str
    do: str
