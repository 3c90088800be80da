"""The drawn things as contours: chained, with what lies on each other merged, and every place that does not close."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import ceil

import numpy as np

from gasketcut.arrays import Integers
from gasketcut.plane import Point
from gasketcut.received.faults.flaw import Flaw
from gasketcut.received.faults.meetings import meetings_of
from gasketcut.received.faults.overlaps import Overlaps, merged, overlaps_of
from gasketcut.received.faults.taken import TOOL, Taken, is_marking
from gasketcut.received.faults.tool_lines import parted
from gasketcut.received.reading.chains import Chained, LooseEnd, chained, is_rounding
from gasketcut.received.reading.drawn_lines import DrawnLine
from gasketcut.received.reading.elements import NEAR, Elements, elements_of, near_pairs
from gasketcut.received.reading.plane import Plane
from gasketcut.shape.loop import Circle, Contour, Loop, Segment, circle_of

MOST_JOIN = 1.0
"""Gaps wider than this [mm] are not offered to be joined: what is missing may be a line. Our choice."""

_JOIN_STEP = 0.05
_TOUCH = 3  # decimals of a mm within which a bridge meets the cut that it leaves standing


@dataclass(frozen=True, slots=True)
class Closed:
    """A closed contour on its layer; `curve` if it is made of chords of a spline or an ellipse."""

    contour: Contour
    layer: str
    curve: bool

    @property
    def is_mark(self) -> bool:
        return is_marking(self.layer)


@dataclass(frozen=True, slots=True)
class Open:
    """A line that does not close."""

    segments: tuple[Segment, ...]
    layer: str
    is_mark: bool


@dataclass(slots=True)
class FoundContours:
    """Contours, open lines, what is not cut by the name of its layer, and what is wrong."""

    closed: list[Closed] = field(default_factory=list)
    open: list[Open] = field(default_factory=list)
    taken: list[Taken] = field(default_factory=list)
    flaws: list[Flaw] = field(default_factory=list)


def find_contours(drawn_lines: list[DrawnLine], plane: Plane, join: float) -> FoundContours:
    """Chain what is loose, layer by layer, and look where things meet that should not."""
    tool = [line for line in drawn_lines if line.layer.upper() in TOOL]
    rest = [line for line in drawn_lines if line.layer.upper() not in TOOL] if tool else drawn_lines
    result = _contours_of(rest, plane, join)
    way, cut = parted(tool, [one.contour for one in result.closed if not one.is_mark])
    if cut:
        gone = {id(line) for line in way}
        result = _contours_of([line for line in drawn_lines if id(line) not in gone], plane, join)
    marks = [line for line in rest if is_marking(line.layer)]
    for kind, lines in (("marking", marks), ("lead", way)):
        for layer in dict.fromkeys(line.layer for line in lines):
            on_it = [line for line in lines if line.layer == layer]
            result.taken.append(Taken(layer, kind, len(on_it), on_it[0].place))
    return result


def _contours_of(drawn_lines: list[DrawnLine], plane: Plane, join: float) -> FoundContours:
    result = FoundContours()
    lines = _bridged(result, drawn_lines, plane)
    if not lines:
        return result
    elements = elements_of(lines)
    i, j, complete = near_pairs(elements)
    if not complete:
        text = "too many lines lie over each other to take them apart"
        result.flaws.append(Flaw("crowded", None, text, "ask for the drawing"))
        return result
    marks = np.array([is_marking(line.layer) for line in lines])[elements.owner]
    level = marks[i] == marks[j]
    overlaps = overlaps_of(elements, i[level], j[level])
    _report_overlaps(result, lines, elements, overlaps, plane)
    gone, made = merged(elements, overlaps)
    touched = {int(elements.owner[one]) for one in gone}
    chains = _chains(result, lines, elements, gone, made, touched, plane, join)
    if not chains:
        return result
    del elements, i, j, overlaps, marks, level  # of a long drawing they weigh as much as what follows
    elements = elements_of([line for line, _ in chains])
    i, j, _ = near_pairs(elements)
    _report_meetings(result, chains, elements, i, j, plane)
    return result


def _bridged(result: FoundContours, lines: list[DrawnLine], plane: Plane) -> list[DrawnLine]:
    """With what lies on BRIDGE, which is off, on the layer of the cut whose two ends it joins: a tab that is left
    standing closes its contour. What joins nothing is as hidden as on any layer that is off."""
    if not any(line.off for line in lines):
        return lines
    ends: dict[Point, str] = {}
    for line in lines:
        if not line.closed and not line.off:
            ends |= {_cell(end): line.layer for end in (line.segments[0].start, line.segments[-1].end)}
    found = []
    for line in lines:
        if not line.off:
            found.append(line)
            continue
        joins = {ends.get(_cell(end)) for end in (line.segments[0].start, line.segments[-1].end)}
        layer = next(iter(joins))
        if layer is not None and len(joins) == 1:
            found.append(replace(line, layer=layer))
        else:
            text = f"{line.type} lies on layer {line.layer}, which is off: would it be cut?"
            result.flaws.append(Flaw("hidden", plane.back(line.place), text, "--drop hidden leaves it out"))
    return found


def _cell(point: Point) -> Point:
    return round(point[0], _TOUCH), round(point[1], _TOUCH)


def _chains(
    result: FoundContours,
    lines: list[DrawnLine],
    elements: Elements,
    gone: set[int],
    made: list[tuple[int, Segment]],
    touched: set[int],
    plane: Plane,
    join: float,
) -> list[tuple[DrawnLine, bool]]:
    """Fill `closed` and `open`; return every chain as a drawn line, and whether it is a closed contour that is cut."""
    whole = [line for number, line in enumerate(lines) if line.closed and number not in touched]
    loose: dict[str, list[tuple[Segment, ...]]] = {}
    names: dict[str, str] = {}
    curves: set[Point] = set()
    number = 0
    for owner, line in enumerate(lines):
        count = len(line.segments)
        names.setdefault(line.layer.upper(), line.layer)
        rows = loose.setdefault(line.layer.upper(), [])
        if owner in touched:
            rows += [(one,) for n, one in enumerate(line.segments, number) if n not in gone]
        elif not line.closed:
            rows.append(line.segments)
        if line.curve:
            curves.add(line.segments[0].start)
            curves.add(line.segments[-1].end)
        number += count
    for first, segment in made:
        loose[lines[int(elements.owner[first])].layer.upper()].append((segment,))
    found = [(line, not is_marking(line.layer)) for line in whole]
    for line in whole:
        result.closed.append(Closed(_contour(line.segments, line.circle), line.layer, line.curve))
    for key, rows in loose.items():
        layer = names[key]
        joined = chained(rows, join)
        if not is_marking(layer):
            _report_ends(result, joined, plane)
        for chain in joined.chains:
            curve = any(one.start in curves or one.end in curves for one in chain.segments)
            found.append(
                (DrawnLine("CHAIN", layer, chain.segments, chain.closed, curve), chain.closed and not is_marking(layer))
            )
            if chain.closed:
                result.closed.append(Closed(_contour(chain.segments, circle_of(chain.segments)), layer, curve))
            else:
                result.open.append(Open(chain.segments, layer, is_marking(layer)))
    return found


def _report_overlaps(
    result: FoundContours, lines: list[DrawnLine], elements: Elements, overlaps: Overlaps, plane: Plane
) -> None:
    """Once for each pair of things drawn."""
    pairs: dict[tuple[int, int], list[int]] = {}
    for n, (a, b) in enumerate(zip(elements.owner[overlaps.i], elements.owner[overlaps.j], strict=True)):
        pairs.setdefault((int(a), int(b)), []).append(n)
    for (a, b), rows in pairs.items():
        least = min(len(lines[a].segments), len(lines[b].segments))
        same = bool(overlaps.same[rows].all()) and len(rows) >= least and a != b
        at = plane.back(_middle(elements, int(overlaps.j[rows[0]])))
        what = f"{lines[b].type} on layer {lines[b].layer}"
        if same:
            result.flaws.append(Flaw("duplicate", at, f"{what} is there twice", "drop one"))
        else:
            result.flaws.append(Flaw("overlap", at, f"{what} partly lies on another line", "make one line of them"))


def _report_ends(result: FoundContours, joined: Chained, plane: Plane) -> None:
    for gap in joined.gaps:
        kind = "gap-rounding" if is_rounding(gap) else "gap"
        text = f"two ends miss each other by {gap.width:.2g} mm"
        result.flaws.append(Flaw(kind, plane.back(gap.at), text, "join them"))
    for branch in joined.branches:
        text = f"{branch.count} lines meet in a point"
        result.flaws.append(Flaw("branch", plane.back(branch.at), text, "leave two of them"))
    for at in joined.slivers:
        result.flaws.append(Flaw("sliver", plane.back(at), "a line shorter than any cut", "leave it out"))
    for end in joined.loose:
        far = f"; the next loose end is {end.nearest:.3g} mm away" if end.nearest is not None else ""
        result.flaws.append(Flaw("open", plane.back(end.at), f"a line ends here{far}", _closing(end)))


def _closing(end: LooseEnd) -> str:
    """What closes it: a greater `--join`, where that can only join these two."""
    if not end.pairs or end.nearest is None or end.nearest > MOST_JOIN:
        return "close the contour"
    steps = ceil(end.nearest / _JOIN_STEP + 0.1)
    return f"no third end is near, so --join {steps * _JOIN_STEP:.2f}mm closes it"


def _report_meetings(
    result: FoundContours,
    chains: list[tuple[DrawnLine, bool]],
    elements: Elements,
    i: Integers,
    j: Integers,
    plane: Plane,
) -> None:
    """Crossings of anything that is cut; touching only of closed contours: an open end is reported as such."""
    cut = np.array([not is_marking(line.layer) for line, _ in chains])
    closed = np.array([is_closed for _, is_closed in chains])
    keep = cut[elements.owner[i]] & cut[elements.owner[j]]
    i, j = i[keep], j[keep]
    found = meetings_of(elements, i, j)
    p, q = elements.owner[found.i], elements.owner[found.j]
    rows = [
        (a, b, ("self-crossing" if a == b else "crossing") if crosses else "touching", x, y)
        for a, b, crosses, (x, y) in zip(p.tolist(), q.tolist(), found.cross, found.place.tolist(), strict=True)
    ]
    # Corners of two contours in one place: each is whole, but together they touch.
    p, q = elements.owner[i], elements.owner[j]
    for ends in (elements.start[j], elements.end[j]):
        corner = (p != q) & (np.hypot(*(elements.start[i] - ends).T) <= 2 * NEAR)
        places = elements.start[i[corner]].tolist()
        rows += [
            (a, b, "touching", *at) for a, b, at in zip(p[corner].tolist(), q[corner].tolist(), places, strict=True)
        ]
    reported = set()
    for a, b, kind, x, y in rows:
        key = (min(a, b), max(a, b), kind, round(x * 100), round(y * 100))
        if key not in reported and (kind != "touching" or (closed[a] and closed[b])):
            reported.add(key)
            _report(result, kind, plane.back((x, y)))


def _report(result: FoundContours, kind: str, at: Point) -> None:
    text = {
        "crossing": "two lines cross",
        "self-crossing": "a line crosses itself",
        "touching": "two contours touch, or one touches itself",
    }[kind]
    result.flaws.append(Flaw(kind, at, text, "decide which of them is meant"))


def _contour(segments: tuple[Segment, ...], circle: Circle | None) -> Contour:
    if circle is not None:
        return circle
    return Loop(tuple(one.start for one in segments), tuple(one.bulge for one in segments))


def _middle(elements: Elements, n: int) -> Point:
    if elements.radius[n] > 0:
        turn = elements.first[n] + elements.sweep[n] / 2
        x, y = elements.center[n] + elements.radius[n] * np.array([np.cos(turn), np.sin(turn)])
    else:
        x, y = (elements.start[n] + elements.end[n]) / 2
    return float(x), float(y)
