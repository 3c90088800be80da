"""`[[part]]` and `[[stock]]` of a job file."""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, radians, sin
from typing import Any

from gasketcut.described import Described, keys_of
from gasketcut.parts.holes import Holes, HolesWritten
from gasketcut.parts.kinds import KINDS
from gasketcut.parts.outlet_rule import OutletRule
from gasketcut.parts.part_spec import PartSpec
from gasketcut.parts.reading import read_outline, read_placed, read_shape
from gasketcut.parts.stock import Range, Stock
from gasketcut.parts.window import Landmark, Role, Window
from gasketcut.parts.words import Placed, Round
from gasketcut.profile.fasteners import Fasteners
from gasketcut.profile.profiles import Profiles
from gasketcut.profile.sheets import material_key
from gasketcut.toml.faults import meant
from gasketcut.toml.read import given, read
from gasketcut.toml.table import Table

TRADE_NAMES = {
    "carburetor": "intake",
    "carburettor": "intake",
    "carb": "intake",
    "inlet": "intake",
    "manifold": "intake",
    "cylinder": "base",
    "cylinder base": "base",
    "muffler": "exhaust",
    "silencer": "exhaust",
    "reed block": "reed",
    "baffle": "outlet",
}
"""What people call a gasket by the thing it seals."""


def read_part(table: Table, fasteners: Fasteners) -> PartSpec:
    """One `[[part]]`: the keys of every part, and those of its kind."""
    kind = KINDS[table.word("kind", tuple(KINDS), also_called=TRADE_NAMES)]
    outline = table.table("outline", "round")
    own = {each.fields[0]: placed for each in keys_of(kind) if (placed := _read_shapes(table, each)) is not None}
    holes = {
        role: tuple(_read_holes(one, fasteners) for one in table.tables(role)) for role in ("studs", "dowels", "holes")
    }
    windows = [
        *(_read_window(port, "port") for port in table.tables("port")),
        *(_read_window(passage, "passage") for passage in table.tables("passage")),
    ]
    spec = read(
        kind,
        table,
        kind=kind.kind,
        **own,
        **holes,
        outline=read_outline(outline) if outline else None,
        windows=tuple(window for window, is_metal in windows if is_metal),
        unmeasured=tuple(window for window, is_metal in windows if not is_metal),
        landmark=_read_landmark(table),
        line=table.line,
    )
    if "kind" in table:  # else nobody knows yet which keys are its own
        _refuse_others(table, kind)
        table.close()
    return spec


def _refuse_others(table: Table, kind: type[PartSpec]) -> None:
    """Keys of other kinds."""
    owners: dict[str, list[str]] = {}
    for name, other in KINDS.items():
        for each in other.own_keys():
            owners.setdefault(each.name, []).append(f'"{name}"')
    for key in (key for key in owners if key in table and f'"{kind.kind}"' not in owners[key]):
        table.raw(key)
        table.fault(key, f"belongs to kind = {' or '.join(owners[key])} only")


def _read_shapes(table: Table, each: Described) -> Placed | OutletRule | None:
    """A key that is a placed shape, or the openings of an outlet."""
    inner = table.table(each.name, "round") if each.form.takes == "placed" or each.form.of is OutletRule else None
    if inner is None:
        return None
    return OutletRule.read(inner) if each.form.of is OutletRule else read_placed(inner)


def read_stock(table: Table, profiles: Profiles) -> Stock:
    """One `[[stock]]`; its material is one that the profiles know."""
    fitted = _read_fitted(table)
    own: dict[str, Any] = {"fitted": fitted, "joints": table.words("joints", tuple(KINDS))}
    if "thickness" not in table and fitted is None:
        table.missing("thickness", "the thickness of the sheet as bought, e.g. thickness = 0.5")
    if "thickness" not in table:
        own["thickness"] = fitted[1] if fitted else 1.0
    stock = read(Stock, table, **own, material=_read_material(table, profiles))
    table.close()
    return stock


def _read_material(table: Table, profiles: Profiles) -> str | None:
    name = table.text("material")
    if name is not None and not profiles.knows_material(name):
        known = meant(name, profiles.materials, "known are ")
        entry = f'[material.{material_key(name) or "felt"}] says = "..."'
        table.fault("material", f"{name!r} is not known; {known} For one of your own write {entry} into sheets.toml")
    return name


def _read_fitted(table: Table) -> Range | None:
    fitted = table.lengths("fitted", (1, 3))
    if fitted is None:
        return None
    least, likely, most = fitted if len(fitted) == 3 else fitted * 3
    return least, likely, most


def _read_landmark(table: Table) -> Landmark | None:
    inner = table.table("landmark")
    if inner is None:
        return None
    landmark = read(Landmark, inner)
    inner.close()
    return landmark


def without_metal(part: Mapping[str, Any]) -> dict[str, list[Any]]:
    """The tables of a `[[part]]` that are read as ports and passages whose metal nobody measured, in their order."""
    found = {}
    for role in ("port", "passage"):
        rows = part.get(role, [])
        each = rows if isinstance(rows, list) else [rows]
        found[role] = [one for one in each if isinstance(one.get("cut"), Mapping) and "shape" not in one]
    return found


def _read_window(table: Table, role: Role) -> tuple[Window, bool]:
    """With whether it is known in the metal; else its shape is what `cut` opens."""
    said = given(Window, table, "placed", "cut")
    at, turn = said.pop("at", (0.0, 0.0)), said.pop("turn", 0.0)
    shape, own_cut = table.table("shape", "round"), table.raw("cut")
    is_metal = shape is not None or not isinstance(own_cut, dict)
    if is_metal and shape is None:
        table.missing("shape", "the window in the metal, e.g. shape = { round = 6.0 }")
    placed = Placed(read_shape(shape) if shape else Round(1.0), at, turn)
    if shape is not None:
        shape.close()
    how: bool | Placed | None = None
    if isinstance(own_cut, dict):
        inner = table.table("cut")
        if inner is not None:
            how = Placed(read_shape(inner), at, turn)
            inner.close()
    elif own_cut is not None:
        how = table.flag("cut", default=False)
    said.setdefault("name", role)
    if not is_metal and isinstance(how, Placed):
        placed, how = how, None
    window = table.built(Window, **said, role=role, placed=placed, cut=how)
    table.close()
    return window, is_metal


def _read_holes(table: Table, fasteners: Fasteners) -> Holes:
    slot, written = table.lengths("slot", (2,)), given(HolesWritten, table)
    diameter, stud, size = _read_diameter(table, fasteners, slot[1] if slot else None, written.get("fit", "medium"))
    holes = read(
        Holes,
        table,
        at=_read_places(table, written),
        diameter=diameter,
        stud=stud,
        size=size,
        length=slot[0] if slot else None,
    )
    table.close()
    return holes


def _read_diameter(
    table: Table, fasteners: Fasteners, width: float | None, fit: str
) -> tuple[float, float | None, str | None]:
    size, stud = table.text("size"), table.length_or_none("stud_diameter")
    if size is None:
        if width is not None:
            return width, stud, None
        if "diameter" not in table:
            table.missing("diameter", 'e.g. diameter = 5.5, or size = "M5" with fit = "medium"')
        return table.length("diameter", 1.0), stud, None
    if size not in fasteners.names:
        known = ", ".join(fasteners.names)
        table.fault("size", f"{size!r} is not in the table; write one of {known}, or diameter = ...")
        return table.length("diameter", 1e3), None, None
    known_size = fasteners.size(size)
    own = stud if stud is not None else known_size.diameter
    return width or table.length("diameter", known_size.hole(fit)), own, size


def _read_places(table: Table, written: Mapping[str, Any]) -> tuple[tuple[float, float], ...]:
    if "circle" not in table:
        single = table.raw("at")
        if isinstance(single, list) and len(single) == 2 and not isinstance(single[0], list):
            return (table.point("at"),)
        if "at" not in table and "from" in table:
            return ((0.0, 0.0),)  # the measured places take its place
        if "at" not in table:
            table.missing("at", "the places, e.g. at = [[-20, 0], [20, 0]], or circle = 60 with count = 4")
            return ((0.0, 0.0),)
        return table.points("at", 1)
    radius, count = written.get("circle", 1.0) / 2, written.get("count", 0)
    if "count" not in table:
        table.missing("count", "how many holes sit on the circle, e.g. count = 4")
    start, (x, y) = written.get("start", 0.0), written.get("centre", (0.0, 0.0))
    turns = [radians(start + 360.0 * number / max(count, 1)) for number in range(count)]
    return tuple((x + radius * cos(turn), y + radius * sin(turn)) for turn in turns)
