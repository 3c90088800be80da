"""On which line of a TOML text does each key stand?

`tomllib` hands over values without places. This scanner walks a text that `tomllib` has already accepted and notes,
for every table, key and array element, the line it starts on. It is used for messages only: were it ever wrong, a
message would name the wrong line, never a wrong value.
"""

from __future__ import annotations

from gasketcut.checked import Path


def key_lines(text: str) -> dict[Path, int]:
    """Return path -> line number (from 1) for a text that is valid TOML."""
    scanner = _Scanner(text.replace("\r\n", "\n"))
    scanner.document()
    return {**scanner.implied, **scanner.lines}


def line_of(lines: dict[Path, int], path: Path) -> int:
    """The line of the path, else of its nearest parent that has one, else 0."""
    for end in range(len(path), 0, -1):
        if path[:end] in lines:
            return lines[path[:end]]
    return 0


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text, self.at, self.line = text, 0, 1
        self.lines: dict[Path, int] = {}
        self.implied: dict[Path, int] = {}  # tables that are there only because a header names one inside them
        self.count: dict[Path, int] = {}  # how many [[tables]] of this path so far

    def document(self) -> None:
        table: Path = ()
        while self.skip_blank():
            if self.text.startswith("[[", self.at):
                self.step(2)
                table = self.open_array_table(self.dotted_key())
                self.step(2)
            elif self.text[self.at] == "[":
                self.step()
                table = self.resolve(self.dotted_key())
                self.lines.setdefault(table, self.line)
                self.step()
            else:
                self.pair(table)

    def open_array_table(self, keys: list[str]) -> Path:
        path = (*self.resolve(keys[:-1]), keys[-1])
        position = self.count.get(path, 0)
        self.count[path] = position + 1
        self.lines.setdefault(path, self.line)
        self.lines[(*path, position)] = self.line
        return (*path, position)

    def resolve(self, keys: list[str]) -> Path:
        """Insert the current position wherever a key names an array of tables."""
        path: Path = ()
        for key in keys:
            path = (*path, key)
            self.implied.setdefault(path, self.line)
            if path in self.count:
                path = (*path, self.count[path] - 1)
        return path

    def pair(self, table: Path) -> None:
        line, path = self.line, table
        for key in self.dotted_key():
            path = (*path, key)
            self.lines.setdefault(path, line)
        self.step()  # the equals sign
        self.value(path)

    def value(self, path: Path) -> None:
        self.skip_blank()
        self.lines.setdefault(path, self.line)
        start = self.text[self.at]
        if start == "[":
            self.sequence("]", path, is_array=True)
        elif start == "{":
            self.sequence("}", path, is_array=False)
        elif start in "\"'":
            self.quoted()
        else:
            while self.at < len(self.text) and self.text[self.at] not in ",]}#\n":
                self.step()

    def sequence(self, closing: str, path: Path, *, is_array: bool) -> None:
        self.step()
        position = 0
        while self.skip_blank() and self.text[self.at] != closing:
            if is_array:
                self.value((*path, position))
                position += 1
            else:
                self.pair(path)
            if self.skip_blank() and self.text[self.at] == ",":
                self.step()
        self.step()

    def dotted_key(self) -> list[str]:
        keys = []
        while True:
            self.skip_blank()
            if self.text[self.at] in "\"'":
                keys.append(self.quoted())
            else:
                start = self.at
                while self.text[self.at] not in " \t.=]":
                    self.step()
                keys.append(self.text[start : self.at])
            self.skip_blank()
            if self.text[self.at] != ".":
                return keys
            self.step()

    def quoted(self) -> str:
        quote = self.text[self.at]
        mark = quote * 3 if self.text.startswith(quote * 3, self.at) else quote
        self.step(len(mark))
        start = self.at
        while not self.text.startswith(mark, self.at):
            self.step(2 if quote == '"' and self.text[self.at] == "\\" else 1)
        inside = self.text[start : self.at]
        self.step(len(mark))
        while len(mark) == 3 and self.text.startswith(quote, self.at):  # up to two quotes may end a long string
            self.step()
        return inside

    def skip_blank(self) -> bool:
        """Move past blanks and comments; False at the end of the text."""
        while self.at < len(self.text):
            if self.text[self.at] == "#":
                while self.at < len(self.text) and self.text[self.at] != "\n":
                    self.step()
            elif self.text[self.at] in " \t\r\n":
                self.step()
            else:
                return True
        return False

    def step(self, count: int = 1) -> None:
        self.line += self.text.count("\n", self.at, self.at + count)
        self.at += count
