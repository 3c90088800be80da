"""What may be left out of a received drawing, because the user says so: `--drop`, and `drop` of a received part.

Word   a kind of thing (`text`), a group (`dimensions`), or a selection: all on a layer (`layer=DIM`), all of one type
       of line (`linetype=CENTER`).
"""

from __future__ import annotations

import difflib
from collections.abc import Collection
from dataclasses import dataclass

from gasketcut.errors import DrawingError
from gasketcut.received.faults.flaw import DROPPED
from gasketcut.received.groups.group import GROUPS

WORDS = (*DROPPED, *(kind for kind in GROUPS if kind not in DROPPED))
"""What can be named by one word; DIMENSION entities and dimensions of single lines share theirs."""

_SELECTIONS = ("layer", "linetype")


@dataclass(frozen=True, slots=True)
class Drop:
    """Words, and names of layers and line types in capitals: DXF compares them without regard to case."""

    words: frozenset[str] = frozenset()
    layers: frozenset[str] = frozenset()
    linetypes: frozenset[str] = frozenset()

    def selects(self, layer: str, linetype: str) -> str | None:
        """The selection that takes in what lies on this layer and has this line type; its name in capitals."""
        if self.layers and layer.upper() in self.layers:
            return f"layer={layer.upper()}"
        return f"linetype={linetype.upper()}" if self.linetypes and linetype.upper() in self.linetypes else None


@dataclass(frozen=True, slots=True)
class Dropped:
    """Something that was left out as asked, under which word, and where in the file's own coordinates."""

    word: str
    at: tuple[float, float] | None
    text: str


def drop_of(words: Collection[str]) -> Drop:
    """Read what may be left out; raise `DrawingError` for a word that is none, with the ones there are."""
    named: set[str] = set()
    selected: dict[str, set[str]] = {key: set() for key in _SELECTIONS}
    for word in words:
        key, equals, name = word.partition("=")
        key, name = key.strip().lower(), name.strip()
        if equals and key in selected and name:
            selected[key].add(name.upper())
        elif not equals and key in WORDS:
            named.add(key)
        else:
            raise DrawingError(f"{word!r} is nothing that can be left out; {_advice(key)}")
    return Drop(frozenset(named), frozenset(selected["layer"]), frozenset(selected["linetype"]))


def _advice(key: str) -> str:
    if key in _SELECTIONS:
        return f"name one, such as {key}={'DIM' if key == 'layer' else 'CENTER'}"
    close = difflib.get_close_matches(key, WORDS, n=1)
    meant = f"did you mean {close[0]}? " if close else ""
    return f"{meant}There are {', '.join(WORDS)}, layer=NAME and linetype=NAME"
