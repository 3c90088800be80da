"""Verdicts: may a kind of sheet be cut by a process? From `profiles/cutters.toml`.

`laser` stands for both lasers, `cold` for knife, waterjet and hand; the narrower word counts.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, cast

from gasketcut.toml.table import Table

Level = Literal["never", "caution", "fine"]
LEVELS: tuple[Level, ...] = ("never", "caution", "fine")
"""Worst first."""

UNKNOWN = "unknown"
"""The kind of a sheet of which nobody says what it is."""

_GROUP = {"co2": "laser", "fibre": "laser", "knife": "cold", "waterjet": "cold", "hand": "cold"}


@dataclass(frozen=True, slots=True)
class Said:
    """Why, and whose word it is."""

    level: Level
    why: str
    source: str


@dataclass(frozen=True, slots=True)
class SheetVerdicts:
    """What is said of a kind of sheet, by process or group of processes."""

    kind: str
    said: tuple[tuple[str, Said], ...]

    def on(self, process: str) -> Said | None:
        """The narrower word counts."""
        said = dict(self.said)
        return said.get(process) or said.get(_GROUP[process])


def is_never(verdicts: tuple[SheetVerdicts, ...], kind: str) -> bool:
    """Is there a way in which the kind is never cut?"""
    return any(said.level == "never" for one in verdicts if one.kind == kind for _, said in one.said)


def read_verdicts(
    table: Table, known: tuple[SheetVerdicts, ...], kinds: tuple[str, ...], *, is_own: bool
) -> tuple[SheetVerdicts, ...]:
    """The known ones and those on kinds of one's own; `kinds` are all there are."""
    found = {one.kind: one for one in known}
    ours = {one.kind for one in known}
    outer = table.table("verdict")
    for kind in outer.names if outer else ():
        if outer is None or (entry := outer.table(kind)) is None:
            continue
        if kind not in kinds and kind != UNKNOWN:
            outer.fault(kind, f'is no kind of sheet; add it: [sheet] {kind} = {{ says = "...", cuts_as = "paper" }}')
        one = SheetVerdicts(kind, _said(entry))
        if is_own and kind in ours and _is_shipped(one, found[kind]):
            continue
        if is_own and kind in ours:
            outer.fault(kind, "stands as it is; give your sheet a kind of its own, and the verdict to that")
        found[kind] = one
    return tuple(found.values())


def _is_shipped(one: SheetVerdicts, ours: SheetVerdicts) -> bool:
    return set(one.said) <= set(ours.said)


def _said(table: Table) -> tuple[tuple[str, Said], ...]:
    found = []
    for key in dict.fromkeys((*_GROUP.values(), *_GROUP)):
        inner = table.table(key)
        if inner is not None:
            level = cast(Level, inner.word("is", LEVELS))
            why, source = inner.text("why", longest=400), inner.text("source", longest=400)
            if why is None and "why" not in inner:
                inner.missing("why", 'the reason in words, e.g. why = "no fume"')
            found.append((key, Said(level, why or "", source or "not named")))
            inner.close()
    table.close()
    return tuple(found)
