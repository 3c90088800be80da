"""Kerf: the width that a cut takes away, and the path that gives the part its size in spite of it.

The path runs in the middle of the kerf, so half of it goes off either side: drawn as it is, a part comes out one kerf
too small and its holes one too large. So the path is the part grown by half the kerf: outside out, inside in.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry import LinearRing, Polygon

from gasketcut.cutting.cutter import Cutter, chosen
from gasketcut.finding import Finding
from gasketcut.job.cutting import CuttingSpec
from gasketcut.parts.part import Part
from gasketcut.shape import outlines
from gasketcut.shape.arcs import KnownArcs
from gasketcut.shape.loop import Circle, Outline
from gasketcut.shape.nearest import distances
from gasketcut.tolerances import CHORD, SAME_PLACE

NOMINAL = "nominal size, no kerf applied"

_FINE = CHORD / 3  # from the arcs, finer than the polygon: what offsets add must not break arcs up
_REACH = 2.0  # kerfs; farther than this from the edge, the path has left something out: a slit, or a tip under 29 deg


def kerf_of(spec: CuttingSpec, cutter: Cutter) -> float | None:
    """The kerf to apply [mm]: what the user measured, or the profile's; None where none was asked for."""
    return chosen(spec.kerf, cutter.kerf)


def kerf_words(kerf: float | None) -> str:
    """What a file says about its size.

    >>> kerf_words(0.15), kerf_words(None)
    ('kerf applied 0.15 mm', 'nominal size, no kerf applied')
    """
    return f"kerf applied {round(kerf, 4):g} mm" if kerf else NOMINAL


def kerf_suffix(kerf: float | None) -> str:
    """The same for the end of a file's name: `-kerf-0.15mm`, or nothing."""
    return f"-kerf-{round(kerf, 4):g}mm" if kerf else ""


def kerfed(part: Part, kerf: float, nominal: Outline) -> Part:
    """The part grown by half the kerf [mm] as a part of its own, so that it is drawn and proved like any other; what is
    lost is left out, see `kerf_lost`.

    Corners that stick out are rounded by half the kerf: there the cut leaves the part's own corner sharp.

    nominal : the part's own outline
    """
    if kerf <= 0:
        return part
    half = kerf / 2
    holes = tuple(
        replace(hole, diameter=hole.diameter - kerf)
        for hole in part.round_holes
        if hole.diameter - kerf > 2 * SAME_PLACE
    )
    inner = [outlines.disc(hole.center, hole.diameter) for hole in holes]
    for opening in _openings(part, nominal):
        inner += outlines.shrunk_pieces(opening, half)
    outer = Polygon(outlines.grown(Polygon(nominal.outer.flattened(_FINE)), half).exterior)
    solid = Polygon(outer.exterior, [hole.exterior for hole in inner])
    return replace(part, outer=outer, solid=solid, round_holes=holes, drawn=None, known=_grown_known(part.known, half))


def kerf_lost(part: Part, kerf: float, nominal: Outline) -> Iterator[Finding]:
    """What the cut is too wide for: a stop for a hole or opening that is lost, a warning for a narrow place in one."""
    if kerf <= 0:
        return
    for hole in part.round_holes:
        if hole.diameter - kerf <= 2 * SAME_PLACE:
            yield _lost(part, f"{hole.label} of {hole.diameter:.2f} mm is lost", hole.center, hole.diameter, kerf)
    for number, opening in enumerate(_openings(part, nominal), 1):
        left = outlines.shrunk_pieces(opening, kerf / 2)
        inside = opening.representative_point()
        if not left:
            yield _lost(part, f"opening {number} is lost", (inside.x, inside.y), None, kerf)
        elif len(left) > 1:
            yield _lost(part, f"opening {number} falls into {len(left)} cuts", (inside.x, inside.y), None, kerf)
        else:
            yield from _not_reached(part, opening.exterior, left[0].exterior, kerf)
    outside = Polygon(nominal.outer.flattened(_FINE))
    yield from _not_reached(part, outside.exterior, outlines.grown(outside, kerf / 2).exterior, kerf)


def _lost(part: Part, text: str, at: tuple[float, float], found: float | None, kerf: float) -> Finding:
    return Finding(
        rule="kerf",
        weight="stop",
        part=part.name,
        at=at,
        found=found,
        wanted=kerf,
        text=f"{text}: the cut itself is {kerf:.2f} mm wide",
        do="make it wider, drill it afterwards, or leave the kerf to the operator",
    )


def _not_reached(part: Part, edge: LinearRing, path: LinearRing, kerf: float) -> Iterator[Finding]:
    """Where the edge has a slit or a sharp tip into which the cut does not fit."""
    points = shapely.get_coordinates(edge)
    # The end of a slit or tip is a vertex.
    away = distances(points, [np.asarray(path.coords)[:, :2]])
    worst = int(np.argmax(away))
    if away[worst] > _REACH * kerf:
        yield Finding(
            rule="kerf",
            weight="warn",
            part=part.name,
            at=(float(points[worst][0]), float(points[worst][1])),
            found=float(away[worst]),
            wanted=kerf / 2,
            text=f"the cut, {kerf:.2f} mm wide, ends {away[worst]:.2f} mm short of the end of a narrow place",
            do="make the slit or the tip wider than the kerf",
        )


def _openings(part: Part, nominal: Outline) -> list[Polygon]:
    """What is cut out and is not one of the round holes."""
    round_holes = {(hole.center, hole.diameter / 2) for hole in part.round_holes}
    return [
        Polygon(contour.flattened(_FINE))
        for contour in nominal.inner
        if not (isinstance(contour, Circle) and (contour.center, contour.radius) in round_holes)
    ]


def _grown_known(known: KnownArcs, half: float) -> KnownArcs:
    """Circles and radii that the moved edges can lie on: an edge is outside or inside its circle, so both ways."""
    circles = [
        Circle(circle.center, circle.radius + way * half)
        for circle in known.circles
        for way in (1, -1)
        if circle.radius + way * half > 0
    ]
    radii = [radius + way * half for radius in known.radii for way in (1, -1) if radius + way * half > 0]
    return KnownArcs(tuple(circles), (*radii, half))
