"""A part's stretches numbered, its torn edges found, and joined where the user says so."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from gasketcut.arrays import Array
from gasketcut.capture.edges.fitted_edge import FittedEdge
from gasketcut.capture.torn.bridge import Asked, bridged
from gasketcut.capture.torn.question import Question
from gasketcut.capture.torn.stretch import OUTLINE, Stretch, places_between, stretches_of
from gasketcut.capture.torn.tears import Tear, tears_in
from gasketcut.capture.traced_part import TracedPart
from gasketcut.errors import GasketError
from gasketcut.plane import place_text


def numbered(parts: Sequence[TracedPart]) -> list[TracedPart]:
    """All lines and arcs of outlines and windows numbered on through all the parts, whichever is picked afterwards."""
    made: list[TracedPart] = []
    first = 1
    for part in parts:
        stretches: list[Stretch] = []
        for name, edge, _ in _edges(part):
            count = len(edge.runs.curves) if edge.runs is not None else 0
            stretches += stretches_of(name, edge.runs, [(first + len(stretches) + n,) for n in range(count)])
        made.append(replace(part, stretches=tuple(stretches)))
        first += len(stretches)
    return made


def questions_on(parts: Sequence[TracedPart], bridges: Sequence[Asked]) -> list[Question]:
    """Where an edge may be torn, but for what is bridged; they get their numbers later."""
    found = []
    for number, part in enumerate(parts):
        for name, edge, ring in _edges(part):
            of = _of(part, name)
            done = {lost for asked in bridges if _is_of(of, asked) for lost in _lost(of, asked)}
            found += [
                _question(number, one) for one in tears_in(edge, ring, of) if not done & _lost(of, one.bridge.asked)
            ]
    return found


def in_turn(questions: Sequence[Question]) -> tuple[Question, ...]:
    """Numbered from 1, those of the first part first."""
    return tuple(replace(one, number=n) for n, one in enumerate(sorted(questions, key=lambda one: one.part), 1))


def with_bridges(parts: Sequence[TracedPart], bridges: Sequence[Asked]) -> list[TracedPart]:
    """With the ends joined that the user names; raise `GasketError` for ends that cannot be."""
    numbers = [number for part in parts for one in part.stretches for number in one.numbers]
    least, most = min(numbers, default=0), max(numbers, default=0)
    for asked in bridges:
        for number in (asked.first, asked.last):
            if number not in numbers:
                raise GasketError(
                    f"--bridge {asked.words}: there is no stretch {number}; they go from {least} to {most}"
                )
        if not any(_is_of(_of(part, name), asked) for part in parts for name, _, _ in _edges(part)):
            raise GasketError(f"--bridge {asked.words}: the two do not lie on the same edge; see the overlay")
    return [_bridged(part, bridges) for part in parts]


def _bridged(part: TracedPart, bridges: Sequence[Asked]) -> TracedPart:
    rings, made = list(part.rings), part
    for place, (name, before, as_seen) in enumerate(_edges(part)):
        edge, ring, of = before, as_seen, tuple(_of(part, name))
        for asked in [one for one in bridges if _is_of(of, one)]:
            if not _is_of(of, asked):
                raise GasketError(f"--bridge {asked.words}: overlaps another bridge; say both as one")
            done = bridged(edge, ring, of, asked)
            edge, ring, of = done.edge, done.ring, done.stretches
            made = replace(made, bridges=(*made.bridges, done.bridge))
        if name == OUTLINE:
            made = replace(made, outline=edge, ring=ring)
        else:
            rings[len(part.holes) + place - 1] = ring
            windows = [replace(one, edge=edge) if one.name == name else one for one in made.windows]
            made = replace(made, windows=tuple(windows), rings=tuple(rings))
    return made


def _edges(part: TracedPart) -> list[tuple[str, FittedEdge, Array]]:
    """Name, edge and ring of the outline and of each window."""
    windows = zip(part.windows, part.rings[len(part.holes) :], strict=True)
    return [(OUTLINE, part.outline, part.ring), *((one.name, one.edge, ring) for one, ring in windows)]


def _of(part: TracedPart, name: str) -> list[Stretch]:
    return [one for one in part.stretches if one.of == name]


def _is_of(of: Sequence[Stretch], asked: Asked) -> bool:
    """Are both ends among them?"""
    there = {number for one in of for number in one.numbers}
    return {asked.first, asked.last} <= there


def _lost(of: Sequence[Stretch], asked: Asked) -> set[int]:
    """Numbers of what lies between the ends."""
    i, j = asked.first - of[0].number, asked.last - of[0].number
    return {of[n].number for n in places_between(of, i, j)}


def _question(part: int, tear: Tear) -> Question:
    asked = tear.bridge.asked
    where = "" if tear.bridge.of == OUTLINE else f" of {tear.bridge.of}"
    how = tear.bridge.text.split(": ", 1)[1]
    text = (
        f"the edge{where} is ragged for {tear.across:.1f} mm, {tear.deep:.1f} mm deep, at {place_text(tear.at)}: "
        "torn, or meant to be so?"
    )
    do = f"--bridge {asked.words}: {how}"
    reach = max(tear.across, tear.deep, 2.0)
    return Question(0, part, "torn", text, tear.at, reach, (tear.bridge.made,), (do,))
