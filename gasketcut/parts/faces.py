"""The metal on either side of a joint: what each face has, whether there is a gasket between them or not."""

from __future__ import annotations

from dataclasses import dataclass
from math import dist

from gasketcut.parts.assembly import studs_of
from gasketcut.parts.part import FlangeOpening, Stud
from gasketcut.parts.part_spec import PartSpec
from gasketcut.parts.words import Drawings


@dataclass(frozen=True, slots=True)
class Face:
    """One face: its windows and its studs or stud holes."""

    name: str
    flange_openings: tuple[FlangeOpening, ...]
    studs: tuple[Stud, ...]


@dataclass(frozen=True, slots=True)
class Faces:
    """Two faces in the order in which the gas meets them, of the part or joint of that name."""

    name: str
    pair: tuple[Face, Face]


def faces_of(spec: PartSpec, drawings: Drawings) -> Faces | None:
    """The faces that the part's windows and studs describe, or None if they do not name two."""
    named = [*spec.flow]
    own = [window.face for window in spec.windows] + [holes.face for holes in (*spec.studs, *spec.dowels)]
    named += [face for face in dict.fromkeys(own) if face is not None and face not in named]
    if len(named) < 2:
        return None
    first, second = (_face(name, spec, drawings) for name in named[:2])
    return Faces(spec.name, (first, second))


def _face(name: str, spec: PartSpec, drawings: Drawings) -> Face:
    """A window or stud that names no face is on both; a stud where the face has a hole of its own is not on that."""
    openings = tuple(
        FlangeOpening(window.name, window.role, window.placed.polygon(drawings), window.face)
        for window in spec.windows
        if window.face in (None, name)
    )
    own = studs_of(tuple(one for one in (*spec.studs, *spec.dowels) if one.face == name))
    both = studs_of(tuple(one for one in (*spec.studs, *spec.dowels) if one.face is None))
    shared = tuple(stud for stud in both if not any(_one_place(stud, hole) for hole in own))
    return Face(name, openings, (*shared, *own))


def _one_place(stud: Stud, hole: Stud) -> bool:
    return dist(stud.center, hole.center) < (stud.hole + hole.hole) / 4
