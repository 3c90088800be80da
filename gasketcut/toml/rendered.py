"""Values as TOML text: how what is added to a person's file is worded."""

from __future__ import annotations

import datetime
import json
import math
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def key_text(key: str) -> str:
    """Bare where it may be."""
    return key if _BARE.fullmatch(key) else _quoted(key)


def value_text(value: Any) -> str:
    """On one line.

    >>> value_text({"at": [1, -2.5], "size": "M5"})
    '{ at = [1, -2.5], size = "M5" }'
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Mapping):
        return "{ " + ", ".join(pair_text(key, one) for key, one in value.items()) + " }" if value else "{}"
    if isinstance(value, list):
        return "[" + ", ".join(value_text(one) for one in value) + "]"
    if isinstance(value, str):
        return _quoted(value)
    if isinstance(value, float) and not math.isfinite(value):
        return "nan" if math.isnan(value) else "inf" if value > 0 else "-inf"
    if isinstance(value, datetime.datetime | datetime.date | datetime.time):
        return value.isoformat()
    return repr(value)


def pair_text(key: str, value: Any) -> str:
    """`key = value`."""
    return f"{key_text(key)} = {value_text(value)}"


def header_text(keys: Sequence[str], *, is_array: bool) -> str:
    """`[a.b]` or `[[a.b]]`."""
    name = ".".join(key_text(key) for key in keys)
    return f"[[{name}]]" if is_array else f"[{name}]"


def section_rows(keys: Sequence[str], table: Mapping[str, Any], *, is_array: bool) -> Iterator[str]:
    """A header and what stands under it; tables of tables get headers of their own, other tables stand in their row."""
    yield header_text(keys, is_array=is_array)
    for key, value in table.items():
        if not is_table_of_tables(value):
            yield pair_text(key, value)
    for key, value in table.items():
        if is_table_of_tables(value):
            yield ""
            yield from section_rows((*keys, key), value, is_array=False)


def is_table_of_tables(value: object) -> bool:
    """Such as the ports of an engine."""
    return isinstance(value, Mapping) and bool(value) and all(isinstance(one, Mapping) for one in value.values())


def is_list_of_tables(value: object) -> bool:
    """Such as the parts of a job."""
    return isinstance(value, list) and bool(value) and all(isinstance(one, Mapping) for one in value)


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
