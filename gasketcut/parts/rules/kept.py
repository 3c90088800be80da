"""The outline that a part had before its port was ground: the flange does not grow with the port."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from shapely.geometry import Polygon

from gasketcut.parts.rules.rule import Inside, OutlineRule
from gasketcut.shape.arcs import KnownArcs


@dataclass(frozen=True, slots=True)
class Kept(OutlineRule):
    """An edge that was worked out before, and what its arcs lie on; no word of a job file."""

    word: ClassVar[str] = "kept"

    edge: Polygon
    known: KnownArcs

    def outer(self, inside: Inside) -> Polygon:  # noqa: ARG002  it follows nothing any more
        return self.edge

    def known_edges(self, inside: Inside) -> KnownArcs:  # noqa: ARG002
        return self.known
