"""A traced face put into a job's text, and what is to be said of how it was laid."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gasketcut.capture.joining.face import LaidFace, laid_face
from gasketcut.capture.joining.in_mm import data_in_mm
from gasketcut.capture.joining.into_job import Named, named_by_place, with_face
from gasketcut.capture.roles.role import RoleError
from gasketcut.capture.roles.said import PartSaid
from gasketcut.capture.traced_part import TracedPart
from gasketcut.parts.part_spec import PartSpec
from gasketcut.parts.words import Drawings


@dataclass(frozen=True, slots=True)
class FaceLaid:
    """The job's new text; how the face lies over the part, and what its openings were taken to be.

    asks_flow : the part now has two faces, and nobody said which the gas meets first
    """

    text: str
    part: str
    face: str
    laid: LaidFace
    named: tuple[Named, ...]
    asks_flow: bool


def onto_part(
    text: str,
    specs: Sequence[PartSpec],
    drawings: Drawings,
    face: TracedPart,
    said: PartSaid,
    *,
    mirrored: bool | None,
    flow: tuple[str, ...],
) -> FaceLaid:
    """Raise `RoleError` for a part that is not there, and for a face that cannot be laid or whose openings are not all
    known; `GasketError` for a job that is not in mm.

    specs    : of the job
    mirrored : if the user said so
    flow     : the faces in the order in which the gas meets them, or empty
    """
    spec = _part_of(specs, said.name)
    faces = list(dict.fromkeys(window.face for window in spec.windows if window.face is not None))
    if said.face in faces:
        raise RoleError(f"{spec.name} has the face {said.face} already; take it out first, or give another --face")
    if flow and sorted(flow) != sorted([*faces, said.face]):
        raise RoleError(f"--flow {','.join(flow)}: the faces are {', '.join([*faces, said.face])}")
    laid = laid_face(face, said, spec, drawings, mirrored)
    named = named_by_place(laid, said, spec, drawings)
    made = with_face(text, _number(text, spec.name), spec, laid, named, said.face, flow)
    return FaceLaid(made, spec.name, said.face, laid, named, bool(faces) and not (flow or spec.flow))


def _part_of(specs: Sequence[PartSpec], name: str) -> PartSpec:
    able = [spec for spec in specs if spec.is_cut and spec.of is None and spec.drawn_from is None]
    named = [spec for spec in able if spec.name == name] if name else able
    if len(named) == 1:
        return named[0]
    known = ", ".join(spec.name for spec in able) or "none"
    raise RoleError(f"which part is the face of? Write --name with one of {known}")


def _number(text: str, name: str) -> int:
    parts = data_in_mm(text).get("part", [])
    rows = parts if isinstance(parts, list) else [parts]
    return next(n for n, part in enumerate(rows) if part.get("name") == name)
