"""Where in a TOML text does each key stand, and its value?

`tomllib` hands over values without places. `written.py` walks a text that `tomllib` has already accepted; this says of
every table, key and array element on which line and in which column it stands, for messages.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass

from gasketcut.checked import Path
from gasketcut.toml.written import Written, written


@dataclass(frozen=True, slots=True)
class Place:
    """A key, a table or an array element.

    line, column  of its value, or of the header of a table or the dotted key that makes one, from 1
    key_column    of the key on that line; of an element, as `column`
    start, end    of the value in the text: `text[start:end]`; of the header of a table
    """

    line: int
    column: int
    key_column: int
    start: int
    end: int


def key_places(text: str) -> dict[Path, Place]:
    """Path -> place for a text that is valid TOML, with its line ends as they are."""
    starts = [0, *(at + 1 for at, letter in enumerate(text) if letter == "\n")]

    def place(key: int, start: int, end: int) -> Place:
        line = bisect_right(starts, start)
        first = starts[line - 1]
        return Place(line, start - first + 1, max(key - first, 0) + 1, start, end)

    return {path: place(*span) for path, span in _spans(written(text)).items()}


def nearest(places: dict[Path, Place], path: Path) -> Place | None:
    """The place of the path, else of its nearest parent that has one."""
    return next((places[path[:end]] for end in range(len(path), 0, -1) if path[:end] in places), None)


Span = tuple[int, int, int]
"""Where the key begins, where the value begins and where it ends."""


def _spans(layout: Written) -> dict[Path, Span]:
    spans: dict[Path, Span] = {}
    implied: dict[Path, Span] = {}  # tables that are there only because a header names one inside them
    for header in layout.headers:
        span = (header.start, header.start, header.end)
        for length in range(1, len(header.path)):
            implied.setdefault(header.path[:length], span)
        spans.setdefault(header.path, span)
    for item in layout.items.values():
        spans.setdefault(item.path, (item.start, item.value, item.end))
        for length in range(len(item.within) + 1, len(item.path)):  # tables that a dotted key makes
            spans.setdefault(item.path[:length], (item.start, item.start, item.end))
    return {**implied, **spans}
