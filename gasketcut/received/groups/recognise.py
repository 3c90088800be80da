"""Everything in a drawing that is recognised as a group: by names of layers and line types first, then by its look.

Each thing belongs to one group at most. What would leave no closed line of the drawing is not believed.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from functools import partial

from gasketcut.received.groups.centre_lines import crosses_of
from gasketcut.received.groups.dimensions import dimensions_of
from gasketcut.received.groups.frame import frame_of
from gasketcut.received.groups.names import kind_of_layer, kind_of_linetype
from gasketcut.received.groups.recognised import Recognised, counted
from gasketcut.received.groups.strokes import strokes_of
from gasketcut.received.groups.title_block import title_block_of
from gasketcut.received.reading.drawn_lines import DrawnLine, DrawnLines

MOST_LINES = 50_000
"""In a larger drawing only names are looked at; ours."""

_NAMED = ("centre-lines", "bend-lines", "title-block")


def recognised_of(found: DrawnLines, patterns: Mapping[str, tuple[float, ...]]) -> tuple[Recognised, ...]:
    """The groups, each kind once.

    patterns : of each line type by its name in capitals, the dashes, gaps negative
    """
    named = _by_names(found, patterns)
    lines = [line for line in found.lines if all(line.number not in named.get(kind, {}) for kind in _NAMED)]
    looked = [] if len(found.lines) > MOST_LINES else _by_look(lines, found)
    groups = []
    for kind in ("dimensions", "centre-lines", "bend-lines", "title-block", "frame"):
        seen = next((one for one in looked if one.kind == kind), None)
        names = {n: why for n, why in named.get(kind, {}).items() if seen is None or n not in seen.numbers}
        by_name = _of_names(kind, names, found) if names else None
        groups += [_together(seen, by_name)] if seen and by_name else [one for one in (seen, by_name) if one]
    closed = {line.number for line in found.lines if line.closed}
    kept, gone = [], set[int]()
    for group in groups:
        if closed and closed <= gone | group.numbers:
            continue
        kept.append(replace(group, numbers=_with_references(found, group.numbers)))
        gone |= group.numbers
    return tuple(kept)


def _by_look(lines: list[DrawnLine], found: DrawnLines) -> list[Recognised]:
    taken: frozenset[int] = frozenset()
    looked = []
    rest, strokes = list(lines), strokes_of(lines)
    measures = partial(dimensions_of, references=found.references)
    for look in (measures, crosses_of, frame_of, title_block_of):
        others = [one for one in found.others if one.number not in taken]
        group = look(rest, others, strokes)
        if group is not None:
            looked.append(group)
            taken |= group.numbers
            rest = [line for line in rest if line.number not in taken]
            strokes = strokes_of(rest)
    return looked


def _by_names(found: DrawnLines, patterns: Mapping[str, tuple[float, ...]]) -> dict[str, dict[int, str]]:
    """Kind, and of each thing that belongs to it the name that says so."""
    layers = {one: kind_of_layer(one) for one in _layers(found)}
    linetypes = {name: kind_of_linetype(name, patterns) for name in {one.linetype for one in found.lines}}
    named: dict[str, dict[int, str]] = {}
    for line in found.lines:
        kind = linetypes[line.linetype]
        why = f"of line type {line.linetype}"
        if kind is None or (kind == "bend-lines" and not _is_straight(line)):
            kind, why = layers[line.layer], f"on layer {line.layer}"
            # Holes lie on layers named for their centre too, and brackets for frames on one named for those.
            if kind == "frame" or (kind == "centre-lines" and line.closed):
                kind = None
            if kind == "bend-lines" and not _is_straight(line):
                kind = None
        if kind is not None:
            named.setdefault(kind, {})[line.number] = why
    for other in found.others:
        kind = layers.get(other.layer)
        if kind in ("dimensions", "title-block"):
            named.setdefault(kind, {})[other.number] = f"on layer {other.layer}"
    return named


def _layers(found: DrawnLines) -> set[str]:
    return {one.layer for one in found.lines} | {one.layer for one in found.others}


def _is_straight(line: DrawnLine) -> bool:
    return not line.closed and not line.curve and not any(one.bulge for one in line.segments)


def _of_names(kind: str, names: Mapping[int, str], found: DrawnLines) -> Recognised:
    first = min(names)
    at = next((line.place for line in found.lines if line.number == first), None)
    at = at or next((one.points[0] for one in found.others if one.number == first and one.points), (0.0, 0.0))
    lines = {line.number for line in found.lines}
    says = []
    for why, count in Counter(names.values()).items():
        drawn = sum(number in lines for number, other in names.items() if other == why)
        says.append(f"{counted((drawn, 'line'), (count - drawn, 'other thing'))} {why}")
    count = 1 if kind == "title-block" else len(names)
    return Recognised(kind, frozenset(names), count, at, ", ".join(says))


def _together(seen: Recognised, named: Recognised) -> Recognised:
    """What looks like it, and what else has its name."""
    counts_lines = seen.kind in ("centre-lines", "bend-lines")
    count = seen.count + (named.count if counts_lines else 0)
    return replace(seen, numbers=seen.numbers | named.numbers, count=count, says=f"{seen.says}; {named.says}")


def _with_references(found: DrawnLines, numbers: frozenset[int]) -> frozenset[int]:
    """With each block reference of which nothing stays."""
    drawn = sorted([*(one.number for one in found.lines), *(one.number for one in found.others)])
    ours = sorted(numbers)
    emptied = set()
    for one in found.references:
        inside = bisect_right(drawn, one.last) - bisect_right(drawn, one.number)
        if inside and inside == bisect_right(ours, one.last) - bisect_right(ours, one.number):
            emptied.add(one.number)
    return numbers | emptied
