"""What is wrong with a file, each fault with its line; and the word that was meant."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from gasketcut.checked import Path, dotted
from gasketcut.errors import Fault
from gasketcut.toml.places import Place, key_places, nearest


class Faults:
    """Gathers faults with their places in the text."""

    def __init__(self, text: str) -> None:
        self.text = text
        self._found: dict[tuple[int, str, str], Fault] = {}

    def add(self, path: Path, message: str, *, at_key: bool = False) -> None:
        """Note a fault at a key; array positions are shown from 1.

        at_key : the key itself is wrong, and not what it holds
        """
        fault = self.fault(path, message, at_key=at_key)
        self._found.setdefault((fault.line, fault.key, message), fault)

    def fault(self, path: Path, message: str, *, at_key: bool = False) -> Fault:
        """The fault with its place, not noted."""
        place = nearest(self._places, path)
        if place is None:
            return Fault(0, dotted(path), message)
        column = place.key_column if at_key and path in self._places else place.column
        return Fault(place.line, dotted(path), message, column, self._lines[place.line - 1])

    def has_below(self, path: Path) -> bool:
        """Is there a fault at the path, or at a key inside it?"""
        key = dotted(path)
        inside = any(other == key or other.startswith(f"{key}.") for _, other, _ in self._found)
        return inside or (not key and bool(self._found))

    def line(self, path: Path) -> int:
        """The line of a key, else of the table round it."""
        place = nearest(self._places, path)
        return place.line if place else 0

    def written(self, path: Path) -> str:
        """The value as it stands in the text; empty where it does not."""
        place = self._places.get(path)
        return self.text[place.start : place.end] if place else ""

    @cached_property
    def _places(self) -> dict[Path, Place]:
        """Sought when first asked for: most files have no fault."""
        return key_places(self.text)

    @cached_property
    def _lines(self) -> list[str]:
        return self.text.split("\n")

    @property
    def is_clean(self) -> bool:
        """Nothing was found so far."""
        return not self._found

    def sorted(self) -> tuple[Fault, ...]:
        """All faults in the order of the file."""
        return tuple(sorted(self._found.values(), key=lambda fault: (fault.line, fault.column)))


def meant(word: str, known: Sequence[str], otherwise: str = "write one of ", cutoff: float = 0.6) -> str:
    """ "did you mean ...?" with the known word that is like enough, or all that are known after `otherwise`."""
    import difflib  # only a faulty file needs it

    close = difflib.get_close_matches(word, known, n=1, cutoff=cutoff)
    return f"did you mean '{close[0]}'?" if close else f"{otherwise}{', '.join(known)}"
