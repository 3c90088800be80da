"""A piece that a part lacks to be its own image: asked about, and filled in where that is accepted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry import Polygon

from gasketcut.arrays import Array
from gasketcut.capture.edges.fitted_edge import fit_edge
from gasketcut.capture.lettering import letter
from gasketcut.capture.proposals.offers import Proposal
from gasketcut.capture.proposals.symmetry import Symmetry, symmetry_of
from gasketcut.capture.torn.fill import Fill, Piece
from gasketcut.capture.torn.question import Question
from gasketcut.capture.traced_part import TracedHole, TracedPart, TracedWindow
from gasketcut.plane import place_text
from gasketcut.shape.loop import Circle

KIND = "missing-piece"

_THERE = 0.5
"""Of an opening: where more of it lies in what was seen of the part, it was not torn off. Our choice."""

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
    symmetry = symmetry_of(part.ring, number, part.rings)
    if symmetry.lacks is None:
        return part, symmetry, [], list(questions)
    lacks = symmetry.lacks
    holes, windows = _openings(part, lacks, fit)
    names = [*(f"hole {one.name}" for one, _ in holes), *(f"window {one.name}" for one, _ in windows)]
    places = " and ".join(place_text(one.at) for one in lacks.pieces)
    with_openings = f", with {' and '.join(names)}" if names else ""
    text = f"{lacks.area:.0f} mm2 filled in at {places} from where the part has the same{with_openings}"
    proposal = Proposal(KIND, text, part=number, fill=lacks)
    beside = [[one for one in questions if one.part == number and _is_beside(one, piece)] for piece in lacks.pieces]
    others = [one for one in questions if not any(one is other for some in beside for other in some)]
    if accept(proposal):
        made = _filled(part, lacks, holes, windows, fit)
        return made, symmetry_of(made.ring, number, made.rings), [replace(proposal, accepted=True)], others
    found = [
        _question(number, piece, some, symmetry.share, f"--accept {KIND}: {text}")
        for piece, some in zip(lacks.pieces, beside, strict=True)
    ]
    return part, symmetry, [proposal], [*others, *found]


def _question(number: int, piece: Piece, beside: Sequence[Question], share: float, fill: str) -> Question:
    """About one piece, and whatever else is offered there."""
    text = (
        f"the outline agrees with its own image along {share * 100:.0f} %, but lacks {piece.area:.0f} mm2 "
        f"that the image has, at {place_text(piece.at)}: torn off, or meant to be so?"
    )
    reach = float(np.hypot(*(piece.way - piece.at).T).max())
    offered = (piece.way, *(way for one in beside for way in one.offered))
    return Question(
        0, number, "missing", text, piece.at, reach, offered, (fill, *(do for one in beside for do in one.do))
    )


def _filled(
    part: TracedPart,
    lacks: Fill,
    holes: Sequence[tuple[TracedHole, Array]],
    windows: Sequence[tuple[TracedWindow, Array]],
    fit: float | None,
) -> TracedPart:
    count = len(part.holes)
    rings = (*part.rings[:count], *(ring for _, ring in holes), *part.rings[count:], *(ring for _, ring in windows))
    return replace(
        part,
        outline=fit_edge(lacks.ring, fit),
        ring=lacks.ring,
        holes=(*part.holes, *(hole for hole, _ in holes)),
        windows=(*part.windows, *(window for window, _ in windows)),
        rings=rings,
    )


def _openings(
    part: TracedPart, lacks: Fill, fit: float | None
) -> tuple[list[tuple[TracedHole, Array]], list[tuple[TracedWindow, Array]]]:
    """Round holes and windows that lie in what is filled in, each with its ring, named on from those there are."""
    whole, seen = Polygon(lacks.ring), shapely.make_valid(Polygon(part.ring))
    holes: list[tuple[TracedHole, Array]] = []
    windows: list[tuple[TracedWindow, Array]] = []
    for image in (one.image for one in lacks.pieces):
        for n, ring in enumerate(part.rings):
            made = image.of(ring)
            opening = shapely.make_valid(Polygon(made))
            if not whole.contains(opening) or seen.intersection(opening).area > _THERE * opening.area:
                continue
            if any(opening.intersects(Polygon(other)) for _, other in (*holes, *windows)):
                continue
            if n < len(part.holes):
                hole = part.holes[n]
                x, y = (float(one) for one in image.of(np.array([hole.circle.center]))[0])
                name = letter(len(part.holes) + len(holes))
                holes.append((replace(hole, name=name, circle=Circle((x, y), hole.circle.radius)), made))
            else:
                name = f"W{len(part.windows) + len(windows) + 1}"
                windows.append((TracedWindow(name, fit_edge(made, fit)), made))
    return holes, windows


def _is_beside(one: Question, piece: Piece) -> bool:
    return any(float(np.hypot(*(piece.way - point).T).min()) < _BESIDE for way in one.offered for point in way[::5])
