"""Do the two faces of a joint go together, with a gasket between them or without?

Step   metal of one face standing in the other's window at the edge of a port. What the gas meets is an obstacle; what
       it leaves behind is only a pocket.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

import numpy as np
import shapely
from shapely.geometry import Polygon

from gasketcut.finding import Finding, Weight
from gasketcut.length import both
from gasketcut.parts.faces import Face, Faces
from gasketcut.parts.part import FlangeOpening, Stud
from gasketcut.shape.motion import Locator, seat

STEP = 0.1
"""mm of step that a scraper takes off; less is not worth a word. Our choice."""

HALF_COVERED = 0.98
"""Share of a passage that has to meet the other face's; less is half covered. Our choice."""


def faces(joint: Faces) -> Iterator[Finding]:
    """Every finding about the two faces against each other."""
    first, second = joint.pair
    for metal in first.flange_openings:
        yield from _windows(joint, metal, second)
    for metal in second.flange_openings:
        if not any(metal.name == other.name or metal.shape.intersects(other.shape) for other in first.flange_openings):
            yield _blind(joint, metal, first)
    yield from _studs(joint)


def _windows(joint: Faces, metal: FlangeOpening, other: Face) -> Iterator[Finding]:
    if metal.face is None:
        return  # the same on both faces
    named = [one for one in other.flange_openings if one.name == metal.name]
    meeting = named or [one for one in other.flange_openings if one.shape.intersects(metal.shape)]
    if not meeting or not meeting[0].shape.intersects(metal.shape):
        yield _blind(joint, metal, other)
        return
    facing = meeting[0]
    smaller = min(metal.shape.area, facing.shape.area)
    share = metal.shape.intersection(facing.shape).area / smaller
    if share < HALF_COVERED and metal.role == "passage":
        yield _finding(
            joint,
            "passage",
            "stop",
            metal.shape,
            f"passage '{metal.name}' is covered by {1 - share:.0%}: the two faces do not meet there",
            "move or open one of them",
            (share, HALF_COVERED),
        )
    first, second = joint.pair
    meets, place = _stands_in(metal.shape, facing.shape)
    leaves, _ = _stands_in(facing.shape, metal.shape)
    if meets > STEP:
        yield Finding(
            rule="step",
            weight="warn",
            part=joint.name,
            at=place,
            found=meets,
            wanted=STEP,
            text=f"{metal.role} '{metal.name}': {second.name} stands {both(meets)} into the way of the gas coming from "
            f"{first.name}",
            do=f"open {second.name} there, or move it on its studs",
        )
    if leaves > STEP:
        yield Finding(
            rule="step",
            weight="note",
            part=joint.name,
            found=leaves,
            wanted=STEP,
            text=f"{metal.role} '{metal.name}' widens by {both(leaves)} from {first.name} to {second.name}: a pocket, "
            "no edge in the way",
            do="nothing",
        )


def _stands_in(window: Polygon, other: Polygon) -> tuple[float, tuple[float, float] | None]:
    """How deep the metal round `other` stands inside `window`, and where."""
    places = shapely.get_coordinates(shapely.segmentize(other.exterior, 0.25))
    inside = shapely.contains_xy(window, places[:, 0], places[:, 1])
    if not inside.any():
        return 0.0, None
    depth = np.where(inside, shapely.distance(window.exterior, shapely.points(places)), 0.0)
    worst = int(np.argmax(depth))
    return float(depth[worst]), (float(places[worst][0]), float(places[worst][1]))


def _blind(joint: Faces, metal: FlangeOpening, other: Face) -> Finding:
    return _finding(
        joint,
        "passage",
        "stop",
        metal.shape,
        f"{metal.role} '{metal.name}' meets nothing on {other.name}",
        f"give {other.name} the same, or close it",
        (0.0, HALF_COVERED),
    )


def _studs(joint: Faces) -> Iterator[Finding]:
    """Do the second face's holes go over the first face's studs all at once?"""
    first, second = joint.pair
    if first.studs == second.studs or not first.studs or not second.studs:
        return
    if len(first.studs) != len(second.studs):
        text = f"{first.name} has {len(first.studs)} studs, {second.name} {len(second.studs)} holes"
        yield Finding(rule="hole", weight="stop", part=joint.name, text=text, do="other holes, or another part")
        return
    pairs = _paired(first.studs, second.studs)
    locators = [Locator(hole.center, _play(stud, hole), hole.slot, hole.turn) for stud, hole in pairs]
    left = seat(locators, [stud.center for stud, _ in pairs])
    if left > 0:
        stud = max(pairs, key=lambda pair: hypot(*np.subtract(pair[0].center, pair[1].center)))[0]
        yield Finding(
            rule="hole",
            weight="stop",
            part=joint.name,
            at=stud.center,
            found=left,
            wanted=0.0,
            text=f"{second.name} does not go over the studs of {first.name}: the holes lack {both(left)} of play",
            do=f"draw the holes of {second.name} out by {both(2 * left)}, or slot them",
        )
    else:
        text = f"{second.name} goes over the studs of {first.name}"
        yield Finding(rule="hole", weight="note", part=joint.name, text=text, do="nothing", found=0.0, wanted=0.0)


def _play(stud: Stud, hole: Stud) -> float:
    return (hole.hole - stud.diameter) / 2 + stud.tolerance + hole.tolerance


def _paired(studs: tuple[Stud, ...], holes: tuple[Stud, ...]) -> list[tuple[Stud, Stud]]:
    """Each stud with the nearest hole that is left."""
    left = list(holes)
    pairs = []
    for stud in studs:
        near = min(left, key=lambda hole: hypot(*np.subtract(hole.center, stud.center)))
        left.remove(near)
        pairs.append((stud, near))
    return pairs


def _finding(
    joint: Faces, rule: str, weight: Weight, shape: Polygon, text: str, do: str, numbers: tuple[float, float]
) -> Finding:
    x, y = shape.representative_point().coords[0]
    return Finding(
        rule=rule,
        weight=weight,
        part=joint.name,
        at=(float(x), float(y)),
        text=text,
        do=do,
        found=numbers[0],
        wanted=numbers[1],
        unit="share",
    )
