"""Where in a TOML text a row, an element or a table goes in or comes out, in the manner of what stands around it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from gasketcut.checked import Path
from gasketcut.toml.rendered import header_text, key_text
from gasketcut.toml.written import Header, Item, past_blank, written


@dataclass(frozen=True, slots=True, order=True)
class Splice:
    """`text[start:end]` gives way to `new`."""

    start: int
    end: int
    new: str = ""


class Layout:
    """A text without byte order mark; each `with_...` and `without` gives the changed text."""

    def __init__(self, text: str) -> None:
        found = written(text)
        self.text, self.items, self.brackets, self.headers = text, found.items, found.brackets, found.headers
        first = text.find("\n")
        self.newline = "\r\n" if first > 0 and text[first - 1] == "\r" else "\n"

    def spliced(self, splices: Iterable[Splice]) -> str:
        text = self.text
        for one in sorted(splices, reverse=True):
            text = text[: one.start] + one.new + text[one.end :]
        return text

    # -- in ----------------------------------------------------------------------------------------------------

    def has_header(self, path: Path) -> bool:
        """The whole text counts as a table of its own."""
        return not path or any(header.path == path for header in self.headers)

    def with_row_under(self, path: Path, row: str) -> str:
        """After the last row under the header of that table."""
        last = self._last_under(path)
        if last is not None:
            return self._after_line(last.end, self._indent(last.start) + row)
        header = self._header(path)
        if header is not None:
            return self._after_line(header.end, row)
        at = self._above(self.headers[0]) if self.headers else len(self.text)
        if not self.headers:
            return self.with_rows_at_end([row], gap=False)
        return self.spliced([Splice(at, at, row + 2 * self.newline)])

    def with_rows_after(self, path: Path, rows: Iterable[str], *, alone: bool = False) -> str:
        """A table more after the last row of the one there and, unless `alone`, of all inside it."""
        below = [one for one in self.headers if one.path[: len(path)] == path and (not alone or one.path == path)]
        if not below:
            return self.with_rows_at_end(list(rows))
        return self._after_line(self._end_of(below[-1]), self.newline + self.newline.join(rows))

    def as_first_of_several(self, path: Path) -> str:
        """`[[table]]` where there is `[table]`."""
        header = next(one for one in self.headers if one.path == path)
        return self.spliced([Splice(header.start, header.start, "["), Splice(header.end, header.end, "]")])

    def with_rows_at_end(self, rows: Sequence[str], *, gap: bool = True) -> str:
        text, new = self.text, self.newline.join(rows)
        if not text:
            return new + self.newline
        if not text.endswith("\n"):
            return text + self.newline * (2 if gap else 1) + new
        space = self.newline if gap and text.strip() and not text.endswith(2 * self.newline) else ""
        return text + space + new + self.newline

    def dotted_below(self, path: Path) -> Item | None:
        """The last row that makes the table there by dots in its key, in the table where such a row stands first."""
        found = [
            item
            for item in self.items.values()
            if len(item.within) < len(path) < len(item.path) and item.path[: len(path)] == path
        ]
        return next((item for item in reversed(found) if item.within == found[0].within), None)

    def with_row_beside(self, neighbour: Item, keys: Sequence[str], value: str) -> str:
        """After a row with dots in its key, likewise."""
        row = f"{'.'.join(key_text(key) for key in keys)} = {value}"
        if neighbour.within in self.brackets:
            return self.spliced([Splice(neighbour.end, neighbour.end, f", {row}")])
        return self._after_line(neighbour.end, self._indent(neighbour.start) + row)

    def with_header_before(self, path: Path, names: Sequence[str], row: str) -> str:
        """A header for a table that so far only tables inside it have."""
        first = next(header for header in self.headers if header.path[: len(path)] == path)
        at = self._above(first)
        rows = (header_text(names, is_array=False), row, "", "")
        return self.spliced([Splice(at, at, self.newline.join(rows))])

    def with_inside(self, path: Path, new: str) -> str:
        """One more in the brackets of an inline table or an array, on a line of its own where the last one has one."""
        opening, closing = self.brackets[path]
        inside = self._inside(path)
        if not inside:
            if self.text[opening] == "{":
                return self.spliced([Splice(opening + 1, closing, f" {new} ")])
            return self.spliced([Splice(opening + 1, opening + 1, new)])
        last = inside[-1]
        comma = past_blank(self.text, last.end)
        has_comma = self.text[comma] == ","
        after = comma + 1 if has_comma else last.end
        line_end = self._line_end(after)
        is_in_lines = "\n" in self.text[opening : last.start] and line_end < closing
        if not is_in_lines:
            return self.spliced([Splice(after, after, f" {new}" if has_comma else f", {new}")])
        row = self.newline + self._indent(last.start) + new
        if has_comma:
            return self.spliced([Splice(line_end, line_end, f"{row},")])
        return self.spliced([Splice(last.end, last.end, ","), Splice(line_end, line_end, row)])

    # -- out ---------------------------------------------------------------------------------------------------

    def without(self, path: Path) -> str:
        """Without the key, element or table there: its rows go whole, with the remark at their end."""
        item = self.items.get(path)
        if item is not None and item.within in self.brackets:
            return self.spliced(self._out_of_brackets(item))
        size = len(path)
        rows = [one for one in self.items.values() if one.path[:size] == path and len(one.within) < size]
        inline = [one for one in rows if one.within in self.brackets]
        if inline:  # dotted keys of an inline table: one at a time, as commas go with them
            return (
                Layout(self.spliced(self._out_of_brackets(inline[-1]))).without(path)
                if inline[1:]
                else (self.spliced(self._out_of_brackets(inline[0])))
            )
        spans = [Splice(self._line_start(one.start), self._next_line(one.end)) for one in rows]
        for header in self.headers:
            if header.path[:size] == path:
                spans.append(Splice(self._line_start(header.start), self._next_line(self._end_of(header))))
        return self.spliced(spans)

    def _out_of_brackets(self, item: Item) -> list[Splice]:
        beside = self._inside(item.within)
        at = beside.index(item)
        if at + 1 < len(beside):
            return [Splice(item.start, beside[at + 1].start)]
        comma = past_blank(self.text, item.end)
        if self.text[comma] == ",":
            return [Splice(item.start, comma + 1)]
        if at == 0:
            return [Splice(item.start, item.end)]
        before = past_blank(self.text, beside[at - 1].end)
        if "#" in self.text[before : item.start]:
            return [Splice(before, before + 1), Splice(item.start, item.end)]
        return [Splice(before, item.end)]

    # -- places ------------------------------------------------------------------------------------------------

    def _inside(self, path: Path) -> list[Item]:
        return sorted((item for item in self.items.values() if item.within == path), key=lambda item: item.start)

    def _header(self, path: Path) -> Header | None:
        return next((header for header in self.headers if header.path == path), None)

    def _last_under(self, path: Path) -> Item | None:
        """Of the rows under that header, and of the text above all headers for the empty path."""
        return max((i for i in self.items.values() if i.within == path), key=lambda item: item.end, default=None)

    def _end_of(self, header: Header) -> int:
        last = self._last_under(header.path)
        return last.end if last else header.end

    def _above(self, header: Header) -> int:
        """Where the header's line begins, or the remarks that stand directly above it."""
        at = self._line_start(header.start)
        while at:
            before = self._line_start(at - 1)
            if not self.text[before:at].lstrip().startswith("#"):
                break
            at = before
        return at

    def _after_line(self, at: int, rows: str) -> str:
        end = self._next_line(at)
        if not self.text[:end].endswith("\n"):
            return self.text[:end] + self.newline + rows + self.text[end:]
        return self.text[:end] + rows + self.newline + self.text[end:]

    def _indent(self, at: int) -> str:
        start = self._line_start(at)
        row = self.text[start:at]
        return row[: len(row) - len(row.lstrip(" \t"))]

    def _line_start(self, at: int) -> int:
        return self.text.rfind("\n", 0, at) + 1

    def _next_line(self, at: int) -> int:
        end = self.text.find("\n", at)
        return len(self.text) if end < 0 else end + 1

    def _line_end(self, at: int) -> int:
        """Where the line's own end begins."""
        end = self.text.find("\n", at)
        end = len(self.text) if end < 0 else end
        return end - 1 if self.text[end - 1 : end] == "\r" else end
