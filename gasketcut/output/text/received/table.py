"""Many inspections as a table for a screen: a row a file, and what to ask below it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from textwrap import fill

from gasketcut.output.text.received.questions import questions
from gasketcut.outside import shown
from gasketcut.received.batch import Looked
from gasketcut.received.summary import Summary

_HEADS = ("file", "verdict", "size in mm", "unit", "parts", "holes", "what was found")
_TO_THE_RIGHT = ("parts", "holes")
_WORDS = {"ready": "READY", "look": "LOOK", "mend": "MEND", "ask": "ASK"}
_UNREAD = "NOT READ"
_WIDTH = 100


def table_text(rows: Sequence[Looked]) -> str:
    """Names are whole, whatever the width of the screen; a line of counts at the end."""
    cells = [_HEADS, *(_cells(row) for row in rows)]
    widths = [max(len(row[column]) for row in cells) for column in range(len(_HEADS))]
    lines = [_line(_HEADS, widths)]
    for row, one in zip(cells[1:], rows, strict=True):
        lines.append(_line(row, widths))
        for question in questions(one):
            lines.append(fill(question, _WIDTH, initial_indent="    ask: ", subsequent_indent="         "))
    return "\n".join([*lines, "", counts_text(rows)])


def counts_text(rows: Sequence[Looked]) -> str:
    """How many of each verdict.

    >>> counts_text([])
    '0 files'
    """
    counts = Counter(_verdict(row) for row in rows)
    said = [f"{counts[word]} {word}" for word in (*_WORDS.values(), _UNREAD) if counts[word]]
    files = f"{len(rows)} file{'' if len(rows) == 1 else 's'}"
    return f"{files}: {', '.join(said)}" if said else files


def unit_words(found: Summary) -> str:
    """The unit, and how sure it is.

    Uncertain is what the file says nothing of, or contradicts itself in; `as you say` is what only the user said.
    """
    unit = found.unit
    if unit.likely is None:
        return "cannot be said"
    if "no-unit" in found.faults:
        return f"{unit.likely}, not declared"
    if "unit-doubt" in found.faults:
        return f"{unit.likely}, declares {unit.declared}"
    if "unit-conflict" in found.faults:
        return f"{unit.likely}, contradicted"
    return f"{unit.likely}, declared" if unit.declared == unit.likely else f"{unit.likely}, as you say"


def found_words(found: Summary) -> str:
    """Kinds of faults and places to look at, with how many of each."""
    kinds = found.faults | found.looks
    return ", ".join(f"{kind}{f' x {count}' if count > 1 else ''}" for kind, count in kinds.items())


def _cells(row: Looked) -> tuple[str, ...]:
    file, found = shown(str(row.file)), row.summary
    if found is None:
        return file, _UNREAD, "", "", "", "", row.why
    size = f"{found.size[0]:.1f} x {found.size[1]:.1f}" if any(found.size) else "-"
    return (file, _verdict(row), size, unit_words(found), str(found.parts), str(found.holes), found_words(found))


def _verdict(row: Looked) -> str:
    return _WORDS[row.verdict] if row.summary else _UNREAD


def _line(row: Sequence[str], widths: Sequence[int]) -> str:
    cells = [
        f"{cell:>{width}}" if head in _TO_THE_RIGHT else f"{cell:<{width}}"
        for cell, width, head in zip(row, widths, _HEADS, strict=True)
    ]
    return "  ".join([*cells[:-1], row[-1]]).rstrip()
