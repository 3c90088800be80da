"""What is wrong with a file, each fault with its line; and the word that was meant."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from gasketcut.checked import Path, dotted
from gasketcut.errors import Fault
from gasketcut.toml.lines import key_lines, line_of


class Faults:
    """Gathers faults with their lines."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._found: dict[tuple[int, str, str], Fault] = {}

    def add(self, path: Path, message: str) -> None:
        """Note a fault at a key; array positions are shown from 1."""
        line, key = self.line(path), dotted(path)
        self._found.setdefault((line, key, message), Fault(line, key, message))

    def has_below(self, path: Path) -> bool:
        """Is there a fault at the path, or at a key inside it?"""
        key = dotted(path)
        inside = any(other == key or other.startswith(f"{key}.") for _, other, _ in self._found)
        return inside or (not key and bool(self._found))

    def line(self, path: Path) -> int:
        """The line of a key, else of the table round it."""
        return line_of(self._lines, path)

    @cached_property
    def _lines(self) -> dict[Path, int]:
        """Sought when first asked for: most files have no fault."""
        return key_lines(self._text)

    @property
    def is_clean(self) -> bool:
        """Nothing was found so far."""
        return not self._found

    def sorted(self) -> tuple[Fault, ...]:
        """All faults by line."""
        return tuple(sorted(self._found.values(), key=lambda fault: fault.line))


def meant(word: str, known: Sequence[str], otherwise: str = "write one of ", cutoff: float = 0.6) -> str:
    """ "did you mean ...?" with the known word that is like enough, or all that are known after `otherwise`."""
    import difflib  # only a faulty file needs it

    close = difflib.get_close_matches(word, known, n=1, cutoff=cutoff)
    return f"did you mean '{close[0]}'?" if close else f"{otherwise}{', '.join(known)}"
