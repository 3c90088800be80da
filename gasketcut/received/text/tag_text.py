"""The tags of a DXF file as they lie in its bytes: a group code and a value each.

Only the codes and their places are held. A value is taken from the bytes when it is asked for: as texts of their own
the values of a file weigh ten times as much as it does.
"""

from __future__ import annotations

from array import array
from collections.abc import Sequence
from dataclasses import dataclass

from gasketcut.outside import shown


@dataclass(frozen=True, slots=True)
class TagText:
    """`places` are where each tag begins in `data`, and behind the last one where it ends."""

    data: bytes
    encoding: str
    codes: array[int]
    places: array[int]

    @classmethod
    def of(cls, codes: Sequence[int], values: Sequence[str]) -> TagText:
        """Of codes and values that do not come from lines; line ends in a value become spaces."""
        rows = [f"{code}\n{' '.join(value.splitlines())}\n".encode() for code, value in zip(codes, values, strict=True)]
        places, at = array("I", [0]), 0
        for row in rows:
            at += len(row)
            places.append(at)
        return cls(b"".join(rows), "utf-8", array("h", codes), places)

    def value(self, number: int) -> str:
        """The value of one tag, as it may be shown."""
        text = self.data[self.places[number] : self.places[number + 1] - 1].partition(b"\n")[2]
        value = text.decode(self.encoding, "replace").strip()
        return value if value.isprintable() else shown(value)

    def tags(self, first: int, last: int) -> tuple[array[int], list[str]]:
        """Codes and values from one tag up to another."""
        if first >= last:
            return self.codes[0:0], []
        text = self.data[self.places[first] : self.places[last] - 1].decode(self.encoding, "replace")
        values = [value.strip() for value in text.split("\n")[1::2]]
        if not "".join(values).isprintable():
            values = [value if value.isprintable() else shown(value) for value in values]
        return self.codes[first:last], values
