"""What is read of tables that lack nothing: in others, values of ours stand in for what is missing."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TypeVar

from gasketcut.toml.table import Table

T = TypeVar("T")


def whole(read: Callable[[Table], T], tables: Iterable[Table]) -> Iterator[T]:
    """What is read of each; one that lacks something is left out."""
    for table in tables:
        made = read(table)
        if table.is_whole:
            yield made


def whole_table(outer: Table, key: str, read: Callable[[Table], T]) -> T | None:
    """What is read of the table there; None if there is none, or it lacks something."""
    table = outer.table(key)
    return next(whole(read, (table,)), None) if table is not None else None
