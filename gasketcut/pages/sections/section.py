"""One section of a sheet of words: lines, items, a table, blanks to fill in by hand and cautions are all it holds."""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.length import Units, in_order


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """Of an item the first line stands out and the others belong to it; `table` has its headings in the first row;
    `blanks` are filled in by hand; `cautions` stand out."""

    heading: str
    lines: tuple[str, ...] = ()
    items: tuple[tuple[str, ...], ...] = ()
    table: tuple[tuple[str, ...], ...] = ()
    blanks: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()

    def in_order(self, units: Units) -> Section:
        """With its lengths, inches first where the job says inches."""

        def turned(lines: tuple[str, ...]) -> tuple[str, ...]:
            return tuple(in_order(line, units) for line in lines)

        return Section(
            heading=self.heading,
            lines=turned(self.lines),
            items=tuple(turned(item) for item in self.items),
            table=tuple(turned(row) for row in self.table),
            blanks=turned(self.blanks),
            cautions=turned(self.cautions),
        )
