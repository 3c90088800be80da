"""CSV for a spreadsheet, of which no cell is taken for a formula."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from gasketcut.outside import in_cell

Cell = str | float | None


def csv_text(rows: Iterable[Sequence[Cell]], line_end: str = "\r\n") -> str:
    """The rows, headings first; None is an empty cell."""
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, lineterminator=line_end)
    writer.writerows([in_cell(cell) if isinstance(cell, str) else cell for cell in row] for row in rows)
    return stream.getvalue()
