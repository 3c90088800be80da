"""Hole punches by diameter, from `profiles/punches.toml`."""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.errors import GasketError
from gasketcut.length import parse_length
from gasketcut.toml.table import Table

_WIDEST = 200.0  # mm; our choice
_MOST_CLEAR = 5.0  # mm; a punch looser than this over its stud is a slip of the unit

Diameters = tuple[tuple[str, float], ...]
"""Punches of one set: as people write the diameter, and in mm."""


@dataclass(frozen=True, slots=True)
class Punches:
    """A metric and an inch set; a punched hole must be `clear` wider than its stud [mm]."""

    metric: Diameters = ()
    inch: Diameters = ()
    clear: float = 0.0

    @property
    def sets(self) -> tuple[Diameters, ...]:
        """The sets that hold a punch."""
        return tuple(one for one in (self.metric, self.inch) if one)


def read_punches(table: Table, known: Punches) -> Punches:
    """The known ones, with what the file says in their place: a set replaces the whole set."""
    inner = table.table("punch")
    table.close()
    if inner is None:
        return known
    clear = inner.number("clear", most=_MOST_CLEAR, above=False)
    found = Punches(
        metric=_diameters(inner, "metric", "mm") if "metric" in inner else known.metric,
        inch=_diameters(inner, "inch", None) if "inch" in inner else known.inch,
        clear=known.clear if clear is None else clear,
    )
    inner.close()
    return found


def _diameters(table: Table, key: str, units: str | None) -> Diameters:
    """An empty list says that there is no such set."""
    value = table.raw(key)
    if not isinstance(value, list):
        example = "[3.0, 5.5]" if units else '["1/4 in"]'
        table.fault(key, f"write a list of diameters, e.g. {key} = {example}")
        return ()
    found = []
    for number, one in enumerate(value):
        try:
            width = parse_length(str(one), units) if type(one) in (int, float, str) else 0.0
        except GasketError as error:
            table.faults.add((*table.path, key, number), str(error))
            continue
        if not 0 < width <= _WIDEST:
            message = f"{one!r} is out of range; write a diameter of more than 0, up to {_WIDEST:g} mm"
            table.faults.add((*table.path, key, number), message)
        found.append((one if isinstance(one, str) else f"{one:g} mm" if type(one) in (int, float) else "", width))
    return tuple(found)
