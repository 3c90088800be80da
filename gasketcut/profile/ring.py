"""Piston rings: what others say of the end gap, from `profiles/ring.toml`."""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.toml.table import Table

_OF_BORE, _WIDEST = 0.05, 10.0  # mm per mm of bore, and mm: more is no end gap


@dataclass(frozen=True, slots=True)
class RingRule:
    """Least and most end gap, as a share of the bore [mm per mm] or [mm]; for whom, and from where."""

    says: str
    least: float
    most: float
    of_bore: bool
    source: str

    def range(self, bore: float) -> tuple[float, float]:
        """Least and most for that bore [mm]."""
        return (self.least * bore, self.most * bore) if self.of_bore else (self.least, self.most)


@dataclass(frozen=True, slots=True)
class RingRules:
    """The rules, and the end gap beyond which a ring is worn out [mm]."""

    rules: tuple[RingRule, ...] = ()
    worn: float = 0.0


def read_ring(table: Table, known: RingRules) -> RingRules:
    """The known ones, or the file's: a list of rules replaces the whole list."""
    rules = tuple(_rule(one) for one in table.tables("rules"))
    worn = table.number("worn", most=_WIDEST)
    if "rules" in table and table.raw("rules") == []:
        table.fault("rules", "holds no rule; leave it out to keep ours")
    table.close()
    return RingRules(rules or known.rules, worn or known.worn)


def _rule(table: Table) -> RingRule:
    of_bore = table.flag("of_bore", default=False)
    limit = _OF_BORE if of_bore else _WIDEST
    least, most = table.number("least", most=limit), table.number("most", most=limit)
    for key in ("least", "most"):
        if key not in table:
            table.missing(key, f"the end gap, e.g. {key} = 0.2, or as a share: {key} = 0.004, of_bore = true")
    if least and most and least > most:
        table.fault("most", f"{most:g} is below least = {least:g}; write the range as least and most")
    says = table.text("says")
    if says is None and "says" not in table:
        table.missing("says", 'whom the rule is for, e.g. says = "my engine\'s manual"')
    rule = RingRule(says or "", least or 0.0, most or 0.0, of_bore, table.text("source") or "not named")
    table.close()
    return rule
