"""The shape words, read the same wherever a shape is asked for.

`{ round = d }`, `{ slot = [length, width] }`, `{ oval = [a, b] }`, `{ rectangle = [w, h], corner = r }`,
`{ points = [[x, y], ...], corner = r }` or with `bulges = [...]`,
`{ file = "port.dxf" }`, each with `at` and `turn` where it can be placed.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from gasketcut.parts.shapes import (
    Drawing,
    Grow,
    Hull,
    Lobes,
    Outline,
    Oval,
    Placed,
    Points,
    Rectangle,
    Round,
    Shape,
    Slot,
)
from gasketcut.toml.table import Table


def _slot(table: Table) -> Shape:
    length, width = table.pair("slot")
    if length < width:
        table.fault("slot", f"its length {length:g} is below its width {width:g}; write [length, width]")
    return Slot(length, width)


def _rectangle(table: Table) -> Shape:
    width, height = table.pair("rectangle")
    corner = table.length("corner", 0.0, zero=True)
    if 2 * corner > min(width, height):
        table.fault("corner", f"{corner:g} is more than half the shorter side; the most is {min(width, height) / 2:g}")
    return Rectangle(width, height, corner)


def _points(table: Table) -> Shape:
    points, corner = table.points("points", 3 if "bulges" not in table else 2), table.length("corner", 0.0, zero=True)
    bulges = table.raw("bulges")
    if bulges is None:
        return Points(points, corner)
    numbers = bulges if isinstance(bulges, list) else []
    good = [one for one in numbers if isinstance(one, int | float) and not isinstance(one, bool) and -1 <= one <= 1]
    if len(good) != len(points) or len(numbers) != len(points):
        table.fault(
            "bulges", f"write {len(points)} numbers from -1 to 1, one for the arc behind each point, 0 for a line"
        )
        return Points(points, corner)
    if corner:
        table.fault("corner", "rounds straight corners; beside bulges leave it out")
    return Points(points, 0.0, tuple(float(one) for one in good))


_WORDS: dict[str, Callable[[Table], Shape]] = {
    "round": lambda table: Round(table.length("round")),
    "slot": _slot,
    "oval": lambda table: Oval(*table.pair("oval")),
    "rectangle": _rectangle,
    "points": _points,
    "file": lambda table: Drawing(Path(table.text("file") or "missing.dxf")),
}
SHAPE_WORDS = ", ".join(_WORDS)


def read_shape(table: Table) -> Shape:
    """The one shape word of the table."""
    found = [word for word in _WORDS if word in table]
    if len(found) != 1:
        table.fault(None, f"write one shape: {SHAPE_WORDS}" + (f"; found {' and '.join(found)}" if found else ""))
        for word in (*_WORDS, "corner", "bulges"):
            table.raw(word)
        return Round(1.0)
    return _WORDS[found[0]](table)


def read_placed(table: Table) -> Placed:
    """A shape with its place: `at` and `turn` stand beside the shape word."""
    at, turn = table.point("at", (0.0, 0.0)), table.angle("turn", 0.0)
    placed = Placed(read_shape(table), at, turn or 0.0)
    table.close()
    return placed


def read_outline(table: Table) -> Outline:
    """A placed shape, or one of `hull`, `lobes`, `grow`."""
    if "hull" in table:
        outline: Outline = Hull(table.length("hull"))
    elif "lobes" in table:
        ring, fillet = table.length("ring"), table.length("fillet", 0.0, zero=True)
        outline = Lobes(table.length("lobes"), ring, fillet)
    elif "grow" in table:
        inner = table.table("of")
        outline = Grow(table.length("grow"), read_placed(inner) if inner else None)
    else:
        return read_placed(table)
    table.close()
    return outline
