"""A piece that a part lacks to be its own image: asked about, and filled in where that is accepted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import dist

import numpy as np
import shapely
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry import Polygon

from gasketcut.arrays import Array
from gasketcut.capture.edges.fitted_edge import fit_edge
from gasketcut.capture.lettering import letter
from gasketcut.capture.proposals.offers import Proposal
from gasketcut.capture.proposals.symmetry import Symmetry, symmetry_of
from gasketcut.capture.torn.fill import Fill, Piece
from gasketcut.capture.torn.question import Question
from gasketcut.capture.traced_part import TracedHole, TracedPart
from gasketcut.shape.loop import Circle

KIND = "missing-piece"

_SAME_HOLE = 1.0
"""mm by which a hole may be off an image and still be there already. Our choice."""

_BESIDE = 1.0
"""mm; a ragged edge so near to a missing piece is that piece's edge. Our choice."""


def mended(
    part: TracedPart,
    number: int,
    fit: float | None,
    questions: Sequence[Question],
    accept: Callable[[Proposal], bool],
) -> tuple[TracedPart, Symmetry, list[Proposal], list[Question]]:
    """The part with what was filled in, what its outline is the image of itself by, the proposals, all questions.

    number    : of the part in its picture
    questions : about ragged edges; those at a missing piece become part of the question about that
    """
    if isinstance(part.outline.contour, Circle):  # its own image whichever way
        return part, Symmetry(), [], list(questions)
    symmetry = symmetry_of(part.ring, number)
    if symmetry.lacks is None:
        return part, symmetry, [], list(questions)
    lacks = symmetry.lacks
    holes = _holes(part, lacks)
    names = ", ".join(hole.name for hole, _ in holes)
    places = " and ".join(f"({x:.1f}, {y:.1f})" for x, y in (one.at for one in lacks.pieces))
    with_holes = f", with hole {names}" if names else ""
    text = f"{lacks.area:.0f} mm2 filled in at {places} from where the part has the same{with_holes}"
    proposal = Proposal(KIND, text, part=number, fill=lacks)
    beside = [[one for one in questions if one.part == number and _is_beside(one, piece)] for piece in lacks.pieces]
    others = [one for one in questions if not any(one is other for some in beside for other in some)]
    if accept(proposal):
        made = _filled(part, lacks, holes, fit)
        return made, symmetry_of(made.ring, number), [replace(proposal, accepted=True)], others
    found = [
        _question(number, piece, some, symmetry.share, f"--accept {KIND}: {text}")
        for piece, some in zip(lacks.pieces, beside, strict=True)
    ]
    return part, symmetry, [proposal], [*others, *found]


def _question(number: int, piece: Piece, beside: Sequence[Question], share: float, fill: str) -> Question:
    """About one piece, and whatever else is offered there."""
    x, y = piece.at
    text = (
        f"the outline agrees with its own image along {share * 100:.0f} %, but lacks {piece.area:.0f} mm2 "
        f"that the image has, at ({x:.1f}, {y:.1f}): torn off, or meant to be so?"
    )
    reach = float(np.hypot(*(piece.way - piece.at).T).max())
    offered = (piece.way, *(way for one in beside for way in one.offered))
    return Question(
        0, number, "missing", text, piece.at, reach, offered, (fill, *(do for one in beside for do in one.do))
    )


def _filled(part: TracedPart, lacks: Fill, holes: Sequence[tuple[TracedHole, Array]], fit: float | None) -> TracedPart:
    count = len(part.holes)
    return replace(
        part,
        outline=fit_edge(lacks.ring, fit),
        ring=lacks.ring,
        holes=(*part.holes, *(hole for hole, _ in holes)),
        rings=(*part.rings[:count], *(ring for _, ring in holes), *part.rings[count:]),
    )


def _holes(part: TracedPart, lacks: Fill) -> list[tuple[TracedHole, Array]]:
    """Round holes that lie in what is filled in, named on from those that are there."""
    whole, seen = Polygon(lacks.ring), shapely.make_valid(Polygon(part.ring))
    found: list[tuple[TracedHole, Array]] = []
    for image in (one.image for one in lacks.pieces):
        for hole, ring in zip(part.holes, part.rings, strict=False):
            x, y = (float(one) for one in image.of(np.array([hole.circle.center]))[0])
            at = ShapelyPoint(x, y)
            is_there = any(
                dist(one.circle.center, (x, y)) < _SAME_HOLE for one in (*part.holes, *(one for one, _ in found))
            )
            if whole.contains(at) and not seen.contains(at) and not is_there:
                name = letter(len(part.holes) + len(found))
                found.append((replace(hole, name=name, circle=Circle((x, y), hole.circle.radius)), image.of(ring)))
    return found


def _is_beside(one: Question, piece: Piece) -> bool:
    return any(float(np.hypot(*(piece.way - point).T).min()) < _BESIDE for way in one.offered for point in way[::5])
