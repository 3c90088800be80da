"""Is a base gasket drawn for the sheet that the squish asks for?"""

from __future__ import annotations

from collections.abc import Iterator

from gasketcut.engine.squish.result import SquishResult, layers_of
from gasketcut.finding import Finding
from gasketcut.parts.part import Part


def thickness(part: Part, squish: SquishResult) -> Iterator[Finding]:
    """A warning where stock or count are others than those of the recommended stack."""
    wanted = {layer.stock: layer.count for layer in layers_of(squish)}
    if part.stock is None or not squish.verdict.names_a_thickness or wanted == {part.stock.name: part.count}:
        return
    asked = squish.best.words if squish.best else squish.verdict.value
    yield Finding(
        rule="thickness",
        weight="warn",
        part=part.name,
        text=f"drawn for {part.count} x {part.stock.name}, but the squish asks for: {asked}",
        do="set its stock and count to that, or change the target",
    )
