"""One table of a job file or a profile while it is being read.

Every getter returns a value that is safe to go on with; whatever was wrong is noted in `Faults` instead of raised, so
that a file is checked to its end and the user sees all faults at once.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import Any, TypeVar

from gasketcut.checked import Checked, Path
from gasketcut.errors import GasketError, Lack
from gasketcut.length import Measured, is_length, length_of, parse_angle, parse_length, parse_measured
from gasketcut.tolerances import LARGEST
from gasketcut.toml.faults import Faults, meant
from gasketcut.toml.slips import split_by_comma

C = TypeVar("C", bound=Checked)

NO_NAMES: Mapping[str, str] = MappingProxyType({})
_STAND_IN = 1.0  # never reaches a Job: a reader with faults raises


class Table:
    """A TOML table, its path, and the unit of bare numbers (None: there is none)."""

    def __init__(self, data: dict[str, Any], path: Path, faults: Faults, units: str | None) -> None:
        self._data, self.path, self.faults, self._units = data, path, faults, units
        self._asked: list[str] = []

    def __contains__(self, key: str) -> bool:
        return key in self._data

    def fault(self, key: str | None, message: str, *, at_key: bool = False) -> None:
        """Note a fault of this table, or of what one of its keys holds, or of the key itself."""
        self.faults.add(self.path if key is None else (*self.path, key), message, at_key=at_key)

    @property
    def line(self) -> int:
        """The line on which the table starts."""
        return self.faults.line(self.path)

    def line_of(self, key: str) -> int:
        """The line of a key, else of the table."""
        return self.faults.line((*self.path, key))

    def built(self, kind: type[C], /, **values: Any) -> C:
        """The value made of what was read; what its own rules say is noted, unless its keys are at fault already."""
        made = kind.unchecked(**values)
        for key, message in made.problems():
            path = (*self.path, *((key,) if isinstance(key, str) else key or ()))
            # What seems to be lacking may be there and not have been understood.
            if not self.faults.has_below(self.path if isinstance(message, Lack) else path):
                self.faults.add(path, message)
        return made

    @property
    def is_whole(self) -> bool:
        """Nothing in it was found wrong, or lacking, so far."""
        return not self.faults.has_below(self.path)

    def close(self) -> None:
        """Call when every key has been asked for: what is left over is unknown."""
        for key in self._data:
            if key not in self._asked:
                self.fault(key, f"unknown key; {meant(key, sorted(self._asked), 'known here: ')}", at_key=True)

    def raw(self, key: str) -> Any:
        """The value as TOML gave it, or None; the key counts as known from here on."""
        if key not in self._asked:
            self._asked.append(key)
        return self._data.get(key)

    # -- texts -------------------------------------------------------------------------------------------------

    def text(self, key: str, default: str | None = None, longest: int = 200) -> str | None:
        value = self.raw(key)
        if value is None:
            return default
        if not isinstance(value, str) or not value.strip():
            self.fault(key, f'write a text in quotes, e.g. {key} = "..."')
        elif len(value) > longest or not value.isprintable():
            self.fault(key, f"write a text of one line, at most {longest} letters long")
        else:
            return value.strip()
        return default

    def word(self, key: str, words: Sequence[str], default: str | None = None, *,
             also_called: Mapping[str, str] = NO_NAMES) -> str:  # fmt: skip
        """One of the words; required when there is no default.

        also_called : other names by which a person may know them, for the message
        """
        value = self.raw(key)
        if value is None and default is not None:
            return default
        if value is None:
            self.missing(key, f"one of {', '.join(words)}")
        elif str(value).casefold() in also_called:
            self.fault(key, f'{value!r} is called {key} = "{also_called[str(value).casefold()]}" here')
        elif value not in words:
            self.fault(key, f"{value!r} is not known; {meant(str(value), words, cutoff=0.5)}")
        else:
            return str(value)
        return default or words[0]

    def words(self, key: str, words: Sequence[str]) -> tuple[str, ...]:
        """A list of such words; empty when the key is absent."""
        value = self.raw(key)
        if value is None:
            return ()
        if not isinstance(value, list) or not value or not all(word in words for word in value):
            self.fault(key, f"write a list of {', '.join(words)}")
            return ()
        return tuple(value)

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of texts; empty when the key is absent."""
        value = self.raw(key)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(item, str) and item.strip() for item in value):
            self.fault(key, f'write a list of names in quotes, e.g. {key} = ["A", "B"]')
            return ()
        return tuple(item.strip() for item in value)

    @property
    def names(self) -> tuple[str, ...]:
        """The names in a table whose keys are the user's own."""
        return tuple(self._data)

    def flag(self, key: str, *, default: bool) -> bool:
        value = self.raw(key)
        if value is None:
            return default
        if not isinstance(value, bool):
            self.fault(key, f"{value!r} is not a yes or no; write true or false")
            return default
        return value

    # -- numbers -----------------------------------------------------------------------------------------------

    def number(self, key: str, *, least: float = 0.0, most: float = math.inf, above: bool = True) -> float | None:
        """A plain number without a unit, above (or from) `least` and up to `most`."""
        value = self.raw(key)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int | float):
            self.fault(key, f"{value!r} is not a plain number; write e.g. {key} = 10.5")
        elif isinstance(value, int) and abs(value) > 10**12:
            self.fault(key, "a number this long is out of range; check it")
        elif not math.isfinite(value) or value > most or value < least or (above and value == least):
            limit = f"more than {least:g}" if above else f"{least:g} or more"
            self.fault(
                key, f"{value:.12g} is out of range; write {limit}" + (f", up to {most:g}" if most < 1e9 else "")
            )
        else:
            return float(value)
        return None

    def numbers(self, key: str, count: int, *, least: float = 0.0, most: float = math.inf) -> tuple[float, ...] | None:
        """So many plain numbers from `least` to `most`, or None where the key is absent or not that."""
        value = self.raw(key)
        if value is None:
            return None
        plain = isinstance(value, list) and all(type(one) in (int, float) for one in value)
        if not plain or len(value) != count or not all(least <= one <= most for one in value):
            self.fault(key, f"{value!r} is not known; write {count} numbers from {least:g} to {most:g} in brackets")
            return None
        return tuple(float(one) for one in value)

    def whole(self, key: str, default: int, *, least: int = 1, most: int = 1000) -> int:
        value = self.raw(key)
        if value is None:
            return default
        if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
            self.fault(key, f"{value!r} is not a whole number from {least} to {most}")
            return default
        return value

    def length(self, key: str, default: float | None = None, *, zero: bool = False, signed: bool = False) -> float:
        """A length in mm; required when there is no default."""
        value = self.raw(key)
        if value is None:
            if default is None:
                self.missing(key, f"a length, e.g. {key} = {self.example}")
            return _STAND_IN if default is None else default
        return self._length(value, (*self.path, key), zero=zero, signed=signed)

    def length_or_none(self, key: str, *, zero: bool = False, signed: bool = False) -> float | None:
        """A length in mm, or None when the key is absent."""
        return self.length(key, zero=zero, signed=signed) if self.raw(key) is not None else None

    def measured(self, key: str, *, zero: bool = False, signed: bool = False) -> Measured:
        """A length with its uncertainty; required."""
        value = self.raw(key)
        if value is None:
            self.missing(key, f"a length, e.g. {key} = {self.example}")
            return Measured(_STAND_IN)
        path = (*self.path, key)
        if not isinstance(value, str):
            return Measured(self._length(value, path, zero=zero, signed=signed))
        try:
            found = parse_measured(value, self._units)
        except GasketError as error:
            self.faults.add(path, str(error))
            return Measured(_STAND_IN)
        return Measured(self._in_range(found.value, value, path, zero=zero, signed=signed), found.sigma)

    def lengths(self, key: str, counts: Sequence[int], *, signed: bool = False) -> tuple[float, ...] | None:
        """A list of lengths with one of the allowed counts, or None when the key is absent."""
        value = self.raw(key)
        if value is None:
            return None
        return self._lengths(value, (*self.path, key), counts, signed=signed)

    def point(self, key: str, default: tuple[float, float] | None = None) -> tuple[float, float]:
        """A place [x, y]; required when there is no default."""
        value = self.lengths(key, (2,), signed=True)
        if value is None and default is None:
            self.missing(key, f"a place, e.g. {key} = [12.0, -8.5]")
        return (value[0], value[1]) if value else default or (0.0, 0.0)

    def points(self, key: str, least: int) -> tuple[tuple[float, float], ...]:
        """A list of places; required."""
        value = self.raw(key)
        path = (*self.path, key)
        if not isinstance(value, list) or len(value) < least or not any(isinstance(one, list) for one in value):
            commas = split_by_comma(self.faults.written(path)) if isinstance(value, list) else ""
            self.fault(key, f"write a list of at least {least} places, e.g. [[0, 0], [20, 0], [20, 10]]{commas}")
            return ((0.0, 0.0), (1.0, 0.0), (0.0, 1.0))
        found = [self._lengths(item, (*path, number), (2,), signed=True) for number, item in enumerate(value)]
        return tuple((pair[0], pair[1]) if pair else (float(number), 0.0) for number, pair in enumerate(found))

    def angle(self, key: str, default: float | None = None) -> float | None:
        """An angle in degrees."""
        value = self.raw(key)
        if value is None:
            return default
        if isinstance(value, int | float) and not isinstance(value, bool):
            self.fault(key, f'{value} has no unit; write {key} = "{value:g} deg"')
        elif not isinstance(value, str):
            self.fault(key, f'write an angle, e.g. {key} = "30 deg"')
        else:
            try:
                return parse_angle(value)
            except GasketError as error:
                self.fault(key, str(error))
        return default

    # -- tables ------------------------------------------------------------------------------------------------

    def table(self, key: str, bare: str | None = None) -> Table | None:
        """The table inside, or None where there is none.

        bare : the key in it for which a bare number most likely stands, for the message
        """
        value = self.raw(key)
        if value is None:
            return None
        if not isinstance(value, dict):
            written = self.faults.written((*self.path, key))
            plain = bare and is_length(written.strip("\"'"), "mm")
            wanted = f"{key} = {{ {bare} = {written} }}" if plain else f"a table, e.g. [{key}] or {key} = {{ ... }}"
            self.fault(key, f"write {wanted}")
            return None
        return Table(value, (*self.path, key), self.faults, self._units)

    def tables(self, key: str) -> list[Table]:
        """A list of tables; a single table counts as a list of one."""
        if (value := self.raw(key)) is None:
            return []
        if isinstance(value, dict):
            return [Table(value, (*self.path, key), self.faults, self._units)]
        if not isinstance(value, list) or not all(isinstance(item, dict) for item in value):
            name = ".".join(str(step) for step in (*self.path, key) if isinstance(step, str))
            self.fault(key, f"write [[{name}]] with its keys below, once for each")
            return []
        return [Table(item, (*self.path, key, at), self.faults, self._units) for at, item in enumerate(value)]

    def named_tables(self, key: str) -> Iterator[tuple[str, Table]]:
        """The tables inside a table, by name."""
        outer = self.table(key)
        for name in outer._data if outer else ():
            inner = outer.table(name) if outer else None
            if inner is not None:
                yield name, inner

    def missing(self, key: str, wanted: str) -> None:
        """Note that a required key is not there; one that is there and wrong has been named already."""
        if key in self:
            return
        self.fault(None, Lack(key, f"'{key}' is missing; write {wanted}"))

    # -- inside ------------------------------------------------------------------------------------------------

    @property
    def example(self) -> str:
        """A length as this file may write one."""
        return {"mm": "4.0", "in": "0.157"}.get(self._units or "", '"4 mm"')

    def _lengths(self, value: object, path: Path, counts: Sequence[int], *, signed: bool) -> tuple[float, ...] | None:
        if not isinstance(value, list) or len(value) not in counts:
            commas = split_by_comma(self.faults.written(path)) if isinstance(value, list) else ""
            self.faults.add(path, f"write a list of {' or '.join(map(str, counts))} lengths{commas}")
            return None
        return tuple(
            self._length(item, (*path, number), zero=signed, signed=signed) for number, item in enumerate(value)
        )

    def _length(self, value: object, path: Path, *, zero: bool, signed: bool = False) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float | str):
            self.faults.add(path, f"{value!r} is not a length; write e.g. {self.example}")
            return _STAND_IN
        if not isinstance(value, str):
            if not math.isfinite(value if isinstance(value, float) else min(abs(value), 10**12)):
                self.faults.add(path, f"{value} is not a length; write a number that was measured")
                return _STAND_IN
            if abs(value) > 10**12:
                self.faults.add(path, f"a number this long is over {LARGEST / 1000:g} m; check it and its unit")
                return _STAND_IN
            if self._units is None:
                wanted = f'write "{value} mm" (or "{value} in"), or units = "mm" at the top'
                self.faults.add(path, f"{value} has no unit; {wanted}")
                return _STAND_IN
            return self._in_range(length_of(value, self._units), value, path, zero=zero, signed=signed)
        if "+-" in value or "±" in value:
            self.faults.add(path, "'+-' has no use here; write the length alone")
            return _STAND_IN
        try:
            return self._in_range(parse_length(value, self._units), value, path, zero=zero, signed=signed)
        except GasketError as error:
            self.faults.add(path, str(error))
            return _STAND_IN

    def _in_range(self, mm: float, value: object, path: Path, *, zero: bool, signed: bool) -> float:
        if abs(mm) > LARGEST:
            self.faults.add(path, f"{value} is over {LARGEST / 1000:g} m; check the number and its unit")
        elif mm < 0 and not signed:
            self.faults.add(path, f"{value} is below zero; a size is counted up from nothing")
        elif mm == 0 and not (zero or signed):
            self.faults.add(path, "0 is no size; write the measured length")
        else:
            return mm
        return _STAND_IN
