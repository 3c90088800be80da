"""`[[part]]` and `[[stock]]` of a job file."""

from __future__ import annotations

from math import cos, radians, sin

from gasketcut.parts.holes import DRY_THREAD, Holes
from gasketcut.parts.kinds import KINDS
from gasketcut.parts.part_spec import MOST_GROWTH, SET_BACK, PartSpec
from gasketcut.parts.reading import read_outline, read_placed, read_shape
from gasketcut.parts.stock import MOST_SHEETS, Range, Stock
from gasketcut.parts.window import Landmark, Role, Window
from gasketcut.parts.words import Placed, Round
from gasketcut.profile.fasteners import FITS, Fasteners
from gasketcut.profile.profiles import Profiles
from gasketcut.profile.sheets import material_key
from gasketcut.toml.faults import meant
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
    outline, opening = table.table("outline", "round"), table.table("opening", "round")
    studs = [studs for key in ("studs", "stud") for studs in table.tables(key)]
    common = {
        "name": table.text("name") or "",
        "outline": read_outline(outline) if outline else None,
        "opening": read_placed(opening) if opening else None,
        "studs": tuple(_read_holes(one, fasteners) for one in studs),
        "dowels": tuple(_read_holes(one, fasteners) for one in table.tables("dowels")),
        "holes": tuple(_read_holes(one, fasteners) for one in table.tables("holes")),
        "windows": (
            *(_read_window(port, "port") for port in table.tables("port")),
            *(_read_window(passage, "passage") for passage in table.tables("passage")),
        ),
        "set_back": table.length("set_back", SET_BACK, zero=True),
        "stock": table.text("stock"),
        "of": table.text("of"),
        "face_up": table.text("face_up", longest=40),
        "landmark": _read_landmark(table),
        "count": table.whole("count", 1),
        "absent": table.texts("absent"),
        "flow": table.texts("flow"),
        "growth_percent": table.number("growth_percent", least=-MOST_GROWTH, most=MOST_GROWTH, above=False) or 0.0,
        "nick": table.flag("nick", default=False),
        "line": table.line,
    }
    spec = table.built(kind, **common, **kind.read_own(table))
    for key in dict.fromkeys(key for other in KINDS.values() for key in other.own_keys if key in table):
        if key not in kind.own_keys:
            table.raw(key)
            whose = " or ".join(f'"{name}"' for name, other in KINDS.items() if key in other.own_keys)
            table.fault(key, f"belongs to kind = {whose} only")
    table.close()
    return spec


def read_stock(table: Table, profiles: Profiles) -> Stock:
    """One `[[stock]]`; its material is one that the profiles know."""
    fitted = _read_fitted(table)
    if "thickness" not in table and fitted is None:
        table.missing("thickness", "the thickness of the sheet as bought, e.g. thickness = 0.5")
    size = table.lengths("size", (2,))
    stock = table.built(
        Stock,
        name=table.text("name") or "",
        thickness=table.length("thickness", fitted[1] if fitted else 1.0),
        fitted=fitted,
        used=table.measured("used") if "used" in table else None,
        sheets=table.whole("sheets", 3, most=MOST_SHEETS),
        material=_read_material(table, profiles),
        size=(size[0], size[1]) if size else None,
        joints=table.words("joints", tuple(KINDS)),
        is_spacer=table.flag("spacer", default=False),
    )
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
    name, toward = inner.text("name", longest=40), inner.angle("toward")
    if name is None:
        inner.missing("name", 'e.g. name = "exhaust side"')
    if toward is None and "toward" not in inner:
        inner.missing("toward", 'the direction it lies in, e.g. toward = "90 deg"')
    inner.close()
    return Landmark(name or "", toward or 0.0)


def _read_window(table: Table, role: Role) -> Window:
    name, at, turn = table.text("name", longest=40), table.point("at", (0.0, 0.0)), table.angle("turn", 0.0)
    shape, own_cut = table.table("shape", "round"), table.raw("cut")
    if shape is None:
        table.missing("shape", "the window in the metal, e.g. shape = { round = 6.0 }")
    placed = Placed(read_shape(shape) if shape else Round(1.0), at, turn or 0.0)
    if shape is not None:
        shape.close()
    how: bool | Placed | None = None
    if isinstance(own_cut, dict):
        inner = table.table("cut")
        if inner is not None:
            how = Placed(read_shape(inner), at, turn or 0.0)
            inner.close()
    elif own_cut is not None:
        how = table.flag("cut", default=False)
    window = table.built(
        Window, name=name or role, role=role, placed=placed, cut=how, face=table.text("face", longest=40)
    )
    table.close()
    return window


def _read_holes(table: Table, fasteners: Fasteners) -> Holes:
    slot, turn = table.lengths("slot", (2,)), table.angle("turn", 0.0) or 0.0
    diameter, stud, size = _read_diameter(table, fasteners, slot[1] if slot else None)
    holes = table.built(
        Holes,
        at=_read_places(table),
        diameter=diameter,
        stud=stud,
        size=size,
        length=slot[0] if slot else None,
        turn=turn,
        tolerance=table.length("tolerance", 0.0, zero=True),
        face=table.text("face", longest=40),
        torque_nm=table.number("torque_nm", most=500),
        k=table.number("k", most=0.5) or DRY_THREAD,
        measured=table.texts("from"),
    )
    table.close()
    return holes


def _read_diameter(table: Table, fasteners: Fasteners, width: float | None) -> tuple[float, float | None, str | None]:
    size, stud = table.text("size"), table.length_or_none("stud_diameter")
    fit = table.word("fit", FITS, "medium")
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


def _read_places(table: Table) -> tuple[tuple[float, float], ...]:
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
    radius, count = table.length("circle") / 2, table.whole("count", 0, most=360)
    if "count" not in table:
        table.missing("count", "how many holes sit on the circle, e.g. count = 4")
    start, (x, y) = table.angle("start", 0.0) or 0.0, table.point("centre", (0.0, 0.0))
    turns = [radians(start + 360.0 * number / max(count, 1)) for number in range(count)]
    return tuple((x + radius * cos(turn), y + radius * sin(turn)) for turn in turns)
