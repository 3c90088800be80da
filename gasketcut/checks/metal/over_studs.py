"""Does the sheet go over what stands in a face of the metal, where that is known apart from the sheet's own holes?"""

from __future__ import annotations

from collections.abc import Iterator
from math import dist

from gasketcut.checks.subject import Subject
from gasketcut.finding import Finding
from gasketcut.length import both
from gasketcut.parts.assembly import studs_of
from gasketcut.parts.part import Stud
from gasketcut.shape.motion import Locator, seat


def over_studs(subject: Subject) -> Iterator[Finding]:
    """One finding for each face over whose studs and dowels the sheet's holes do not go all at once."""
    spec = subject.spec
    own = [pattern for pattern in (*spec.studs, *spec.dowels) if pattern.face is not None]
    for face in dict.fromkeys(pattern.face for pattern in own):
        studs = studs_of(tuple(pattern for pattern in own if pattern.face == face))
        pairs = [(stud, hole) for stud in studs if (hole := _nearest(stud, subject.part.studs)) is not None]
        if not pairs:
            continue
        locators = [Locator(hole.center, _play(stud, hole), hole.slot, hole.turn) for stud, hole in pairs]
        lacks = seat(locators, [stud.center for stud, _ in pairs])
        if lacks > 0:
            yield Finding(
                rule="hole",
                weight="stop",
                part=subject.part.name,
                at=max(pairs, key=lambda pair: dist(pair[0].center, pair[1].center))[0].center,
                found=lacks,
                wanted=0.0,
                text=f"the sheet does not go over the studs of {face}: its holes lack {both(lacks)} of play",
                do=f"put the holes where the studs are, or open each of them out by {both(2 * lacks)}",
            )


def _nearest(stud: Stud, holes: tuple[Stud, ...]) -> Stud | None:
    """The sheet's hole for it; None where none is near, so that it ends at the sheet or beside it."""
    near = min(holes, key=lambda hole: dist(hole.center, stud.center), default=None)
    return near if near is not None and dist(near.center, stud.center) < near.hole / 2 + near.slot else None


def _play(stud: Stud, hole: Stud) -> float:
    """Of the hole on what goes through, and of that in the face, where it goes through a hole too."""
    return (hole.hole + stud.hole) / 2 - stud.diameter + stud.tolerance + hole.tolerance
