"""The figures of a value, one by one: what lies between two states of an engine is a state of differences."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

Value = TypeVar("Value")


def figure_by_figure(what: Callable[..., float], *values: Value) -> Value:
    """A value of the same make whose every number is `what` of the numbers at its place in each of the values.

    Where one of them has no number there is none; what is no number is the first one's.

    >>> figure_by_figure(lambda a, b: b - a, {"exhaust": (1.0, 2.0)}, {"exhaust": (1.5, 4.0)})
    {'exhaust': (0.5, 2.0)}
    """
    return _figures(what, values)  # type: ignore[no-any-return]


def _figures(what: Callable[..., float], values: tuple[Any, ...]) -> Any:
    first = values[0]
    if any(one is None for one in values):
        return None
    if isinstance(first, int | float) and not isinstance(first, bool):
        return what(*values)
    if isinstance(first, dict):
        shared = [name for name in first if all(name in one for one in values)]
        return {name: _figures(what, tuple(one[name] for one in values)) for name in shared}
    if isinstance(first, tuple):
        return tuple(_figures(what, one) for one in zip(*values, strict=True))
    if is_dataclass(first) and not isinstance(first, type):
        parts = {each.name: tuple(getattr(one, each.name) for one in values) for each in fields(first)}
        return replace(first, **{name: _figures(what, one) for name, one in parts.items()})
    return first
