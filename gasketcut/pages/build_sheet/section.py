"""One section of the build sheet: lines, a table, blanks to fill in by hand and cautions are all it can hold."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """`table` has its headings in the first row; `blanks` are filled in by hand; `cautions` stand out."""

    heading: str
    lines: tuple[str, ...] = ()
    table: tuple[tuple[str, ...], ...] = ()
    blanks: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
