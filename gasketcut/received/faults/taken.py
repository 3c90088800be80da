"""What is not cut by the name of its layer: marks, and the way of our own tool beside a contour.

Marking   a layer with a word in its name that says so; "marketing" and "benchmark" hold no such word.
Taken     a layer, as what its lines are taken, how many there are, and where the first lies [mm].
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache, lru_cache

from gasketcut.plane import Point

TOOL = ("LEAD", "OVERCUT")
"""Layers of our own files that show the tool's way beside the contour."""

OURS = ("CUT-INSIDE", "CUT-OUTSIDE")
"""Layers on which our own files have what is cut."""

MARK = "MARK"
"""The layer on which our own files have what is not."""

_MARKING = re.compile(r"(?:mark|engrav|etch|scribe?|scor)(?:e?s|e|ed|er|ing|ings)?", re.IGNORECASE)
_WORDS = re.compile(r"[A-Z]+(?![a-z])|[A-Z]?[a-z]+")


@dataclass(frozen=True, slots=True)
class Taken:
    """Lines that are not cut: `kind` is `marking` or `lead`."""

    layer: str
    kind: str
    count: int
    at: Point


@cache
@lru_cache(1000)
def is_marking(layer: str) -> bool:
    """Whether a word of the layer's name says that its lines are not cut through.

    >>> [is_marking(name) for name in ("MARK", "Score-board", "EngravedText2", "Marketing", "benchmark", "Scorecard")]
    [True, True, True, False, False, False]
    """
    return any(_MARKING.fullmatch(word) for word in _WORDS.findall(layer))
