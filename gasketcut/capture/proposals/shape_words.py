"""A fitted loop in the words of the job file where it is one of its shapes, else its points and bulges."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, degrees, hypot, pi, tan

from gasketcut.shape.loop import Circle, Contour, Loop, Outline, Segment

_SAME = 0.02
"""mm by which sides or radii of a shape may differ: after the proposals were accepted they do not. Our choice."""

_QUARTER, _HALF = tan(pi / 8), 1.0  # bulges of a quarter and of half a circle
_BULGE = 0.004


def shape_words(contour: Contour) -> str:
    """`{ round = d }`, `{ rectangle = [w, h], corner = r }`, `{ slot = [l, w] }`, else `{ points, bulges }`, placed."""
    found = _found(contour)
    return f"{{ {found.shape}{_at(found)}{_turn(found)} }}"


def placed_rows(contour: Contour, key: str) -> list[str]:
    """The same for a port or passage, whose place stands beside its shape: that of `cut`, or of the metal's `shape`."""
    found = _found(contour)
    if isinstance(contour, Loop) and found == _Found(_points(contour)):
        # About their own middle, so that they have a place, and what is measured in the metal can be laid there.
        left, low, right, high = Outline(contour, (), 0.0).bounds
        x, y = round((left + right) / 2, 3), round((low + high) / 2, 3)
        moved = Loop(tuple((u - x, v - y) for u, v in contour.points), contour.bulges)
        found = _Found(_points(moved), x, y)
    beside = [part.removeprefix(", ") for part in (_at(found), _turn(found)) if part]
    return [*beside, f"{key} = {{ {found.shape} }}"]


def unplaced_words(contour: Contour) -> str:
    """The same where nothing says of a place: a shape about (0, 0), else points."""
    found = _found(contour)
    if _at(found) or _turn(found):
        found = _Found(_points(contour if isinstance(contour, Loop) else _two_halves(contour)))
    return f"{{ {found.shape} }}"


def _two_halves(circle: Circle) -> Loop:
    (x, y), r = circle.center, circle.radius
    return Loop(((x - r, y), (x + r, y)), (1.0, 1.0))


@dataclass(frozen=True, slots=True)
class FoundSlot:
    """Over all and across [mm], its middle and its turn [deg]."""

    length: float
    width: float
    at: tuple[float, float]
    turn: float


@dataclass(frozen=True, slots=True)
class _Found:
    """The inside of the shape's braces, its place and its turn [deg]."""

    shape: str
    x: float = 0.0
    y: float = 0.0
    turn: float = 0.0


def _found(contour: Contour) -> _Found:
    if isinstance(contour, Circle):
        return _Found(f"round = {2 * contour.radius:.3f}", *contour.center)
    if rectangle := _rectangle(contour):
        return rectangle
    if slot := slot_of(contour):
        return _Found(f"slot = [{slot.length:.3f}, {slot.width:.3f}]", *slot.at, slot.turn)
    return _Found(_points(contour))


def _rectangle(loop: Loop) -> _Found | None:
    """Four edges, alike two by two and square to each other, and four quarter circles of one radius."""
    segments = _from_a_line(loop, 8)
    if segments is None:
        return None
    lines, arcs = segments[0::2], segments[1::2]
    if any(abs(abs(arc.bulge) - _QUARTER) > _BULGE for arc in arcs) or len({arc.bulge > 0 for arc in arcs}) > 1:
        return None
    radii = [arc.radius for arc in arcs]
    corner = sum(radii) / 4
    sides = [(lines[n].chord + lines[n + 2].chord) / 2 + 2 * corner for n in (0, 1)]
    uneven = max(abs(lines[n].chord - lines[n + 2].chord) for n in (0, 1))
    if max(radii) - min(radii) > _SAME or uneven > _SAME:
        return None
    x, y = _middle([arc.center for arc in arcs])
    turn = degrees(atan2(lines[0].end[1] - lines[0].start[1], lines[0].end[0] - lines[0].start[0]))
    return _Found(f"rectangle = [{sides[0]:.3f}, {sides[1]:.3f}], corner = {corner:.3f}", x, y, turn)


def slot_of(loop: Loop) -> FoundSlot | None:
    """Two edges alike and two half circles of one radius."""
    segments = _from_a_line(loop, 4)
    if segments is None:
        return None
    lines, ends = segments[0::2], segments[1::2]
    if any(abs(abs(end.bulge) - _HALF) > _BULGE for end in ends) or abs(ends[0].radius - ends[1].radius) > _SAME:
        return None
    if abs(lines[0].chord - lines[1].chord) > _SAME:
        return None
    width = ends[0].radius + ends[1].radius
    length = (lines[0].chord + lines[1].chord) / 2 + width
    turn = degrees(atan2(lines[0].end[1] - lines[0].start[1], lines[0].end[0] - lines[0].start[0]))
    return FoundSlot(length, width, _middle([end.center for end in ends]), (turn + 90) % 180 - 90)


def _from_a_line(loop: Loop, count: int) -> list[Segment] | None:
    """The segments, a line first, if lines and arcs take turns and there are so many."""
    segments = _without_seams(list(loop.segments()))
    if len(segments) != count:
        return None
    first = 0 if segments[0].bulge == 0 else 1
    segments = [*segments[first:], *segments[:first]]
    takes_turns = all((one.bulge == 0) == (n % 2 == 0) for n, one in enumerate(segments))
    return segments if takes_turns else None


def _without_seams(segments: list[Segment]) -> list[Segment]:
    """A straight edge in whose middle the edge began is one again."""
    kept: list[Segment] = []
    for one in [*segments[1:], *segments[:1]]:
        if kept and _is_seam(kept[-1], one):
            kept[-1] = Segment(kept[-1].start, one.end, 0.0)
        else:
            kept.append(one)
    return kept


def _is_seam(before: Segment, after: Segment) -> bool:
    if before.bulge or after.bulge:
        return False
    (x0, y0), (x, y), (x1, y1) = before.start, before.end, after.end
    chord = hypot(x1 - x0, y1 - y0)
    return chord > 0 and abs((x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)) / chord <= _SAME / 2


def _middle(places: list[tuple[float, float]]) -> tuple[float, float]:
    return sum(x for x, _ in places) / len(places), sum(y for _, y in places) / len(places)


def _at(found: _Found) -> str:
    return f", at = [{found.x:.3f}, {found.y:.3f}]" if hypot(found.x, found.y) > 0.0007 else ""


def _turn(found: _Found) -> str:
    turn = (found.turn + 90) % 180 - 90
    return f', turn = "{turn:.3f} deg"' if abs(turn) > 0.0007 else ""


def _points(loop: Loop) -> str:
    """Points, and a bulge for the arc behind each, 0 for a line."""
    places = [f"[{x:.4f}, {y:.4f}]" for x, y in loop.points]
    bulges = [f"{bulge:.6f}" if bulge else "0" for bulge in loop.bulges]
    lines = [",\n    ".join(", ".join(words[n : n + 5]) for n in range(0, len(words), 5)) for words in (places, bulges)]
    return f"points = [\n    {lines[0]},\n  ], bulges = [\n    {lines[1]},\n  ]"
