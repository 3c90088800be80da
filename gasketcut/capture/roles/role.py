"""What an opening of a traced part is for, as it is said by `--as NAME=ROLE`."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from gasketcut.errors import GasketError
from gasketcut.length import parse_length
from gasketcut.profile.fasteners import Fasteners

What = Literal["stud", "dowel", "opening", "port", "passage", "hole"]

PASSAGES = ("impulse", "oil", "water", "drain")
"""Passages that are named by one word."""

WORDS = "stud:SIZE, dowel:DIAMETER, opening, port:NAME, impulse, oil, water, drain or hole"
"""Everything that can be said."""

_THICKEST = 60.0  # mm; no dowel of a small engine is thicker


class RoleError(GasketError, ValueError):
    """A role, or a part with its roles, that cannot be; the text says what to write."""


@dataclass(frozen=True, slots=True)
class Role:
    """`of` is a stud's size, or the name of a port or passage; `diameter` that of the dowel itself [mm]."""

    what: What
    of: str = ""
    diameter: float = 0.0

    @property
    def text(self) -> str:
        """As it is written on the command line."""
        if self.what == "passage":
            return self.of
        return f"{self.what}:{self.diameter:g}" if self.diameter else f"{self.what}:{self.of}" if self.of else self.what


def role_of(text: str, fasteners: Fasteners) -> Role:
    """The role that the text names; raise `RoleError` with what to write if it is none.

    >>> role_of("dowel:8", Fasteners())
    Role(what='dowel', of='', diameter=8.0)
    """
    what, _, of = (part.strip() for part in text.partition(":"))
    what = what.casefold()
    if what in PASSAGES and not of:
        return Role("passage", what)
    if what == "opening" and not of:
        return Role("opening")
    if what == "hole" and not of:
        return Role("hole")
    if what == "stud" and of:
        size = next((name for name in fasteners.names if name.casefold() == of.casefold()), None)
        if size is None:
            raise RoleError(f"{of!r} is no size in the table; write one of {', '.join(fasteners.names)}")
        return Role("stud", size)
    if what == "dowel" and of:
        return Role("dowel", diameter=_diameter(of))
    if what == "port" and of:
        if len(of) > 40 or not of.isprintable():
            raise RoleError(f"{of!r} is no name for a port; write up to 40 letters, e.g. port:transfer left")
        return Role("port", of)
    raise RoleError(f"{text!r} is no role; write {WORDS}, e.g. stud:M5, dowel:8.0, port:transfer")


def _diameter(text: str) -> float:
    """Of the dowel itself [mm]; a bare number is mm."""
    try:
        value = float(text) if re.fullmatch(r"\d+(\.\d+)?", text) else parse_length(text)
    except GasketError as error:
        raise RoleError(f"dowel: {error}") from error
    if not 0.5 <= value <= _THICKEST:
        raise RoleError(
            f"no dowel is {value:g} mm thick; write its diameter in mm, 0.5 to {_THICKEST:g}, e.g. dowel:8.0"
        )
    return value
