"""What a face adds to the job: its ports and passages at the part's openings, and its holes against another face's."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from gasketcut.capture.joining.face import LaidFace, meet
from gasketcut.capture.proposals.shape_words import placed_rows, unplaced_words
from gasketcut.capture.roles.openings import Opening
from gasketcut.capture.roles.role import WORDS, Role, RoleError
from gasketcut.capture.roles.said import PartSaid
from gasketcut.comparing.placing import Placing
from gasketcut.job.reading.part_section import without_metal
from gasketcut.parts.part_spec import PartSpec
from gasketcut.parts.window import Window
from gasketcut.parts.words import Drawings
from gasketcut.toml.editing import rewritten


@dataclass(frozen=True, slots=True)
class Named:
    """What an opening of the face is; `at` the window of the part without metal yet whose place it takes."""

    opening: Opening
    role: Role
    at: Window | None = None
    is_opening: bool = False


def named_by_place(laid: LaidFace, said: PartSaid, spec: PartSpec, drawings: Drawings) -> tuple[Named, ...]:
    """Each opening of the face by what the part has at its place; raise `RoleError` for one that lies at nothing and
    was not named: left out, the proof would not know of it."""
    found, left = [], []
    on_studs = {one.name for one in laid.bolts}
    for one in laid.openings:
        role = said.roles.get(one.name)
        if one.name in on_studs:
            found.append(Named(one, Role("stud")))
        elif (there := _there(one, spec, drawings)) is not None:
            found.append(there if role is None else replace(there, role=role))
        elif role is not None:
            found.append(Named(one, role))
        else:
            left.append(one)
    if left:
        flags = " ".join(f"--as {one.name}=ROLE" for one in left)
        where = "; ".join(f"{one.name}, {one.says}" for one in left)
        raise RoleError(f"{spec.name} has nothing at {where}; add {flags}: {WORDS}")
    return tuple(found)


def _there(one: Opening, spec: PartSpec, drawings: Drawings) -> Named | None:
    """What the part has there: an opening whose metal is not known, its own opening, another face's window."""
    for window in spec.unmeasured:
        if meet(one, window.placed.polygon(drawings)):
            return Named(one, Role(window.role, window.name), at=window)
    if spec.opening is not None and spec.opening_is and meet(one, spec.opening.polygon(drawings)):
        return Named(one, Role("port", spec.opening_is[0]), is_opening=True)
    for window in spec.windows:
        if meet(one, window.placed.polygon(drawings)):
            return Named(one, Role(window.role, window.name))
    return None


def with_face(
    text: str, number: int, spec: PartSpec, laid: LaidFace, named: tuple[Named, ...], face: str, flow: tuple[str, ...]
) -> str:
    """The job's text with the face in its part of that number; raise `EditError` where that cannot be done in place."""
    data = copy.deepcopy(tomllib.loads(text.removeprefix("\ufeff")))
    part = data["part"][number] if isinstance(data["part"], list) else data["part"]
    waiting = without_metal(part)
    for one in named:
        if one.role.what in ("port", "passage"):
            _put(part, spec, one, face, waiting)
    part["studs"] = [*_rows(part, "studs"), *_stud_rows(spec, laid, face)]
    if dowels := [_dowel_row(one, face) for one in named if one.role.what == "dowel"]:
        part["dowels"] = [*_rows(part, "dowels"), *dowels]
    if flow:
        part["flow"] = list(flow)
    return rewritten(text, data)


def _put(part: dict[str, Any], spec: PartSpec, one: Named, face: str, waiting: Mapping[str, Sequence[Any]]) -> None:
    """waiting : the tables of what had no metal, as `spec.unmeasured` has them, by port and passage"""
    key = "passage" if one.role.what == "passage" else "port"
    if one.at is not None:
        place = Placing(False, one.at.placed.turn, one.at.placed.at)
        own = [window for window in spec.unmeasured if window.role == one.at.role]
        table = waiting[one.at.role][own.index(one.at)]
        words = unplaced_words(place.inverse.contour(one.opening.contour))
        table["shape"] = _loaded([f"shape = {words}"])["shape"]
        table["face"] = face
        return
    table = {"name": one.role.of, "face": face, **_loaded(placed_rows(one.opening.contour, "shape"))}
    if one.is_opening and not spec.opening_is_port:
        table["cut"] = False  # the part's own opening is the way
    part[key] = [*_rows(part, key), table]


def _rows(part: Mapping[str, Any], key: str) -> list[Any]:
    """Of a table that may be written once or several times."""
    found = part.get(key, [])
    return found if isinstance(found, list) else [found]


def _loaded(rows: list[str]) -> dict[str, Any]:
    return tomllib.loads("\n".join(rows))


def _stud_rows(spec: PartSpec, laid: LaidFace, face: str) -> list[dict[str, Any]]:
    """Its holes against what goes through them: a thread's is as wide as the stud in it."""
    through = [holes.stud for holes in spec.studs if holes.face is None for _ in holes.at]
    rows = []
    for one, stud in zip(laid.bolts, through, strict=True):
        x, y = one.middle
        wide = max(one.width, stud or 0.0)
        row = {"at": [[round(x, 3), round(y, 3)]], "diameter": round(wide, 3), "stud_diameter": stud}
        rows.append({**row, "tolerance": round(one.off_place, 3), "face": face})
    return rows


def _dowel_row(one: Named, face: str) -> dict[str, Any]:
    """Its hole in this face is as wide as the dowel that sits in it, or wider."""
    x, y = one.opening.middle
    wide = round(max(one.opening.width, one.role.diameter), 3)
    row = {"at": [[round(x, 3), round(y, 3)]], "diameter": wide, "stud_diameter": one.role.diameter}
    return {**row, "tolerance": round(one.opening.off_place, 3), "face": face}
