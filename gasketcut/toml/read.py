"""A table read by the descriptions of its keys: what `keys_of` a value's class says is asked for, no more and no less.

read    a whole value; `own` fields are those that a section works out by itself
given   the values of a table by field, without those that it does not give
asked   a table opened, so that a key which nobody describes is unknown
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from gasketcut.checked import Checked, Limits
from gasketcut.described import Described, Form, keys_of
from gasketcut.errors import GasketError
from gasketcut.length import Measured, is_length, parse_angle, parse_length
from gasketcut.toml.table import Table

C = TypeVar("C", bound=Checked)

_STAND_INS: Mapping[str, Any] = {"text": "", "word": "", "measured": Measured(1.0), "whole": 1}

_MINUTE = {"min": 1.0, "s": 60.0}


def read(cls: type[C], table: Table, /, **own: Any) -> C:
    """The value of the table.

    own : fields that the section has worked out itself
    """
    return table.built(cls, **{**given(cls, table, *own), **own})


def given(cls: type, table: Table, /, *but: str) -> dict[str, Any]:
    """What the table says, by field; a required key that is not there is lacking.

    but : fields that are read elsewhere
    """
    found: dict[str, Any] = {}
    for each in keys_of(cls):
        if any(one in but for one in each.fields) or each.form.takes not in _GETTERS:
            table.raw(each.name)
            continue
        value = read_key(table, each)
        if value is None and each.is_required:
            value = _stand_in(each)
        if value is None:
            continue
        if len(each.fields) > 1:
            found.update(zip(each.fields, value, strict=True))
        else:
            found[each.fields[0]] = value
    return found


def read_key(table: Table, each: Described) -> Any:
    """The value of one key, or None where it is absent or at fault."""
    if table.raw(each.name) is None and each.form.takes in ("length", "measured") and each.is_required:
        table.missing(each.name, f"a length, e.g. {each.name} = {table.example}")
    elif table.raw(each.name) is None:
        if each.is_required:
            table.missing(each.name, f"{each.key.what}, e.g. {each.name} = {each.key.example}")
    elif each.form.takes == "angle" and "travel" in each.key.agrees and is_length(str(table.raw(each.name))):
        length = str(table.raw(each.name)).strip()
        table.fault(each.name, f'{length!r} is a length; write travel = "{length}" in place of {each.name}')
    else:
        return _GETTERS[each.form.takes](table, each.name, each.form)
    return None


def _stand_in(each: Described) -> Any:
    """To go on with: it never reaches a job, as a table that lacks something is left out."""
    one = _STAND_INS.get(each.form.takes, 1.0)
    return (one,) * len(each.fields) if len(each.fields) > 1 else one


def _limits(form: Form) -> Limits:
    assert form.limits is not None, form
    return form.limits


def _within(table: Table, key: str, value: float | None, form: Form) -> float | None:
    """The value, or None and a fault where it is out of its range."""
    if value is not None and (fault := _limits(form).fault(value)):
        table.fault(key, fault)
        return None
    return value


def _length(table: Table, key: str, form: Form) -> float | None:
    limits = _limits(form)
    return _within(table, key, table.length(key, zero=limits.with_least, signed=limits.is_signed), form)


def _measured(table: Table, key: str, form: Form) -> Measured:
    limits = _limits(form)
    return table.measured(key, zero=limits.with_least, signed=limits.is_signed)


def _number(table: Table, key: str, form: Form) -> float | None:
    limits = _limits(form)
    return table.number(key, least=limits.least, most=limits.most, above=not limits.with_least)


def _whole(table: Table, key: str, form: Form) -> int:
    limits = _limits(form)
    return table.whole(key, int(limits.least), least=int(limits.least), most=int(limits.most))


def _angle(table: Table, key: str, form: Form) -> float | None:
    return _within(table, key, table.angle(key), form)


def _or_range(table: Table, key: str, form: Form) -> tuple[float, float] | None:
    """A figure, or least and most in brackets."""
    value, as_angle = table.raw(key), form.takes == "angle or range"
    many = value if isinstance(value, list) else [value]
    if len(many) not in (1, 2) or (isinstance(value, list) and len(many) == 1):
        table.fault(key, f"write a figure, or least and most in brackets, e.g. {key} = [least, most]")
        return None
    found = [_angle_or_degrees(table, key, one) if as_angle else _plain_number(table, key, one) for one in many]
    return None if None in found else (found[0], found[-1])  # type: ignore[return-value]  # None is not among them


def _angle_or_degrees(table: Table, key: str, value: object) -> float | None:
    """Where only degrees can be meant, a bare number is degrees."""
    if isinstance(value, str):
        try:
            return parse_angle(value)
        except GasketError as error:
            table.fault(key, str(error))
            return None
    return _plain_number(table, key, value)


def _plain_number(table: Table, key: str, value: object) -> float | None:
    plain = isinstance(value, int | float) and not isinstance(value, bool)
    if not plain or not -1e12 < value < 1e12:  # type: ignore[operator]  # it is a number there
        table.fault(key, f"{value!r} is not a plain number; write e.g. {key} = 10.5, or [10, 11]")
        return None
    return float(value)  # type: ignore[arg-type]


def _lengths(table: Table, key: str, form: Form) -> tuple[float, ...] | None:
    return table.lengths(key, form.counts, signed=_limits(form).is_signed)


def _text(table: Table, key: str, form: Form) -> str | None:
    return table.text(key, longest=form.longest)


def _word(table: Table, key: str, form: Form) -> str:
    return table.word(key, form.words)


def _date(table: Table, key: str, form: Form) -> str | None:  # noqa: ARG001  as all getters
    date = table.text(key)
    if date is not None and not re.fullmatch(r"\d{4}-\d{2}-\d{2}", date):
        table.fault(key, f"{date!r} is not a date; write year-month-day, e.g. 2026-03-09")
        return None
    return date


def _texts(table: Table, key: str, form: Form) -> tuple[str, ...]:
    found = table.texts(key)
    if found and form.counts and len(found) not in form.counts:
        table.fault(key, f"write {' or '.join(map(str, form.counts))} names")
    return found


def _switch(table: Table, key: str, form: Form) -> Any:
    """True stands for what the profile says, a length for itself."""
    value = table.raw(key)
    if isinstance(value, bool):
        return "profile" if value else None
    return _length(table, key, form) if form.takes == "length or flag" else _whole(table, key, form)


def _kerf(table: Table, key: str, form: Form) -> Any:
    value = table.raw(key)
    if value is False:
        return None
    if value is True:
        table.fault(key, f'write {key} = "profile" for the cutter\'s usual {key}, or the one you measured')
        return None
    if isinstance(value, str) and not any(letter.isdigit() for letter in value):
        return "profile" if table.word(key, ("profile",)) == value else None
    return _length(table, key, form)


def _speed(table: Table, key: str, form: Form) -> float | None:
    """`"600 mm/min"`: with a unit, since a bare number might be inches to somebody."""
    value, most = table.raw(key), _limits(form).most
    if isinstance(value, int | float) and not isinstance(value, bool):
        table.fault(key, f'{value} has no unit; write {key} = "{value:g} mm/min"')
        return None
    if not isinstance(value, str):
        table.fault(key, f'write a speed along the cut, e.g. {key} = "600 mm/min"')
        return None
    length, _, time = value.partition("/")
    if time.strip() not in _MINUTE:
        table.fault(key, f'{value!r} is no speed; write e.g. {key} = "600 mm/min" or "10 mm/s"')
        return None
    try:
        speed = parse_length(length.strip()) * _MINUTE[time.strip()]
    except GasketError as error:
        table.fault(key, f'{error}; write e.g. {key} = "600 mm/min"')
        return None
    if not 0 < speed <= most:
        table.fault(key, f"{speed:g} mm/min is out of range; write more than 0, up to {most:g} mm/min")
        return None
    return speed


def _time(table: Table, key: str, form: Form) -> float | None:
    """`"0.5 s"`."""
    value, most = table.raw(key), _limits(form).most
    if isinstance(value, int | float) and not isinstance(value, bool):
        table.fault(key, f'{value} has no unit; write {key} = "{value:g} s"')
        return None
    try:
        number, unit = value.split()
        seconds = float(number) if unit == "s" and number.replace(".", "", 1).isdecimal() else -1.0
    except (AttributeError, ValueError):
        seconds = -1.0
    if not 0 <= seconds <= most:
        table.fault(key, f'{value!r} is no time for a start; write 0 to {most:g} s, e.g. {key} = "0.5 s"')
        return None
    return seconds


_GETTERS: Mapping[str, Callable[[Table, str, Form], Any]] = {
    "length": _length,
    "measured": _measured,
    "angle": _angle,
    "number": _number,
    "whole": _whole,
    "speed": _speed,
    "time": _time,
    "text": _text,
    "date": _date,
    "word": _word,
    "flag": lambda table, key, _: table.flag(key, default=False),
    "length or flag": _switch,
    "whole or flag": _switch,
    "angle or range": _or_range,
    "number or range": _or_range,
    "kerf": _kerf,
    "place": lambda table, key, _: table.point(key),
    "lengths": _lengths,
    "texts": _texts,
}
"""Forms that need no more than the table; the others a section reads itself."""
