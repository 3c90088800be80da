"""A traced part and what is said of it, as the rows of a job file that a person can go on with."""

from __future__ import annotations

from collections.abc import Callable

from gasketcut.capture.proposals.shape_words import placed_rows, shape_words, unplaced_words
from gasketcut.capture.roles.openings import Opening, openings_of
from gasketcut.capture.roles.role import Role
from gasketcut.capture.roles.said import UNSAID_KIND, UNSAID_NAME, PartSaid
from gasketcut.capture.traced_part import TracedPart
from gasketcut.parts.part_spec import SET_BACK, PartSpec
from gasketcut.toml.rendered import value_text

_DOWEL_PLAY = 0.2
"""mm by which a sheet's hole is wider than a dowel of the metal that was traced. Our choice."""

_HOLE = Role("hole")


def stock_rows(said: PartSaid) -> list[str]:
    """The sheet, if both its name and its thickness were said."""
    if not said.stock or said.thickness is None:
        return []
    return ["", "[[stock]]", f"name = {value_text(said.stock)}", f"thickness = {said.thickness:g}"]


def part_rows(part: TracedPart, said: PartSaid, number: int | None = None) -> list[str]:
    """One `[[part]]`; `number` it where several are written."""
    openings = openings_of(part)
    role = {one.name: said.roles.get(one.name) for one in openings}
    name = said.name or UNSAID_NAME
    rows = ["", "[[part]]", f"name = {value_text(name if number is None else f'{name}-{number}')}"]
    rows.append(f'kind = "{said.kind or UNSAID_KIND}"')
    if said.stock and said.thickness is not None:
        rows.append(f"stock = {value_text(said.stock)}")
    if said.face_up:
        rows.append(f"face_up = {value_text(said.face_up)}")
    if said.absent:
        rows.append(f"absent = {value_text([*said.absent])}")
    rows.append(f"outline = {shape_words(part.outline.contour)}  # within {part.outline.deviation:.3f} mm")
    for one in openings:
        if role[one.name] == Role("opening"):
            rows.append(_opening_row(one, said.spec))
    holes = [(one, role[one.name] or (_HOLE if one.is_round else None)) for one in openings]
    rows += _list_rows("studs", holes, "stud", lambda one, what: _stud(one, what, said))
    rows += _list_rows("dowels", holes, "dowel", lambda one, what: _dowel(one, what, said))
    if not said.face:
        rows += _list_rows("holes", holes, "hole", lambda one, _: _size_of(one))
    rows += [row for one, what in holes if what is None or what.what in ("port", "passage")
             for row in window_rows(one, what, said)]  # fmt: skip
    if left := [one.name for one, what in holes if said.face and what == _HOLE]:
        rows += ["", f"# {', '.join(left)}: holes of the metal that carry nothing; the sheet is not cut there."]
    return rows


def _opening_row(one: Opening, kind: type[PartSpec]) -> str:
    words = shape_words(one.contour) if kind.opening_key == PartSpec.opening_key else unplaced_words(one.contour)
    return f"{kind.opening_key} = {words}  # {one.name}, {_sure(one)}"


def _list_rows(
    key: str, holes: list[tuple[Opening, Role | None]], what: str, row: Callable[[Opening, Role], str]
) -> list[str]:
    mine = [(one, role) for one, role in holes if role is not None and role.what == what]
    if not mine:
        return []
    return [f"{key} = [", *(f"  {{ {row(one, role)} }},  # {one.name}, {_sure(one)}" for one, role in mine), "]"]


def _stud(one: Opening, role: Role, said: PartSaid) -> str:
    """In a sheet the hole that was seen; where the metal was, the clearance hole that ISO 273 calls medium."""
    if said.face:
        x, y = one.middle
        hole = f'at = [[{x:.3f}, {y:.3f}]], size = "{role.of}", fit = "medium"'
    else:
        hole = f'{_size_of(one)}, size = "{role.of}"'
    return f"{hole}, tolerance = {one.off_place:.3f}"


def _dowel(one: Opening, role: Role, said: PartSaid) -> str:
    x, y = one.middle
    hole = f"at = [[{x:.3f}, {y:.3f}]], diameter = {role.diameter + _DOWEL_PLAY:.3f}" if said.face else _size_of(one)
    return f"{hole}, stud_diameter = {role.diameter:g}, tolerance = {one.off_place:.3f}"


def _size_of(one: Opening) -> str:
    if slot := one.slot:
        (x, y), turn = slot.at, slot.turn
        return f'at = [[{x:.3f}, {y:.3f}]], slot = [{slot.length:.3f}, {slot.width:.3f}], turn = "{turn:.3f} deg"'
    x, y = one.middle
    return f"at = [[{x:.3f}, {y:.3f}]], diameter = {one.width:.3f}"


def window_rows(one: Opening, role: Role | None, said: PartSaid) -> list[str]:
    """A port or passage: as it is in the metal where that was seen, else the opening of the sheet alone."""
    table = "passage" if role is not None and role.what == "passage" else "port"
    rows = ["", f"[[part.{table}]]", f"name = {value_text(role.of if role else one.name)}  # {one.name}, {_sure(one)}"]
    if said.face:
        set_back = f"# the metal; the sheet is opened {SET_BACK:g} mm larger all round, see set_back"
        return [*rows, f"face = {value_text(said.face)}", *placed_rows(one.contour, "shape"), set_back]
    return [
        *rows,
        *placed_rows(one.contour, "cut"),
        "# cut is the sheet's opening; the metal's goes beside it as shape = { ... }, at and turn are the same",
    ]


def _sure(one: Opening) -> str:
    return f"+- {one.sure:.3f}" if one.is_round else f"within {one.sure:.3f} mm"
