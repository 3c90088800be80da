"""Muffler outlets: marks that people posted, and a fire rule for the screen, from `profiles/outlet.toml`."""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.toml.table import Table

_PERCENT = 10_000.0  # of the port's window
_WEAVE = 10.0  # mm


@dataclass(frozen=True, slots=True)
class Mark:
    """A share of the port's window [%] at which somebody noted something."""

    percent: float
    says: str
    source: str


@dataclass(frozen=True, slots=True)
class ScreenRule:
    """Widest opening, thinnest wire [mm], open area against the exhaust port's [%]; `says` whose rule, and for whom."""

    opening: float = 0.0
    wire: float = 0.0
    open_percent: float = 0.0
    says: str = "the rule"


@dataclass(frozen=True, slots=True)
class OutletRules:
    """The marks, least first, and the screen's rule."""

    marks: tuple[Mark, ...] = ()
    screen: ScreenRule = ScreenRule()


def read_outlet(table: Table, known: OutletRules) -> OutletRules:
    """The known ones, or the file's: a list of marks replaces the whole list."""
    marks = tuple(sorted((_mark(one) for one in table.tables("marks")), key=lambda mark: mark.percent))
    screen, rule = table.table("screen"), known.screen
    if screen is not None:
        rule = ScreenRule(
            screen.number("opening", most=_WEAVE) or rule.opening,
            screen.number("wire", most=_WEAVE) or rule.wire,
            screen.number("open_percent", most=_PERCENT) or rule.open_percent,
            screen.text("says") or rule.says,
        )
        screen.close()
    found = OutletRules(marks if "marks" in table else known.marks, rule)
    table.close()
    return found


def _mark(table: Table) -> Mark:
    percent, says = table.number("percent", most=_PERCENT), table.text("says")
    if "percent" not in table:
        table.missing("percent", "the share of the port's window, e.g. percent = 80.0")
    if "says" not in table:
        table.missing("says", 'what was noted there, e.g. says = "mild"')
    mark = Mark(percent or 0.0, says or "", table.text("source") or "not named")
    table.close()
    return mark
