"""Values that check themselves, whether a file or a program made them.

Limits    what a number may be, said at the field: `diameter: Size`.
Checked   the base of the job's values. `problems` says all that is wrong as (key, what to write instead); a value with
          problems is refused when it is made, with the words that a job file would get.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, fields
from typing import Annotated, Any, Self, get_args, get_origin, get_type_hints

from gasketcut.errors import Fault, JobError
from gasketcut.length import Measured
from gasketcut.tolerances import LARGEST

Path = tuple[str | int, ...]
"""Keys and array positions (from 0) down to a value, e.g. ("part", 1, "hole", 0, "diameter")."""

Problem = tuple[str | Path | None, str]
"""The key, or the way to it, at which it stands, or None for the value as a whole; and what to write instead."""


def dotted(path: Path) -> str:
    """As messages name a key; array positions are shown from 1.

    >>> dotted(("part", 0, "stock"))
    'part.1.stock'
    """
    return ".".join(str(step + 1) if isinstance(step, int) else step for step in path)


@dataclass(frozen=True, slots=True)
class Limits:
    """A length [mm] from `least`, which itself is allowed or not, up to LARGEST."""

    least: float = 0.0
    with_least: bool = False

    def fault(self, value: float) -> str | None:
        """What is wrong with it, in the words of the job file, or None."""
        if not math.isfinite(value):
            return f"{value} is not a length; write a number that was measured"
        if abs(value) > LARGEST:
            return f"{value:g} is over {LARGEST / 1000:g} m; check the number and its unit"
        if value < self.least:
            return f"{value:g} is below zero; a size is counted up from nothing"
        if value == self.least and not self.with_least:
            return "0 is no size; write the measured length"
        return None


Size = Annotated[float, Limits()]
"""Millimetres, more than nothing."""

Margin = Annotated[float, Limits(with_least=True)]
"""Millimetres, or nothing."""

Coordinate = Annotated[float, Limits(least=-math.inf, with_least=True)]
"""Millimetres to either side."""


class Checked:
    """Base of a frozen dataclass that refuses what cannot be; raise `JobError` with every problem at once."""

    __slots__ = ()

    def __post_init__(self) -> None:
        if found := tuple(self.problems()):
            faults = tuple(
                Fault(0, key if isinstance(key, str) else dotted(key or ()), message) for key, message in found
            )
            raise JobError(self.called(), faults)

    def called(self) -> str:
        """How messages name the value: its name, if it has one."""
        name = getattr(self, "name", None)
        return f"{type(self).__name__} '{name}'" if isinstance(name, str) and name else type(self).__name__

    def problems(self) -> Iterator[Problem]:
        """Everything that is wrong; a kind of value adds its own rules."""
        for name, limits in _limits(type(self)).items():
            value = getattr(self, name)
            if isinstance(value, int | float) and (fault := limits.fault(float(value))):
                yield name, fault
        for each in fields(self):  # type: ignore[arg-type]  # every subclass is a dataclass
            if each.name not in _limits(type(self)) and not _all_finite(getattr(self, each.name)):
                yield each.name, "holds what is no number; write numbers that were measured"

    @classmethod
    def unchecked(cls, **values: Any) -> Self:
        """A value whose faults have been reported already: it serves to look for further ones and is never used."""
        made = object.__new__(cls)
        for each in fields(cls):  # type: ignore[arg-type]  # every subclass is a dataclass
            default = each.default_factory() if callable(each.default_factory) else each.default
            object.__setattr__(made, each.name, values.get(each.name, default))
        return made


def _all_finite(value: object) -> bool:
    if isinstance(value, float):
        return math.isfinite(value)
    if isinstance(value, Measured):
        return math.isfinite(value.value) and math.isfinite(value.sigma)
    return all(_all_finite(one) for one in value) if isinstance(value, tuple) else True


_LIMITS: dict[type, dict[str, Limits]] = {}


def _limits(cls: type) -> dict[str, Limits]:
    """The limits that stand at the fields of a class; `X | None` has those of X."""
    if cls in _LIMITS:
        return _LIMITS[cls]
    found: dict[str, Limits] = {}
    for name, hint in get_type_hints(cls, include_extras=True).items():
        for one in (hint, *(get_args(hint) if get_origin(hint) is not Annotated else ())):
            if get_origin(one) is Annotated:
                found.update((name, extra) for extra in one.__metadata__ if isinstance(extra, Limits))
    return _LIMITS.setdefault(cls, found)
