"""The drawn things as contours: chained, with what lies on each other merged, and every place that does not close."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import hypot

import numpy as np

from gasketcut.arrays import Integers
from gasketcut.plane import Point
from gasketcut.received.faults.flaw import Flaw
from gasketcut.received.faults.meetings import meetings_of
from gasketcut.received.faults.overlaps import Overlaps, merged, overlaps_of
from gasketcut.received.reading.chains import Chained, Path, chained, is_rounding
from gasketcut.received.reading.elements import NEAR, Elements, elements_of, near_pairs
from gasketcut.received.reading.pieces import BRIDGE, Piece
from gasketcut.received.reading.plane import Plane
from gasketcut.received.reading.rounds import as_circle
from gasketcut.shape.loop import Circle, Contour, Loop, Segment

MARKING = ("MARK", "ENGRAV", "ETCH", "SCRIBE", "SCORE")
"""What a layer's name holds if its lines are not cut through: they need not close."""

TOOL = ("LEAD", "OVERCUT")
"""Layers of our own files that show the tool's way beside the contour."""

_TOUCH = 3  # decimals of a mm within which a bridge meets the cut that it leaves standing


@dataclass(frozen=True, slots=True)
class Closed:
    """A closed contour on its layer; `curve` if it is made of chords of a spline or an ellipse."""

    contour: Contour
    layer: str
    curve: bool

    @property
    def is_mark(self) -> bool:
        return _marks(self.layer)


@dataclass(frozen=True, slots=True)
class Open:
    """A line that does not close."""

    segments: tuple[Segment, ...]
    layer: str
    is_mark: bool


@dataclass(slots=True)
class Seen:
    """Contours, open lines and what is wrong with them."""

    closed: list[Closed] = field(default_factory=list)
    open: list[Open] = field(default_factory=list)
    flaws: list[Flaw] = field(default_factory=list)


def contours_seen(drawn_pieces: list[Piece], plane: Plane, join: float) -> Seen:
    """Chain what is loose, layer by layer, and look where things meet that should not."""
    seen = Seen()
    pieces = _bridged(seen, [piece for piece in drawn_pieces if piece.layer.upper() not in TOOL], plane)
    if not pieces:
        return seen
    elements = elements_of(pieces)
    i, j, complete = near_pairs(elements)
    if not complete:
        text = "so many lines lie over each other that they cannot be told apart"
        seen.flaws.append(Flaw("crowded", None, text, "ask for the drawing"))
        return seen
    marks = np.array([_marks(piece.layer) for piece in pieces])[elements.owner]
    level = marks[i] == marks[j]
    overlaps = overlaps_of(elements, i[level], j[level])
    _tell_overlaps(seen, pieces, elements, overlaps, plane)
    gone, made = merged(elements, overlaps)
    touched = {int(elements.owner[one]) for one in gone}
    paths = _paths(seen, pieces, elements, gone, made, touched, plane, join)
    if not paths:
        return seen
    elements = elements_of([piece for piece, _ in paths])
    i, j, _ = near_pairs(elements)
    _tell_meetings(seen, paths, elements, i, j, plane)
    return seen


def _bridged(seen: Seen, pieces: list[Piece], plane: Plane) -> list[Piece]:
    """With what lies on BRIDGE, which is off, on the layer of the cut whose two ends it joins: a tab that is left
    standing closes its contour. What joins nothing is as hidden as on any layer that is off."""
    ends: dict[Point, str] = {}
    for piece in pieces:
        if not piece.closed and piece.layer.upper() != BRIDGE:
            ends |= {_cell(end): piece.layer for end in (piece.segments[0].start, piece.segments[-1].end)}
    found = []
    for piece in pieces:
        if piece.layer.upper() != BRIDGE:
            found.append(piece)
            continue
        joins = {ends.get(_cell(end)) for end in (piece.segments[0].start, piece.segments[-1].end)}
        layer = next(iter(joins))
        if layer is not None and len(joins) == 1:
            found.append(replace(piece, layer=layer))
        else:
            text = f"{piece.type} lies on layer {piece.layer}, which is off: would it be cut?"
            seen.flaws.append(Flaw("hidden", plane.back(piece.place), text, "--drop hidden leaves it out"))
    return found


def _cell(point: Point) -> Point:
    return round(point[0], _TOUCH), round(point[1], _TOUCH)


def _paths(seen: Seen, pieces: list[Piece], elements: Elements, gone: set[int], made: list[tuple[int, Segment]],
           touched: set[int], plane: Plane, join: float) -> list[tuple[Piece, bool]]:  # fmt: skip
    """Fill `closed` and `open`; return every path as a piece, and whether it is a closed contour that is cut."""
    whole = [piece for number, piece in enumerate(pieces) if piece.closed and number not in touched]
    loose: dict[str, list[tuple[Segment, ...]]] = {}
    names: dict[str, str] = {}
    curves: set[Point] = set()
    number = 0
    for owner, piece in enumerate(pieces):
        count = len(piece.segments)
        names.setdefault(piece.layer.upper(), piece.layer)
        rows = loose.setdefault(piece.layer.upper(), [])
        if owner in touched:
            rows += [(one,) for n, one in enumerate(piece.segments, number) if n not in gone]
        elif not piece.closed:
            rows.append(piece.segments)
        if piece.curve:
            curves.add(piece.segments[0].start)
            curves.add(piece.segments[-1].end)
        number += count
    for first, segment in made:
        loose[pieces[int(elements.owner[first])].layer.upper()].append((segment,))
    found = [(piece, not _marks(piece.layer)) for piece in whole]
    for piece in whole:
        seen.closed.append(Closed(_contour(piece.segments, piece.circle), piece.layer, piece.curve))
        _tell_lines_for_circle(seen, seen.closed[-1], plane)
    for key, rows in loose.items():
        layer = names[key]
        joined = chained(rows, join)
        if not _marks(layer):
            _tell_ends(seen, joined, plane)
        for path in joined.paths:
            curve = any(one.start in curves or one.end in curves for one in path.segments)
            found.append((Piece("PATH", layer, path.segments, path.closed, curve), path.closed and not _marks(layer)))
            if path.closed:
                seen.closed.append(Closed(_contour(path.segments, _one_circle(path)), layer, curve))
                _tell_lines_for_circle(seen, seen.closed[-1], plane)
            else:
                seen.open.append(Open(path.segments, layer, _marks(layer)))
    return found


def _tell_overlaps(seen: Seen, pieces: list[Piece], elements: Elements, overlaps: Overlaps, plane: Plane) -> None:
    """Once for each pair of things drawn."""
    pairs: dict[tuple[int, int], list[int]] = {}
    for n, (a, b) in enumerate(zip(elements.owner[overlaps.i], elements.owner[overlaps.j], strict=True)):
        pairs.setdefault((int(a), int(b)), []).append(n)
    for (a, b), rows in pairs.items():
        least = min(len(pieces[a].segments), len(pieces[b].segments))
        same = bool(overlaps.same[rows].all()) and len(rows) >= least and a != b
        at = plane.back(_middle(elements, int(overlaps.j[rows[0]])))
        what = f"{pieces[b].type} on layer {pieces[b].layer}"
        if same:
            seen.flaws.append(Flaw("duplicate", at, f"{what} is there twice", "drop one"))
        else:
            seen.flaws.append(Flaw("overlap", at, f"{what} partly lies on another line", "make one line of them"))


def _tell_ends(seen: Seen, joined: Chained, plane: Plane) -> None:
    for gap in joined.gaps:
        kind = "gap-rounding" if is_rounding(gap) else "gap"
        text = f"two ends miss each other by {gap.width:.2g} mm"
        seen.flaws.append(Flaw(kind, plane.back(gap.at), text, "join them"))
    for branch in joined.branches:
        text = f"{branch.count} lines meet in a point"
        seen.flaws.append(Flaw("branch", plane.back(branch.at), text, "leave two of them"))
    for at in joined.slivers:
        seen.flaws.append(Flaw("sliver", plane.back(at), "a line shorter than any cut", "leave it out"))
    for end in joined.loose:
        far = f"; the next loose end is {end.nearest:.3g} mm away" if end.nearest is not None else ""
        seen.flaws.append(Flaw("open", plane.back(end.at), f"a line ends here{far}", "close the contour"))


def _tell_lines_for_circle(seen: Seen, one: Closed, plane: Plane) -> None:
    if one.curve or isinstance(one.contour, Circle):
        return
    round_one = as_circle(one.contour)
    if round_one is not None:
        circle, off = round_one
        text = f"a circle of {2 * circle.radius:.4g} mm as {len(one.contour.points)} lines, {off:.2g} mm off it"
        seen.flaws.append(Flaw("circle-as-lines", plane.back(circle.center), text, "make it a circle"))


def _tell_meetings(seen: Seen, paths: list[tuple[Piece, bool]], elements: Elements, i: Integers, j: Integers,
                   plane: Plane) -> None:  # fmt: skip
    """Crossings of anything that is cut; touching only of closed contours: an open end is told as such."""
    cut = np.array([not _marks(piece.layer) for piece, _ in paths])
    closed = np.array([is_closed for _, is_closed in paths])
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
    told = set()
    for a, b, kind, x, y in rows:
        key = (min(a, b), max(a, b), kind, round(x * 100), round(y * 100))
        if key not in told and (kind != "touching" or (closed[a] and closed[b])):
            told.add(key)
            _tell(seen, kind, plane.back((x, y)))


def _tell(seen: Seen, kind: str, at: Point) -> None:
    text = {
        "crossing": "two lines cross",
        "self-crossing": "a line crosses itself",
        "touching": "two contours touch, or one touches itself",
    }[kind]
    seen.flaws.append(Flaw(kind, at, text, "decide which of them is meant"))


def _marks(layer: str) -> bool:
    return any(word in layer.upper() for word in MARKING)


def _contour(segments: tuple[Segment, ...], circle: Circle | None) -> Contour:
    if circle is not None:
        return circle
    return Loop(tuple(one.start for one in segments), tuple(one.bulge for one in segments))


def _one_circle(path: Path) -> Circle | None:
    """Arcs that together are one circle."""
    first = path.segments[0]
    if any(one.bulge == 0 for one in path.segments):
        return None
    center, radius = first.center, first.radius
    for one in path.segments[1:]:
        if hypot(one.center[0] - center[0], one.center[1] - center[1]) > 1e-6 or abs(one.radius - radius) > 1e-6:
            return None
    turn = sum(one.sweep for one in path.segments)
    return Circle(center, radius) if abs(abs(turn) - 360.0) < 1e-6 else None


def _middle(elements: Elements, n: int) -> Point:
    if elements.radius[n] > 0:
        turn = elements.first[n] + elements.sweep[n] / 2
        x, y = elements.center[n] + elements.radius[n] * np.array([np.cos(turn), np.sin(turn)])
    else:
        x, y = (elements.start[n] + elements.end[n]) / 2
    return float(x), float(y)
