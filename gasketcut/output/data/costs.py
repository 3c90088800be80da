"""The parts list for a spreadsheet."""

from __future__ import annotations

from gasketcut.engine.topend.cost import Bill
from gasketcut.job.topend import COST_COLUMNS
from gasketcut.output.spreadsheet import Cell, csv_text


def costs_to_csv(bill: Bill) -> str:
    """The list with what each line comes to, readable again as a job's `cost_table`."""
    rows: list[tuple[Cell, ...]] = [COST_COLUMNS]
    for line in bill.lines:
        cost = line.cost
        each = None if line.amount is None else f"{line.amount / cost.count:.2f}"
        rows.append((cost.name, cost.group, cost.count, each, cost.currency, cost.state, cost.instead_of, cost.part))
    return csv_text(rows, "\n")
