"""Where in a TOML text does each key stand, and its value?

`tomllib` hands over values without places. This scanner walks a text that `tomllib` has already accepted and notes
every table, key and array element. It serves messages, and whoever writes a value anew in a person's own text.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass

from gasketcut.checked import Path


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
    scanner = _Scanner(text)
    scanner.document()
    starts = [0, *(at + 1 for at, letter in enumerate(text) if letter == "\n")]

    def place(key: int, start: int, end: int) -> Place:
        line = bisect_right(starts, start)
        first = starts[line - 1]
        return Place(line, start - first + 1, max(key - first, 0) + 1, start, end)

    return {path: place(*span) for path, span in {**scanner.implied, **scanner.spans}.items()}


def nearest(places: dict[Path, Place], path: Path) -> Place | None:
    """The place of the path, else of its nearest parent that has one."""
    return next((places[path[:end]] for end in range(len(path), 0, -1) if path[:end] in places), None)


Span = tuple[int, int, int]
"""Where the key begins, where the value begins and where it ends."""


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text, self.at = text, 0
        self.spans: dict[Path, Span] = {}
        self.implied: dict[Path, Span] = {}  # tables that are there only because a header names one inside them
        self.count: dict[Path, int] = {}  # how many [[tables]] of this path so far

    def document(self) -> None:
        table: Path = ()
        while self.skip_blank():
            begin = self.at
            if self.text.startswith("[[", self.at):
                self.at += 2
                keys = self.dotted_key()
                self.at += 2
                table = self.open_array_table(keys, (begin, begin, self.at))
            elif self.text[self.at] == "[":
                self.at += 1
                keys = self.dotted_key()
                self.at += 1
                table = self.resolve(keys, (begin, begin, self.at))
                self.spans.setdefault(table, (begin, begin, self.at))
            else:
                self.pair(table)

    def open_array_table(self, keys: list[str], header: Span) -> Path:
        path = (*self.resolve(keys[:-1], header), keys[-1])
        position = self.count.get(path, 0)
        self.count[path] = position + 1
        self.spans.setdefault(path, header)
        self.spans[(*path, position)] = header
        return (*path, position)

    def resolve(self, keys: list[str], header: Span) -> Path:
        """Insert the current position wherever a key names an array of tables."""
        path: Path = ()
        for key in keys:
            path = (*path, key)
            self.implied.setdefault(path, header)
            if path in self.count:
                path = (*path, self.count[path] - 1)
        return path

    def pair(self, table: Path) -> None:
        begin = self.at
        keys = self.dotted_key()
        self.at += 1  # the equals sign
        path = (*table, *keys)
        self.value(path, begin)
        for length in range(len(table) + 1, len(path)):
            self.spans.setdefault(path[:length], (begin, begin, self.at))

    def value(self, path: Path, key: int | None = None) -> None:
        self.skip_blank()
        begin = self.at
        if self.text[begin] == "[":
            self.sequence("]", path, is_array=True)
        elif self.text[begin] == "{":
            self.sequence("}", path, is_array=False)
        elif self.text[begin] in "\"'":
            self.quoted()
        else:
            while self.at < len(self.text) and self.text[self.at] not in ",]}#\r\n":
                self.at += 1
            self.at = begin + len(self.text[begin : self.at].rstrip())
        self.spans.setdefault(path, (begin if key is None else key, begin, self.at))

    def sequence(self, closing: str, path: Path, *, is_array: bool) -> None:
        self.at += 1
        position = 0
        while self.skip_blank() and self.text[self.at] != closing:
            if is_array:
                self.value((*path, position))
                position += 1
            else:
                self.pair(path)
            if self.skip_blank() and self.text[self.at] == ",":
                self.at += 1
        self.at += 1

    def dotted_key(self) -> list[str]:
        keys = []
        while True:
            self.skip_blank()
            if self.text[self.at] in "\"'":
                keys.append(self.quoted())
            else:
                start = self.at
                while self.text[self.at] not in " \t.=]":
                    self.at += 1
                keys.append(self.text[start : self.at])
            self.skip_blank()
            if self.text[self.at] != ".":
                return keys
            self.at += 1

    def quoted(self) -> str:
        quote = self.text[self.at]
        mark = quote * 3 if self.text.startswith(quote * 3, self.at) else quote
        self.at += len(mark)
        start = self.at
        while not self.text.startswith(mark, self.at):
            self.at += 2 if quote == '"' and self.text[self.at] == "\\" else 1
        inside = self.text[start : self.at]
        self.at += len(mark)
        while len(mark) == 3 and self.text.startswith(quote, self.at):  # up to two quotes may end a long string
            self.at += 1
        return inside

    def skip_blank(self) -> bool:
        """Move past blanks and comments; False at the end of the text."""
        while self.at < len(self.text):
            if self.text[self.at] == "#":
                while self.at < len(self.text) and self.text[self.at] != "\n":
                    self.at += 1
            elif self.text[self.at] in " \t\r\n":
                self.at += 1
            else:
                return True
        return False
