"""All checks of a part, in one call."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from gasketcut.finding import Finding
from gasketcut.fit.holes import holes
from gasketcut.fit.lands import lands
from gasketcut.fit.overhang import overhangs
from gasketcut.fit.stock import on_stock
from gasketcut.shape.part import Part


def check(part: Part, beside: Path | None = None) -> Iterator[Finding]:
    """Every finding about the part."""
    yield from overhangs(part)
    yield from holes(part)
    yield from lands(part, beside)
    yield from on_stock(part)
