"""Findings about the sheet where it can move: the worst overhang into every window, and the trim that ends it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations
from math import degrees, hypot

import numpy as np
import shapely
from shapely.geometry import Polygon

from gasketcut.checks.motion.growth import worst_grown
from gasketcut.checks.motion.shift import Worst, worst_overhang
from gasketcut.finding import Finding
from gasketcut.length import both
from gasketcut.parts.part import FlangeOpening, Part, Stud
from gasketcut.plane import Point
from gasketcut.shape.motion import Locator, free_motions

LEAST = 0.005
"""mm; a bound this small is no overhang but the doubt of the bound. Our choice."""


def locators(studs: tuple[Stud, ...]) -> list[Locator]:
    """The studs as what bounds the sheet's motion."""
    return [Locator(stud.center, stud.play, stud.slot, stud.turn) for stud in studs]


def worst_cases(part: Part, growth_percent: float = 0.0) -> dict[str, Worst]:
    """The worst over all motions for each window that an edge of the sheet can come near; by the window's name.

    With growth, the sheet may have grown by any share up to that one.
    """
    studs = locators(part.studs)
    free = free_motions(studs) if studs else None
    if free is None:
        return {}
    found = {}
    for metal in part.flange_openings:
        worst = (
            worst_grown(part.solid, metal.shape, studs, growth_percent / 100)
            if growth_percent
            else worst_overhang(part.solid, metal.shape, free)
        )
        if worst is not None:
            found[metal.name] = worst
    return found


def most_displacement(studs: tuple[Stud, ...], window: Polygon) -> float:
    """A bound on how far any motion carries the sheet where the window is [mm], without looking at motions.

    A rigid motion displaces points linearly, so between the studs nothing moves farther than the stud that moves most;
    outside them the turn adds its share, and two studs allow no more turn than both plays over their distance.
    """
    most = max(stud.play + stud.slot for stud in studs)
    places = shapely.MultiPoint([stud.center for stud in studs])
    spans = [
        (a.play + a.slot + b.play + b.slot) / hypot(b.center[0] - a.center[0], b.center[1] - a.center[1])
        for a, b in combinations(studs, 2)
    ]
    if not spans:
        return float("inf")
    corners = shapely.points(shapely.get_coordinates(window))
    return most + float(np.max(shapely.distance(places.convex_hull, corners))) * min(spans)


def worst_findings(part: Part, growth_percent: float = 0.0, *, precise: bool = True) -> Iterator[Finding]:
    """One finding for each window: how deep the sheet can come to hang into it, or how clear it stays.

    precise : also work out how clear where a quick bound already shows that nothing can hang in
    """
    if not part.flange_openings or part.kind == "outlet":
        return
    if not part.studs:
        yield Finding(
            rule="worst overhang",
            weight="note",
            part=part.name,
            text="nothing says what locates the sheet, so how far it can shift is not known",
            do='give studs with size = "M5" or stud_diameter',
        )
        return
    if growth_percent and free_motions(locators(part.studs), growth_percent / 100) is None:
        yield Finding(
            rule="hole",
            weight="stop",
            part=part.name,
            text=f"grown by {growth_percent:g} % the sheet does not go over its studs",
            do="larger holes, or keep the sheet dry and flat until it is fitted",
        )
    sure = {} if precise or growth_percent else _clear_at_once(part)
    doubtful = replace(part, flange_openings=tuple(metal for metal in part.flange_openings if metal.name not in sure))
    found = worst_cases(doubtful, growth_percent) if doubtful.flange_openings else {}
    for metal in part.flange_openings:
        if metal.name in sure:
            yield _clear(part, metal, sure[metal.name], None)
        elif metal.name in found:
            yield _finding(part, metal, found[metal.name])


def _clear_at_once(part: Part) -> dict[str, float]:
    """By name, the windows into which nothing can hang by the quick bound, and how clear they stay at least [mm]."""
    found = {}
    for metal in part.flange_openings:
        gap = float(part.solid.distance(metal.shape))
        left = gap - most_displacement(part.studs, metal.shape)
        if left > 0:
            found[metal.name] = left
    return found


def _finding(part: Part, metal: FlangeOpening, worst: Worst) -> Finding:
    dx, dy, turn = worst.motion
    motion = f"shifted {dx:+.2f}, {dy:+.2f} mm and turned {degrees(turn):+.2f} deg"
    if worst.bound > LEAST:
        return Finding(
            rule="worst overhang",
            weight="warn",
            part=part.name,
            at=worst.at,
            found=worst.bound,
            wanted=0.0,
            text=f"{motion}, as its studs allow, the sheet hangs {both(worst.bound)} into {metal.role} '{metal.name}', "
            f"over {worst.area:.2f} mm2",
            do=f"open it there by {both(worst.bound)} more, or use a finer fit on the studs",
        )
    return _clear(part, metal, max(0.0, -worst.bound), worst.at)


def _clear(part: Part, metal: FlangeOpening, by: float, at: Point | None) -> Finding:
    return Finding(
        rule="worst overhang",
        weight="note",
        part=part.name,
        at=at,
        found=0.0,
        wanted=0.0,
        text=f"{metal.role} '{metal.name}' stays clear by {both(by)} or more however the sheet shifts",
        do="nothing",
    )
