"""A parts list that was kept in a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from pathlib import Path

from gasketcut.errors import GasketError
from gasketcut.job.topend import COST_COLUMNS, STATES, Cost
from gasketcut.outside import from_cell


def read_cost_table(file: Path) -> tuple[Cost, ...]:
    """The lines of a CSV file; raise `GasketError` if it cannot be read."""
    try:
        text = file.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise GasketError(f"{file.name}: cannot be read; save it as CSV in UTF-8") from error
    try:
        return costs_from_csv(text)
    except (GasketError, csv.Error) as error:
        raise GasketError(f"{file.name}: {error}") from error


def costs_from_csv(text: str) -> tuple[Cost, ...]:
    """Lines from a table with the columns of COST_COLUMNS; only `name` has to be there.

    Raise `GasketError` with the row that cannot be read.
    """
    reader = csv.DictReader(io.StringIO(text.lstrip("\ufeff")))
    unknown = [name for name in reader.fieldnames or () if name not in COST_COLUMNS]
    if "name" not in (reader.fieldnames or ()) or unknown:
        there = f"; {', '.join(unknown)} is not known" if unknown else ""
        raise GasketError(f"the table's first row names its columns: {', '.join(COST_COLUMNS)}{there}")
    return tuple(_from_row(row, number) for number, row in enumerate(reader, 2))


def _from_row(row: Mapping[str, str | None], number: int) -> Cost:
    def word(name: str) -> str:
        return from_cell((row.get(name) or "").strip())

    try:
        price = float(word("price")) if word("price") else None
        count = int(word("count") or 1)
    except ValueError as error:
        raise GasketError(f"row {number}: price and count are numbers with a decimal point ({error})") from error
    state = next((known for known in STATES if known == (word("state") or "new")), None)
    if not word("name") or state is None or count < 1 or (price is not None and not 0 <= price < 1e9):
        raise GasketError(
            f"row {number}: needs a name, a count of 1 or more, a price of 0 or more and a state of {', '.join(STATES)}"
        )
    return Cost(
        name=word("name"),
        group=word("group") or "parts",
        count=count,
        price=price,
        currency=word("currency"),
        state=state,
        instead_of=word("instead_of") or None,
        part=word("part") or None,
    )
