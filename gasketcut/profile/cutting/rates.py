"""Rates: what an hour of each process and a whole sheet cost, from `profiles/rates.toml`."""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.toml.table import Table

MOST = 1e6
"""Of any currency, for an hour or a sheet. Our choice."""


@dataclass(frozen=True, slots=True)
class Rates:
    """By name of the process and of the sheet, all in one currency."""

    currency: str | None = None
    hours: tuple[tuple[str, float], ...] = ()
    sheets: tuple[tuple[str, float], ...] = ()

    def hour(self, process: str) -> float | None:
        """Of the machine."""
        return dict(self.hours).get(process)

    def sheet(self, name: str) -> float | None:
        """Of one whole sheet."""
        return dict(self.sheets).get(name)


def read_rates(table: Table, known: Rates) -> Rates:
    """The known ones, with what the file says in their place; none of them where it names another currency."""
    currency = table.text("currency", longest=12) or known.currency
    if known.currency is not None and currency != known.currency:
        known = Rates()
    found = Rates(currency, _with(table, "hour", known.hours), _with(table, "sheet", known.sheets))
    table.close()
    return found


def _with(table: Table, name: str, known: tuple[tuple[str, float], ...]) -> tuple[tuple[str, float], ...]:
    found, inner = dict(known), table.table(name)
    if inner is not None:
        for key in inner.names:
            rate = inner.number(key, most=MOST, above=False)
            if rate is not None:
                found[key] = rate
        inner.close()
    return tuple(found.items())
