"""How a TOML text is laid out: its headers, its keys with their values, its brackets, each with its place.

The text is one that `tomllib` has accepted; it is walked as it stands, with its own line ends.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, field

from gasketcut.checked import Path


@dataclass(frozen=True, slots=True)
class Header:
    """`[table]` or `[[table]]`, from bracket to bracket; `path` has the position of every array of tables."""

    path: Path
    is_array: bool
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Item:
    """A key with its value, or an element of an array.

    within  the table of the header above it, or the inline table or array that it stands in
    start   of the key, or of the element; value, end : where its value begins and ends
    """

    path: Path
    within: Path
    start: int
    value: int
    end: int


@dataclass(slots=True)
class Written:
    """`items` by path, in their order; `brackets` of inline tables and arrays: where they open and close."""

    text: str
    headers: list[Header] = field(default_factory=list)
    items: dict[Path, Item] = field(default_factory=dict)
    brackets: dict[Path, tuple[int, int]] = field(default_factory=dict)


def written(text: str) -> Written:
    """The layout of a text that is valid TOML and begins with no byte order mark."""
    scanner = _Scanner(text)
    scanner.document()
    return scanner.found


def past_blank(text: str, at: int) -> int:
    """Past blanks, line ends and comments."""
    while at < len(text):
        if text[at] == "#":
            end = text.find("\n", at)
            at = len(text) if end < 0 else end
        elif text[at] in " \t\r\n":
            at += 1
        else:
            break
    return at


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text, self.at = text, 0
        self.found = Written(text)
        self.count: dict[Path, int] = {}  # how many [[tables]] of this path so far

    def document(self) -> None:
        table: Path = ()
        while self.skip():
            if self.text[self.at] == "[":
                table = self.header()
            else:
                self.pair(table)

    def header(self) -> Path:
        start, is_array = self.at, self.text.startswith("[[", self.at)
        self.at += 2 if is_array else 1
        keys = self.dotted_key()
        self.at += 2 if is_array else 1
        path: Path = ()
        for number, key in enumerate(keys):
            path = (*path, key)
            if is_array and number == len(keys) - 1:
                self.count[path] = self.count.get(path, 0) + 1
            if path in self.count:
                path = (*path, self.count[path] - 1)
        self.found.headers.append(Header(path, is_array, start, self.at))
        return path

    def pair(self, within: Path) -> None:
        start = self.at
        path = (*within, *self.dotted_key())
        self.at += 1  # the equals sign
        self.value(path, within, start)

    def value(self, path: Path, within: Path, start: int | None) -> None:
        self.skip()
        begin = self.at
        if self.text[begin] in "[{":
            self.inside(path, is_array=self.text[begin] == "[")
        elif self.text[begin] in "\"'":
            self.quoted()
        else:
            while self.at < len(self.text) and self.text[self.at] not in ",]}#\r\n":
                self.at += 1
            self.at = begin + len(self.text[begin : self.at].rstrip())
        self.found.items[path] = Item(path, within, begin if start is None else start, begin, self.at)

    def inside(self, path: Path, *, is_array: bool) -> None:
        opening, position = self.at, 0
        self.at += 1
        while self.skip() and self.text[self.at] not in "]}":
            if is_array:
                self.value((*path, position), path, None)
                position += 1
            else:
                self.pair(path)
            if self.skip() and self.text[self.at] == ",":
                self.at += 1
        self.found.brackets[path] = (opening, self.at)
        self.at += 1

    def dotted_key(self) -> list[str]:
        keys = []
        while True:
            self.skip()
            start = self.at
            if self.text[start] in "\"'":
                self.quoted()
                keys.append(next(iter(tomllib.loads(f"{self.text[start : self.at]} = 0"))))
            else:
                while self.text[self.at] not in " \t.=]":
                    self.at += 1
                keys.append(self.text[start : self.at])
            self.skip()
            if self.text[self.at] != ".":
                return keys
            self.at += 1

    def quoted(self) -> None:
        quote = self.text[self.at]
        mark = quote * 3 if self.text.startswith(quote * 3, self.at) else quote
        self.at += len(mark)
        while not self.text.startswith(mark, self.at):
            self.at += 2 if quote == '"' and self.text[self.at] == "\\" else 1
        self.at += len(mark)
        extra = 0
        while len(mark) == 3 and extra < 2 and self.text.startswith(quote, self.at):  # two more may end a long string
            self.at += 1
            extra += 1

    def skip(self) -> bool:
        self.at = past_blank(self.text, self.at)
        return self.at < len(self.text)
