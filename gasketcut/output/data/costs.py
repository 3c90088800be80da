"""The parts list for a spreadsheet."""

from __future__ import annotations

import csv
import io

from gasketcut.engine.topend.cost import Bill
from gasketcut.job.topend import COST_COLUMNS


def costs_to_csv(bill: Bill) -> str:
    """The list with what each line comes to, readable again as a job's `cost_table`."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(COST_COLUMNS)
    for line in bill.lines:
        cost = line.cost
        each = "" if line.amount is None else f"{line.amount / cost.count:.2f}"
        writer.writerow([cost.name, cost.group, cost.count, each, cost.currency, cost.state, cost.instead_of or "",
                         cost.part or ""])  # fmt: skip
    return stream.getvalue()
