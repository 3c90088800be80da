"""The parts list with its totals, and what costs less.

Line         count times price; the price of a part that is cut by the job itself comes from its quote.
Alternative  lines that say `instead_of` the same thing stand side by side; only the cheapest counts in the total.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from gasketcut.errors import GasketError
from gasketcut.job.topend import Cost


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the list and what it comes to; None without a price. `counts`: is it in the total?"""

    cost: Cost
    amount: float | None
    counts: bool


@dataclass(frozen=True, slots=True)
class Bill:
    """All lines, the total of each group and of all, what was left open, and the currency ("" if none was named)."""

    lines: tuple[Line, ...]
    groups: tuple[tuple[str, float], ...]
    total: float
    open: tuple[str, ...]
    currency: str


def bill_of(costs: Iterable[Cost], quotes: Mapping[str, float] = {}) -> Bill:
    """The list summed up; `quotes` are what parts of the job cost to make, each, by name.

    Raise `GasketError` for more than one currency.
    """
    costs = tuple(costs)
    currencies = sorted({cost.currency for cost in costs if cost.currency})
    if len(currencies) > 1:
        raise GasketError(
            f"[[cost]] mixes {' and '.join(currencies)}: there is no rate to be trusted here; write all prices in one"
        )
    amounts = [_amount(cost, quotes) for cost in costs]
    cheapest: dict[str, int] = {}
    for number, (cost, amount) in enumerate(zip(costs, amounts, strict=True)):
        if cost.instead_of is None or amount is None:
            continue
        best = cheapest.get(cost.instead_of)
        if best is None or amount < (amounts[best] or 0.0):
            cheapest[cost.instead_of] = number
    lines = []
    for number, (cost, amount) in enumerate(zip(costs, amounts, strict=True)):
        counts = amount is not None and (cost.instead_of is None or cheapest.get(cost.instead_of) == number)
        lines.append(Line(cost, amount, counts))
    groups: dict[str, float] = {}
    for line in lines:
        if line.counts:
            groups[line.cost.group] = groups.get(line.cost.group, 0.0) + (line.amount or 0.0)
    return Bill(
        lines=tuple(lines),
        groups=tuple(groups.items()),
        total=sum(groups.values()),
        open=tuple(line.cost.name for line in lines if line.amount is None),
        currency=currencies[0] if currencies else "",
    )


def _amount(cost: Cost, quotes: Mapping[str, float]) -> float | None:
    price = cost.price
    if price is None and cost.part is not None:
        price = quotes.get(cost.part)
    return None if price is None else price * cost.count
