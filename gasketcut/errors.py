"""Everything that the user can put right, in one family.

A command turns any `GasketError` into a plain line and exit code 2; anything else is a fault of ours.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


class GasketError(Exception):
    """Something the user can put right; the text says what to write instead."""


class LengthError(GasketError, ValueError):
    """A text that is no length (or angle) we can take."""

    def __init__(self, text: str, reason: str) -> None:
        super().__init__(f"{text!r}: {reason}")
        self.text, self.reason = text, reason


class ShapeError(GasketError, ValueError):
    """Dimensions from which no sheet can be drawn."""


class DrawingError(GasketError, ValueError):
    """A received drawing that cannot be used as it is."""


class NotSafeError(DrawingError):
    """A received drawing about which a person has to decide something before anything is cut by it."""


class OutputError(GasketError, OSError):
    """A file that could not be written."""


class ReadBackError(GasketError, RuntimeError):
    """A file we wrote does not hold what the part is: never hand it over."""


WIDEST = 100
"""Letters of a line that are shown round a fault."""


class Lack(str):
    """A fault's words where nothing is wrong but that something is not there yet; `key` is what to add."""

    __slots__ = ("key",)
    key: str

    def __new__(cls, key: str, words: str) -> Lack:
        made = super().__new__(cls, words)
        made.key = key
        return made


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault of a job file or a profile: the line it stands on (0 if none), the key and what to write instead.

    column  on that line, from 1; 0 where the fault has no one spot
    source  the line itself, as it is in the file
    """

    line: int
    key: str
    message: str
    column: int = 0
    source: str = ""

    @property
    def is_lack(self) -> bool:
        """Nothing is wrong; something is not there yet."""
        return isinstance(self.message, Lack)

    @property
    def wants(self) -> str:
        """The key to add, e.g. `squish.target`; the fault's own where nothing is lacking."""
        if not isinstance(self.message, Lack):
            return self.key
        return f"{self.key}.{self.message.key}" if self.key else self.message.key

    def text(self, file: str) -> str:
        """The fault as editors make it clickable, `file:line:column: key: message`; below it the line and a caret."""
        numbers = ":".join(str(number) for number in (self.line, self.column) if number)
        place = f"{file}:{numbers}" if numbers else file
        first = f"{place}: {self.key}: {self.message}" if self.key else f"{place}: {self.message}"
        return "\n".join((first, *self.spot()))

    def spot(self) -> tuple[str, ...]:
        """The line of the file, and a caret under the place; empty where neither is known."""
        if not self.column or not self.source:
            return ()
        # What a terminal would obey, or draw with another width, becomes one plain letter.
        shown = "".join(letter if letter.isprintable() else " " for letter in self.source.rstrip("\r\n"))
        at, start = self.column - 1, 0
        if len(shown) > WIDEST:
            start = max(0, min(at - WIDEST // 2, len(shown) - WIDEST))
        return f"    {shown[start : start + WIDEST].rstrip()}", f"    {' ' * (at - start)}^"


class JobError(GasketError, ValueError):
    """A job file that cannot be used, with every fault found in it."""

    def __init__(self, file: str, faults: tuple[Fault, ...]) -> None:
        super().__init__("\n".join(fault.text(file) for fault in faults))
        self.file, self.faults = file, faults


class IncompleteError(JobError):
    """What was asked for needs what the job does not say yet; every fault says what to add."""


class UndecidedError(JobError):
    """A received drawing of the job leaves something for a person to decide first; nothing else is wrong."""


class ProfileError(GasketError, ValueError):
    """Profiles of the user's own that cannot be used, with every fault by file."""

    def __init__(self, faults: Mapping[str, tuple[Fault, ...]]) -> None:
        super().__init__("\n".join(fault.text(file) for file, found in faults.items() for fault in found))
        self.faults = dict(faults)
