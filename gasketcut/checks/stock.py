"""Does the part go on the sheet that it is to be cut from?"""

from __future__ import annotations

from collections.abc import Iterator

from gasketcut.checks.subject import Subject
from gasketcut.finding import Finding
from gasketcut.length import box


def on_stock(subject: Subject) -> Iterator[Finding]:
    """A stop if the part is larger than the whole sheet, laid along or across; a note if no sheet is named."""
    part = subject.part
    if part.stock is None:
        yield Finding(
            rule="stock",
            weight="note",
            part=part.name,
            text="no sheet is named: thickness and least land are unknown",
            do='add stock = "..." to the part',
        )
        return
    if part.stock.size is None:
        return
    left, low, right, high = part.outer.bounds
    size = sorted((right - left, high - low))
    sheet = sorted(part.stock.size)
    if size[0] > sheet[0] or size[1] > sheet[1]:
        yield Finding(
            rule="stock",
            weight="stop",
            part=part.name,
            found=size[1],
            wanted=sheet[1],
            text=f"{box(size[1], size[0])} does not go on a sheet of {box(sheet[1], sheet[0])}",
            do="take a larger sheet",
        )
