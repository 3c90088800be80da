"""A person's TOML text with one value changed, added or taken out, and every other byte as it was.

Each edit is a few spans of the text replaced. Its result is read again and compared with the same edit made on plain
data: what does not come to that is refused and never handed on.
"""

from __future__ import annotations

import copy
import math
import tomllib
from collections.abc import Iterator, Mapping
from typing import Any

from gasketcut.checked import Path, dotted
from gasketcut.errors import GasketError
from gasketcut.toml.layout import Layout, Splice
from gasketcut.toml.rendered import is_list_of_tables, is_table_of_tables, pair_text, section_rows, value_text

Data = dict[str, Any]

_BOM = "\ufeff"


class EditError(GasketError):
    """A text that cannot be changed in place; it says what to do by hand."""


def rewritten(text: str, data: Mapping[str, Any]) -> str:
    """The text with as little changed as makes it mean `data`; raise `EditError` where that cannot be done in place."""
    for path, value in list(_differences(_loaded(text), data, ())):
        text = without(text, path) if value is _GONE else with_value(text, path, value)
    return text


def with_value(text: str, path: Path, value: Any) -> str:
    """The text with the value there: a key's, or an array's element, or one element more.

    Tables that are not there yet are made. Raise `EditError` where the text cannot be changed in place.
    """
    before = _loaded(text)
    wanted = _put(copy.deepcopy(before), path, value)
    if _same(before, wanted):
        return text
    return _proved(text, _with_value(text.removeprefix(_BOM), before, path, value), wanted, path)


def without(text: str, path: Path) -> str:
    """The text without that key, table or array element; raise `EditError` if it is not there."""
    before = _loaded(text)
    wanted = copy.deepcopy(before)
    try:
        here: Any = wanted
        for step in path[:-1]:
            here = here[step]
        del here[path[-1]]
    except (KeyError, IndexError, TypeError) as error:
        raise EditError(f"{dotted(path)}: is not there") from error
    made = Layout(text.removeprefix(_BOM)).without(path)
    after = _loaded(made)
    for end in range(1, len(path)):  # a table or list that lost its last key is still there, and empty
        if not _holds(after, path[:end]):
            made = _with_value(made, after, path[:end], [] if isinstance(path[end], int) else {})
            break
    return _proved(text, made, wanted, path)


def _with_value(text: str, data: Data, path: Path, value: Any) -> str:
    layout = Layout(text)
    if path in layout.items:
        item = layout.items[path]
        return layout.spliced([Splice(item.value, item.end, value_text(value))])
    if is_list_of_tables(value) and layout.has_header(path):
        return rewritten(layout.as_first_of_several(path), _put(copy.deepcopy(data), path, value))
    if _holds(data, path):  # a table of several rows that something else takes the place of
        text = layout.without(path)
        return _with_value(text, _loaded(text), path, value)
    parent, step = path[:-1], path[-1]
    if not _holds(data, parent):
        return _with_value(text, data, parent, [value] if isinstance(step, int) else {step: value})
    if isinstance(step, int):
        if parent in layout.brackets:
            return layout.with_inside(parent, value_text(value))
        if not isinstance(value, Mapping):
            raise EditError(f"{dotted(path)}: stands among tables, so a table is wanted there")
        return layout.with_rows_after(parent, section_rows(_names(parent), value, is_array=True))
    return _with_key(layout, parent, step, value)


def _with_key(layout: Layout, parent: Path, key: str, value: Any) -> str:
    names = (*_names(parent), key)
    if parent in layout.brackets:
        return layout.with_inside(parent, pair_text(key, value))
    if not parent and is_list_of_tables(value):
        blocks = [row for one in value for row in ("", *section_rows(names, one, is_array=True))]
        return layout.with_rows_at_end(blocks[1:])
    if not parent and isinstance(value, Mapping):
        return layout.with_rows_at_end(list(section_rows(names, value, is_array=False)))
    if layout.has_header(parent):
        if is_table_of_tables(value):
            return layout.with_rows_after(parent, section_rows(names, value, is_array=False), alone=True)
        return layout.with_row_under(parent, pair_text(key, value))
    if neighbour := layout.dotted_below(parent):
        prefix = neighbour.path[len(neighbour.within) : len(parent)]
        return layout.with_row_beside(neighbour, [*_names(prefix), key], value_text(value))
    return layout.with_header_before(parent, _names(parent), pair_text(key, value))


# -- on plain data ---------------------------------------------------------------------------------------------

_GONE = object()


def _differences(before: Any, after: Any, path: Path) -> Iterator[tuple[Path, Any]]:
    """The edits that make one of the other; what goes, goes from the end of a list."""
    if isinstance(before, Mapping) and isinstance(after, Mapping):
        for key in before:
            if key in after:
                yield from _differences(before[key], after[key], (*path, key))
            else:
                yield (*path, key), _GONE
        yield from (((*path, key), after[key]) for key in after if key not in before)
    elif isinstance(before, list) and isinstance(after, list) and after:
        for number in range(len(before) - 1, len(after) - 1, -1):
            yield (*path, number), _GONE
        for number, value in enumerate(after):
            if number < len(before):
                yield from _differences(before[number], value, (*path, number))
            else:
                yield (*path, number), value
    elif not _same(before, after):
        yield path, after


def _put(data: Data, path: Path, value: Any) -> Data:
    here: Any = data
    try:
        for step, following in zip(path, (*path[1:], None), strict=True):
            if isinstance(step, int) != isinstance(here, list):
                raise TypeError
            if isinstance(here, list) and step == len(here):
                here.append({} if isinstance(following, str) else [])
            elif isinstance(here, dict) and step not in here:
                here[step] = {} if isinstance(following, str) else []
            if following is None:
                here[step] = value
            here = here[step]
    except (KeyError, IndexError, TypeError) as error:
        raise EditError(f"{dotted(path)}: has no place in this text; write it by hand") from error
    return data


def _holds(data: Any, path: Path) -> bool:
    try:
        for step in path:
            data = data[step]
    except (KeyError, IndexError, TypeError):
        return False
    return True


def _same(one: Any, other: Any) -> bool:
    """Equal in kind too, so that 1 is not 1.0; nan is itself."""
    if type(one) is not type(other):
        return False
    if isinstance(one, dict):
        return one.keys() == other.keys() and all(_same(one[key], other[key]) for key in one)
    if isinstance(one, list):
        return len(one) == len(other) and all(_same(a, b) for a, b in zip(one, other, strict=True))
    return bool(one == other) or (isinstance(one, float) and math.isnan(one) and math.isnan(other))


def _loaded(text: str) -> Data:
    try:
        return tomllib.loads(text.removeprefix(_BOM))
    except (ValueError, RecursionError) as error:
        raise EditError(f"the text is no TOML: {error}") from error


def _proved(before: str, made: str, wanted: Data, path: Path) -> str:
    try:
        good = _same(tomllib.loads(made), wanted)
    except ValueError:
        good = False
    if not good:
        raise EditError(f"{dotted(path)}: cannot be changed here without losing your layout; write it by hand")
    return (_BOM if before.startswith(_BOM) else "") + made


def _names(path: Path) -> list[str]:
    return [step for step in path if isinstance(step, str)]
