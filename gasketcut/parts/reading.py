"""The shape words, read alike wherever a shape is asked for: `{ round = 16.0 }`, `{ slot = [20.0, 8.0] }` and so on,
each with `at` and `turn` where it can be placed; and the outline rules, `{ hull = 4.0 }` and so on."""

from __future__ import annotations

from gasketcut.described import names_of
from gasketcut.errors import Lack
from gasketcut.parts.rules import RULES, Outline
from gasketcut.parts.words import SHAPES, Placed, Round, Shape
from gasketcut.toml.read import given
from gasketcut.toml.table import Table


def read_shape(table: Table) -> Shape:
    """The one shape word of the table."""
    found = [word for word in SHAPES if word in table]
    if len(found) != 1:
        table.fault(*_not_one(table, found))
        for key in ("shape", *_ROUND):
            table.raw(key)
        for shape in SHAPES.values():
            for key in names_of(shape):
                table.raw(key)
        return Round(1.0)
    return SHAPES[found[0]].read(table)


_ROUND = ("diameter", "dia", "d")
"""Keys that people write for the diameter of a round shape."""


def _not_one(table: Table, found: list[str]) -> tuple[str | None, str]:
    """The key, and what to write, where no shape word stands in the table, or several do."""
    if found:
        return None, f"write one shape: {', '.join(SHAPES)}; found {' and '.join(found)}"
    if "shape" in table:
        return "shape", "write the shape's word here itself, e.g. round = 12.0, without shape = { ... } round it"
    if key := next((key for key in _ROUND if key in table), None):
        return key, f"say round = {table.faults.written((*table.path, key))}; round is the shape with that diameter"
    return None, Lack("round", f"write one shape: {', '.join(SHAPES)}")


def read_placed(table: Table) -> Placed:
    """A shape with its place: `at` and `turn` stand in the same braces as the shape word."""
    placed = Placed(read_shape(table), **given(Placed, table))
    table.close()
    return placed


def read_outline(table: Table) -> Outline:
    """A placed shape, or an outline rule."""
    word = next((word for word, rule in RULES.items() if any(key in table for key in (word, *rule.other_keys))), None)
    if word is None:
        return read_placed(table)
    outline = RULES[word].read(table)
    table.close()
    return outline
