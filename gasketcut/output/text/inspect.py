"""An inspection in plain words: what the file is, how big, what is wrong where, and what to do next."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from gasketcut.outside import shown
from gasketcut.received.drop import Dropped
from gasketcut.received.faults.contour_search import Closed, Open
from gasketcut.received.faults.flaw import Flaw
from gasketcut.received.faults.taken import Taken
from gasketcut.received.inspection import Inspection
from gasketcut.received.looks.look import Look
from gasketcut.received.mending import Change, Mended
from gasketcut.received.said import (
    at_said,
    by_kind,
    flaw_said,
    flaws_said,
    group_said,
    look_said,
    offer_said,
    them,
)
from gasketcut.received.settings import mend_command
from gasketcut.received.what_it_is import WhatItIs
from gasketcut.shape.narrow import Narrow

_SHOWN = 4
_TAKEN = {"marking": "marking", "lead": "the tool's way"}
_VERDICTS = {
    "ready": "READY: nothing was found that a cutter would stumble over.",
    "look": "READY, LOOK AT {places}: the file has no fault, but this is seldom meant so.",
    "mend": "MEND: all of it can be put right safely: {command}",
    "ask": "ASK: a person has to decide something first.",
}


def inspect_text(found: Inspection, file: str) -> str:
    """For a screen, 100 columns or less but for names."""
    file = shown(file)
    counts = ", ".join(f"{count} {kind}" for kind, count in sorted(found.entities.items())) or "nothing"
    version = found.version or "no version, so R12"
    unit = found.unit
    said = f"declared {unit.declared}" if unit.declared else "none declared"
    if unit.measurement:
        said += f", $MEASUREMENT {'inches' if unit.measurement == 'in' else 'metric'}"
    rows = [
        f"{file}: {version}",
        f"holds     {counts}",
        f"layers    {', '.join(found.layers) or 'none'}",
        f"unit      {said}; likely {unit.likely or 'cannot be said'}",
        f"size      {_sizes(found)}",
        f"contours  {_cut(found.closed)} closed, {_cut(found.open)} open",
        *_what_rows(found.what),
        *_taken_rows(found.taken),
        *_dropped_rows(found.dropped),
        "",
        _VERDICTS[found.verdict].format(
            command=mend_command(file, found.settings), places=_count(len(found.looks), "place").upper()
        ),
    ]
    return "\n".join([*rows, *_look_rows(found.looks), *_group_rows(found), *_flaw_rows(found.unexplained)])


def mend_text(mended: Mended, file: str, out: str | None) -> str:
    """What was changed and where it went, or why not."""
    file, out = shown(file), out and shown(out)
    rows = []
    if mended.refused:
        rows += [f"NOT WRITTEN: {file} needs a person first.", *_flaw_rows(mended.refused)]
        if mended.changes:
            rows += ["", "The rest could be put right:", *_change_rows(mended.changes)]
        return "\n".join(rows)
    done = (
        f"written, {_count(len(mended.changes), 'change')}" if mended.changes else "copied, there is nothing to change"
    )
    rows.append(f"{out}: {done}")
    return "\n".join([*rows, *_change_rows(mended.changes)])


def _sizes(found: Inspection) -> str:
    likely = found.unit.likely or "mm"
    rows = [
        f"{width:.4g} x {height:.4g} mm if {unit}" for unit, (width, height) in found.sizes.items() if unit != likely
    ]
    width, height = found.size
    first = f"{width:.2f} x {height:.2f} mm"
    return f"{first} ({'; '.join(rows)})" if rows and (found.unit.declared != likely) else first


def _what_rows(what: WhatItIs) -> list[str]:
    if not what.starts:
        return [f"as named  {what.as_named}"] if what.as_named else []
    holes = _count(sum(what.holes), "hole") if any(what.holes) else "no hole"
    if what.parts > 1 and any(what.holes):
        shown = ", ".join(str(count) for count in what.holes[:8])
        holes += f" ({shown}{', ...' if what.parts > 8 else ''})"
    equal = f"; {what.duplicates} equal to one before" if what.duplicates else ""
    rows = [
        f"parts     {what.parts} with {holes}{equal}",
        f"cut       {what.cut_length:.1f} mm, {_count(what.starts, 'start')}",
    ]
    least = [
        f"hole {_narrow(what.smallest_hole)}" if what.smallest_hole else "",
        f"inner radius {_narrow(what.smallest_radius)}" if what.smallest_radius else "",
        f"web {_narrow(what.smallest_web)}" if what.smallest_web else "",
    ]
    if any(least):
        rows.append(f"smallest  {', '.join(one for one in least if one)}")
    return [*rows, f"as named  {what.as_named}"] if what.as_named else rows


def _narrow(one: Narrow) -> str:
    width = f"{one.width:.2f} mm" if one.width else "0 (sharp)"
    return f"{width} at ({one.at[0]:.2f}, {one.at[1]:.2f})"


def _cut(lines: Sequence[Closed] | Sequence[Open]) -> int:
    return sum(not one.is_mark for one in lines)


def _flaw_rows(flaws: Sequence[Flaw]) -> list[str]:
    rows: list[str] = []
    for kind, these in by_kind(flaws):
        rows += ["", f"  {flaws_said(kind, these)}", *_first([f"    {flaw_said(one)}" for one in these])]
    return rows


def _first(rows: list[str], more: str = "    and {} more; --json and --picture show all") -> list[str]:
    """The first of many, and how many are left out."""
    return rows if len(rows) <= _SHOWN else [*rows[:_SHOWN], more.format(len(rows) - _SHOWN)]


def _dropped_rows(dropped: Sequence[Dropped]) -> list[str]:
    counts = Counter(one.word for one in dropped)
    return [f"left out  {', '.join(f'{word}: {count}' for word, count in counts.items())}"] if counts else []


def _look_rows(looks: Sequence[Look]) -> list[str]:
    rows: list[str] = [""] * bool(looks)
    for kind, these in by_kind(looks):
        more = f"  {kind}: {{}} more; --json and --picture show all"
        rows += _first([f"  {look_said(one)}" for one in these], more)
    return rows


def _taken_rows(taken: Sequence[Taken]) -> list[str]:
    said = [f"{_count(one.count, 'line')} on {one.layer} as {_TAKEN[one.kind]}" for one in taken]
    return [f"not cut   {', '.join(said)}"] if said else []


def _group_rows(found: Inspection) -> list[str]:
    """Two lines for each group, a blank one before it."""
    total = Counter(flaw.kind for flaw in found.flaws)
    rows = []
    noted = {look.kind for look in found.looks}
    for group in found.groups:
        if group.kind in noted and not group.flaws:
            continue  # as a frame is, with the same words
        rows += ["", f"  {group_said(group)}"]
        counts = Counter(flaw.kind for flaw in group.flaws)
        faults = ", ".join(
            f"{count} {kind}" if count == total[kind] else f"{count} of {total[kind]} {kind}"
            for kind, count in counts.items()
        )
        because = f"{faults}: only because of {them(group)}; " if faults else ""
        rows.append(f"    {because}{offer_said(group)}")
    return rows


def _change_rows(changes: Sequence[Change]) -> list[str]:
    rows = []
    for kind, these in by_kind(changes):
        rows += _first([f"  {at_said(one.at)}{one.text}" for one in these], f"  and {{}} more of kind {kind}")
    return rows


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"
