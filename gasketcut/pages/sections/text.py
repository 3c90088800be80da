"""Sections as plain text, 80 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from gasketcut.output.text.finding import WIDTH
from gasketcut.pages.sections.section import Section

_BLANK = "_" * 16


def sections_text(head: str, sections: Iterable[Section]) -> str:
    """The whole text, with a line end at its end."""
    return "\n\n".join([head, *(_section(section) for section in sections)]) + "\n"


def _section(section: Section) -> str:
    rows = [section.heading, "-" * len(section.heading)]
    rows += [textwrap.fill(line, WIDTH, subsequent_indent="  ") for line in section.lines]
    for first, *others in section.items:
        rows.append(textwrap.fill(first, WIDTH, subsequent_indent="    "))
        rows += [textwrap.fill(line, WIDTH, initial_indent="    ", subsequent_indent="    ") for line in others]
    rows += _table(section.table)
    rows += [f"{blank + ' ':.<{WIDTH - len(_BLANK) - 1}} {_BLANK}" for blank in section.blanks]
    rows += [textwrap.fill(f"! {line}", WIDTH, subsequent_indent="  ") for line in section.cautions]
    return "\n".join(rows)


def _table(table: tuple[tuple[str, ...], ...]) -> list[str]:
    """Columns as wide as their widest entry where the page holds them; else an entry a block."""
    if not table:
        return []
    widths = [max(len(row[column]) for row in table) for column in range(len(table[0]))]
    gap = next((gap for gap in (2, 1) if sum(widths) + gap * (len(widths) - 1) <= WIDTH), None)
    if gap is not None:
        return [
            (" " * gap).join(f"{cell:<{wide}}" for cell, wide in zip(row, widths, strict=True)).rstrip()
            for row in table
        ]
    heads, *entries = table
    rows = []
    for entry in entries:
        rows.append(entry[0])
        rows += [f"  {head}: {cell}" for head, cell in zip(heads[1:], entry[1:], strict=True) if cell not in ("", "-")]
    return rows
