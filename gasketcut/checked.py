"""Values that check themselves, whether a file or a program made them.

Limits    what a number may be, said at the field: `diameter: Size`.
Checked   the base of the job's values. `problems` says all that is wrong as (key, what to write instead); a value with
          problems is refused when it is made, with the words that a job file would get.
"""

from __future__ import annotations

import inspect
import math
import sys
from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from types import SimpleNamespace
from typing import Annotated, Any, Literal, Self, get_args, get_origin, get_type_hints

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


Dimension = Literal["length", "angle", "number", "whole", "speed", "time"]


@dataclass(frozen=True, slots=True)
class Limits:
    """A number from `least` to `most`; each of the two is allowed itself or not.

    unit   of a bare number [mm for lengths]
    says   what to write instead, where that is more than the range
    """

    least: float = 0.0
    most: float = LARGEST
    with_least: bool = False
    with_most: bool = True
    dimension: Dimension = "length"
    unit: str = "mm"
    says: str = ""

    @property
    def is_signed(self) -> bool:
        """May it lie to either side of nothing?"""
        return self.least < 0

    def fault(self, value: float) -> str | None:
        """What is wrong with it, in the words of the job file, or None."""
        if self.dimension == "length":
            return self._length_fault(value)
        below = value < self.least or (value == self.least and not self.with_least)
        above = value > self.most or (value == self.most and not self.with_most)
        if math.isfinite(value) and not below and not above:
            return None
        if self.dimension == "whole":
            return f"{value:g} is not a whole number from {self.least:g} to {self.most:g}"
        unit = "" if self.dimension == "number" else f" {self.unit}"
        return f"{value:g}{unit} {self.says}" if self.says else f"{value:.12g} is out of range; write {self.wanted}"

    @property
    def wanted(self) -> str:
        """The range in words."""
        least = f"{self.least:g} or more" if self.with_least else f"more than {self.least:g}"
        return least + (f", up to {self.most:g}" if self.most < 1e9 else "")

    def _length_fault(self, value: float) -> str | None:
        if not math.isfinite(value):
            return f"{value} is not a length; write a number that was measured"
        if abs(value) > LARGEST:
            return f"{value:g} is over {LARGEST / 1000:g} m; check the number and its unit"
        if value < self.least:
            return f"{value:g} is below zero; a size is counted up from nothing"
        if value == self.least and not self.with_least:
            return "0 is no size; write the measured length"
        return f"{value:g} mm {self.says}" if value > self.most else None


Size = Annotated[float, Limits()]
"""Millimetres, more than nothing."""

Margin = Annotated[float, Limits(with_least=True)]
"""Millimetres, or nothing."""

Coordinate = Annotated[float, Limits(least=-math.inf, with_least=True)]
"""Millimetres to either side."""

Degrees = Annotated[float, Limits(-math.inf, math.inf, dimension="angle", unit="deg", says="is no angle")]
"""Any angle."""

Duration = Annotated[
    float,
    Limits(
        0, 360, with_most=False, dimension="angle", unit="deg", says="is no duration; write it between 0 and 360 deg"
    ),
]
"""Degrees of the crank for which a port stands open."""

FromTdc = Annotated[
    float,
    Limits(
        0, 180, with_most=False, dimension="angle", unit="deg",
        says="is past bottom dead centre; write it from TDC, between 0 and 180 deg",
    ),
]  # fmt: skip
"""Degrees of the crank from top dead centre, after it or before it."""

SquareMillimetres = Annotated[float, Limits(0, 1e6, dimension="number", unit="mm2")]

TorqueNm = Annotated[float, Limits(0, 500, dimension="number", unit="N m")]

TorqueCoefficient = Annotated[float, Limits(0, 0.5, dimension="number", unit="")]

Money = Annotated[float, Limits(0, 1e6, with_least=True, dimension="number", unit="")]

Count = Annotated[int, Limits(1, 1000, with_least=True, dimension="whole", unit="")]


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
            if isinstance(value, Measured) and not math.isfinite(value.sigma):
                yield name, f"{value.sigma} is not a length; write a number that was measured"
            number = value.value if isinstance(value, Measured) else value
            if isinstance(number, int | float) and (fault := limits.fault(float(number))):
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


_HINTS: dict[type, dict[str, Any]] = {}
_LIMITS: dict[type, dict[str, Limits]] = {}


def hints_of(cls: type) -> dict[str, Any]:
    """What stands at the fields of a dataclass, its bases' too. Texts are looked up once for each class that writes
    them: the kinds of part share two dozen fields."""
    found: dict[str, Any] = {}
    for base in reversed(cls.__mro__):
        if base not in _HINTS:
            own = inspect.get_annotations(base) if is_dataclass(base) else {}
            texts = {name: hint for name, hint in own.items() if not str(hint).startswith("ClassVar")}
            names = vars(sys.modules[base.__module__])
            _HINTS[base] = get_type_hints(SimpleNamespace(__annotations__=texts), names, include_extras=True)
        found |= _HINTS[base]
    return found


def _limits(cls: type) -> dict[str, Limits]:
    """The limits that stand at the fields of a class; `X | None` has those of X."""
    if cls in _LIMITS:
        return _LIMITS[cls]
    found: dict[str, Limits] = {}
    for name, hint in hints_of(cls).items():
        for one in (hint, *(get_args(hint) if get_origin(hint) is not Annotated else ())):
            if get_origin(one) is Annotated:
                found.update((name, extra) for extra in one.__metadata__ if isinstance(extra, Limits))
    return _LIMITS.setdefault(cls, found)
