"""Ports: time-areas that others published, from `profiles/ports.toml`."""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.toml.table import Table

_S_PER_M = 100.0  # of one s cm2/cc

_MOST = 0.01  # s cm2/cc: fifty times what was published is a slip of the point

KINDS = ("exhaust", "transfer", "piston-port")
"""Of ports that the piston opens, as a job names them."""


@dataclass(frozen=True, slots=True)
class TimeAreaRange:
    """Specific time-area that was published for all ports of a kind together [s/m]: for which engines, and where."""

    kind: str
    low: float
    high: float
    engines: str
    source: str

    @property
    def middle(self) -> float:
        """[s/m]"""
        return (self.low + self.high) / 2


@dataclass(frozen=True, slots=True)
class PortRules:
    """One range a kind."""

    time_areas: tuple[TimeAreaRange, ...] = ()


def read_ports(table: Table, known: PortRules) -> PortRules:
    """The known ones, with the file's in place of those of the same kind."""
    by_kind = {one.kind: one for one in known.time_areas}
    for one in table.tables("time_area"):
        found = _range(one)
        by_kind[found.kind] = found
    table.close()
    return PortRules(tuple(by_kind.values()))


def _range(table: Table) -> TimeAreaRange:
    """As handbooks have it, in s cm2/cc."""
    kind, engines = table.word("kind", KINDS), table.text("engines")
    low, high = table.number("low", most=_MOST), table.number("high", most=_MOST)
    for name, example in (("low", "0.00014"), ("high", "0.00015")):
        if name not in table:
            table.missing(name, f"it, e.g. {name} = {example}")
    if low and high and low > high:
        table.fault("high", f"{high:g} is below low = {low:g}; write the range as low and high")
    found = TimeAreaRange(
        kind or KINDS[0],
        (low or 0.0) * _S_PER_M,
        (high or 0.0) * _S_PER_M,
        engines or "engines that were not named",
        table.text("source") or "not named",
    )
    table.close()
    return found
