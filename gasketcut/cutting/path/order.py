"""In which order the strokes are made.

All marks first, while the sheet is whole and flat; then part after part, in each the inside before the outside; a
part that lies in another's opening before that other; among what remains, the shortest travel.
Source: a laser service's guide gives engraving, inner holes, outer profile, next part. Marks of all parts before the
first cut are our choice: a sheet that has been cut no longer lies still.

Node    a stroke with every start it may have: the vertices of a closed one, either end of a mark. A whole circle
        starts at three o'clock, where programs start one that is drawn as a circle.
Travel  from the corner of the sheet to the first start, and from every end to the next start [mm], tool up.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import dist

import numpy as np
import shapely
from shapely.geometry import Polygon

from gasketcut.arrays import Array
from gasketcut.cutting.path.stroke import INSIDE, MARK, OUTSIDE, Stroke
from gasketcut.cutting.path.tour import between_parts, shorter, starts_for
from gasketcut.plane import Point

_STARTS = 32  # starts tried of a contour with more vertices than that
_COARSE = 0.05  # mm; fine enough to say which contour lies in which


@dataclass(frozen=True, slots=True)
class OrderedStrokes:
    """Strokes in the order in which to make them, and the travel between them [mm]."""

    strokes: tuple[Stroke, ...]
    travel: float


@dataclass(frozen=True, slots=True)
class _Node:
    stroke: Stroke
    starts: Array  # shape (n, 2)
    ends: Array

    def begun(self, number: int) -> Stroke:
        if self.stroke.circle or len(self.starts) == 1:
            return self.stroke
        if not self.stroke.is_closed:
            return self.stroke.reversed() if number else self.stroke
        return self.stroke.from_vertex(_vertices(len(self.stroke.segments))[number])


def ordered(strokes: Iterable[Stroke], origin: Point = (0.0, 0.0)) -> OrderedStrokes:
    """Whole strokes (marks, inner and outer contours) in the order in which to make them.

    No stroke's shape changes; a mark may be made the other way, a closed stroke may start at another of its vertices.
    """
    nodes = [_node(stroke) for stroke in strokes]
    marks = [node for node in nodes if node.stroke.layer == MARK]
    parts: dict[int, list[_Node]] = {}
    for layer in (INSIDE, OUTSIDE):
        for node in nodes:
            if node.stroke.layer == layer:
                parts.setdefault(node.stroke.part, []).append(node)
    before = _nested(parts)

    at = origin
    best_marks = _marks_in_order(marks, at)
    if best_marks:
        at = best_marks[-1].stroke.end
    tries = [_first_inside_out(parts, before), _nearest_parts(parts, before, at)]
    tries.append(_improved(tries[1], before, at))
    sequences = [[node for part in order for node in part] for order in tries]
    paths = [_begun([*best_marks, *sequence], origin) for sequence in sequences]
    return min(paths, key=lambda path: round(path.travel, 6))


def travel(strokes: Sequence[Stroke], origin: Point = (0.0, 0.0)) -> float:
    """From the origin through all strokes as they are [mm]; without the way home."""
    ends = [origin, *(stroke.end for stroke in strokes)]
    return sum(dist(end, stroke.start) for end, stroke in zip(ends, strokes, strict=False))


def _node(stroke: Stroke) -> _Node:
    if stroke.circle or (not stroke.is_closed and stroke.layer != MARK):
        return _Node(stroke, np.array([stroke.start]), np.array([stroke.end]))
    if not stroke.is_closed:
        both = np.array([stroke.start, stroke.end])
        return _Node(stroke, both, both[::-1])
    starts = np.array([stroke.segments[number].start for number in _vertices(len(stroke.segments))])
    return _Node(stroke, starts, starts)


def _vertices(count: int) -> list[int]:
    """Which vertices of a contour may be its start."""
    if count <= _STARTS:
        return list(range(count))
    return [number * count // _STARTS for number in range(_STARTS)]


def _begun(nodes: Sequence[_Node], origin: Point) -> OrderedStrokes:
    """Every stroke begun at the start that makes the whole travel shortest in this order."""
    chosen = starts_for([(node.starts, node.ends) for node in nodes], origin)
    strokes = tuple(node.begun(number) for node, number in zip(nodes, chosen, strict=True))
    return OrderedStrokes(strokes, travel(strokes, origin))


def _marks_in_order(marks: list[_Node], at: Point) -> list[_Node]:
    near = _nearest(marks, at)
    middles = np.array([(node.starts[0] + node.ends[0]) / 2 for node in near]).reshape(-1, 2)
    again = [near[number] for number in shorter(middles, at, None)]
    paths = [(_begun(order, at), order) for order in (marks, near, again)]
    best, order = min(paths, key=lambda one: round(one[0].travel, 6))
    return [_Node(stroke, np.array([stroke.start]), np.array([stroke.end])) for stroke in best.strokes] or order


def _nearest(nodes: Sequence[_Node], at: Point) -> list[_Node]:
    """Each time the node with the nearest start; it is left at the end that goes with it."""
    if not nodes:
        return []
    starts = np.vstack([node.starts for node in nodes])
    ends = np.vstack([node.ends for node in nodes])
    owner = np.repeat(np.arange(len(nodes)), [len(node.starts) for node in nodes])
    free = np.ones(len(starts), dtype=bool)
    order, here = [], np.asarray(at)
    for _ in nodes:
        away = np.where(free, np.hypot(*(starts - here).T), np.inf)
        number = int(np.argmin(np.round(away, 9)))
        order.append(nodes[int(owner[number])])
        here = ends[number]
        free &= owner != owner[number]
    return order


def _first_inside_out(parts: dict[int, list[_Node]], before: dict[int, set[int]]) -> list[list[_Node]]:
    """The parts as they were given, but each after those that lie in it."""
    order: list[int] = []
    left = list(parts)
    while left:
        ready = next(part for part in left if before[part] <= set(order))
        order.append(ready)
        left.remove(ready)
    return [parts[part] for part in order]


def _nearest_parts(parts: dict[int, list[_Node]], before: dict[int, set[int]], at: Point) -> list[list[_Node]]:
    """Each time the part with the nearest start among those that may be cut, and in it the nearest contour."""
    numbers = list(parts)
    first = [[node for node in parts[part] if node.stroke.layer == INSIDE] or parts[part] for part in numbers]
    starts = np.vstack([np.vstack([node.starts for node in nodes]) for nodes in first]) if numbers else np.empty((0, 2))
    owner = np.repeat(np.arange(len(numbers)), [sum(len(node.starts) for node in nodes) for nodes in first])
    done: set[int] = set()
    found, here = [], np.asarray(at)
    waits = np.array([bool(before[part]) for part in numbers])
    gone = np.zeros(len(numbers), dtype=bool)
    for _ in numbers:
        away = np.where((waits | gone)[owner], np.inf, np.hypot(*(starts - here).T))
        pick = int(owner[int(np.argmin(np.round(away, 9)))])
        nodes = parts[numbers[pick]]
        inside = _nearest([node for node in nodes if node.stroke.layer == INSIDE], (float(here[0]), float(here[1])))
        found.append([*inside, *(node for node in nodes if node.stroke.layer != INSIDE)])
        gone[pick] = True
        done.add(numbers[pick])
        here = found[-1][-1].ends[0]
        for number in np.flatnonzero(waits & ~gone):
            waits[number] = not before[numbers[int(number)]] <= done
    return found


def _improved(order: list[list[_Node]], before: dict[int, set[int]], at: Point) -> list[list[_Node]]:
    """Parts moved and contours within each exchanged as long as that shortens the travel."""
    for _ in range(2):
        begun = _in_parts(_begun([node for part in order for node in part], at).strokes)
        enter = np.array([part[0].start for part in begun]).reshape(-1, 2)
        leave = np.array([part[-1].end for part in begun]).reshape(-1, 2)
        numbers = [part[0].stroke.part for part in order]
        place = {part: number for number, part in enumerate(numbers)}
        pairs = [(place[one], place[part]) for part in numbers for one in before[part]]
        order = [order[number] for number in between_parts(enter, leave, at, pairs)]

        begun = _in_parts(_begun([node for part in order for node in part], at).strokes)
        here, again = at, []
        for nodes, strokes in zip(order, begun, strict=True):
            middles = np.array([stroke.start for stroke in strokes[:-1]]).reshape(-1, 2)
            turn = shorter(middles, here, strokes[-1].start)
            again.append([*(nodes[number] for number in turn), nodes[-1]])
            here = strokes[-1].end
        order = again
    return order


def _in_parts(strokes: Sequence[Stroke]) -> list[list[Stroke]]:
    found: list[list[Stroke]] = []
    for stroke in strokes:
        if not found or found[-1][0].part != stroke.part:
            found.append([])
        found[-1].append(stroke)
    return found


def _nested(parts: dict[int, list[_Node]]) -> dict[int, set[int]]:
    """For each part, those that lie in one of its openings."""
    before: dict[int, set[int]] = {part: set() for part in parts}
    if len(parts) < 2:
        return before
    inner = [node.stroke for nodes in parts.values() for node in nodes if node.stroke.layer == INSIDE]
    closed = [stroke for stroke in inner if stroke.is_closed]
    outer = [nodes[-1].stroke for nodes in parts.values()]
    tree = shapely.STRtree([Polygon(stroke.flattened(_COARSE)) for stroke in closed])
    for one, other in tree.query(shapely.points([stroke.start for stroke in outer]), predicate="within").T:
        if outer[one].part != closed[other].part:
            before[closed[other].part].add(outer[one].part)
    return before
