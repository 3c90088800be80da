"""`[[part]]` and `[[stock]]` of a job file."""

from __future__ import annotations

import re
from math import cos, radians, sin
from pathlib import Path
from typing import get_args

from gasketcut.job.model import (
    DRY_THREAD,
    Holes,
    Kind,
    Landmark,
    OutletRule,
    PartSpec,
    Range,
    Role,
    Stock,
    Window,
)
from gasketcut.job.reading.shape_words import read_outline, read_placed, read_shape
from gasketcut.job.reading.table import Table
from gasketcut.parts.shapes import Placed, Round
from gasketcut.profile.fasteners import FITS, clearance_hole, sizes, stud_diameter

KINDS: tuple[Kind, ...] = get_args(Kind)
_COPIES = ("spacer", "blank", "screen", "frame", "deflector")
_OF_AN_OUTLET = ("screen", "frame", "deflector")
_OPENING_IS_THE_PORT = ("intake", "exhaust")
_NAME = re.compile(r"[^\W_][\w .+-]*", re.UNICODE)
_RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d|report)(\..*)?", re.IGNORECASE)  # taken by Windows, or by us


def read_part(table: Table, beside: Path | None) -> PartSpec:
    """One `[[part]]`."""
    kind = table.word("kind", KINDS)
    outline, opening, outlet = table.table("outline"), table.table("opening"), table.table("outlet")
    placed_opening = read_placed(opening) if opening else None
    cut_by_default = not (kind in _OPENING_IS_THE_PORT and placed_opening is not None)
    ports = [_read_window(port, "port", cut=cut_by_default) for port in table.tables("port")]
    passages = [_read_window(passage, "passage", cut=True) for passage in table.tables("passage")]
    spec = PartSpec(
        name=_read_name(table),
        kind=kind,  # type: ignore[arg-type]  # word() returned one of KINDS
        outline=read_outline(outline) if outline else None,
        opening=placed_opening,
        studs=tuple(
            _read_holes(studs, beside, is_stud=True) for key in ("studs", "stud") for studs in table.tables(key)
        ),
        dowels=tuple(_read_holes(dowels, beside, is_stud=True) for dowels in table.tables("dowels")),
        holes=tuple(_read_holes(holes, beside, is_stud=False) for holes in table.tables("holes")),
        windows=(*ports, *passages),
        set_back=table.length("set_back", 0.5, zero=True),
        stock=table.text("stock"),
        of=table.text("of"),
        face_up=table.text("face_up", longest=40),
        landmark=_read_landmark(table),
        count=table.whole("count", 1),
        outlet=_read_outlet(outlet) if outlet else None,
        template=table.word("form", ("plate", "template"), "plate") == "template",
        drill=table.length("drill", 4.0),
        none=table.texts("none"),
        flow=table.texts("flow"),
        growth_percent=table.number("growth_percent", least=-5.0, most=5.0, above=False) or 0.0,
        nick=table.flag("nick", default=False),
        lap=table.length("lap", 4.0, zero=True),
        reach=table.length("reach", 20.0),
        foot=table.length("foot", 12.0),
        line=table.line,
    )
    _check_part(table, spec)
    table.close()
    return spec


def read_stock(table: Table) -> Stock:
    """One `[[stock]]`."""
    name = table.text("name")
    if name is None:
        table.missing("name", 'e.g. name = "paper 0.5"')
    fitted = _read_fitted(table)
    if "thickness" not in table and fitted is None:
        table.missing("thickness", "the thickness of the sheet as bought, e.g. thickness = 0.5")
    size = table.lengths("size", (2,))
    stock = Stock(
        name=name or "",
        thickness=table.length("thickness", fitted[1] if fitted else 1.0),
        fitted=fitted,
        used=table.measured("used") if "used" in table else None,
        sheets=table.whole("sheets", 3, most=20),
        material=table.text("material"),
        size=(size[0], size[1]) if size else None,
        joints=table.words("joints", KINDS),
        is_spacer=table.flag("spacer", default=False),
    )
    table.close()
    return stock


def _read_fitted(table: Table) -> Range | None:
    fitted = table.lengths("fitted", (1, 3))
    if fitted is None:
        return None
    least, likely, most = fitted if len(fitted) == 3 else fitted * 3
    if not least <= likely <= most:
        table.fault("fitted", "write it as [least, likely, most], rising")
    return least, likely, most


def _read_name(table: Table) -> str:
    name = table.text("name", longest=60)
    if name is None:
        table.missing("name", 'e.g. name = "base-gasket"')
        return ""
    if not _NAME.fullmatch(name) or name.endswith(".") or _RESERVED.fullmatch(name):
        table.fault(
            "name", f"{name!r} becomes a file name; write letters, digits, blanks and - + . _ only, e.g. 'base-gasket'"
        )
    return name


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


def _read_window(table: Table, role: Role, *, cut: bool) -> Window:
    name, at, turn = table.text("name", longest=40), table.point("at", (0.0, 0.0)), table.angle("turn", 0.0)
    shape, own_cut = table.table("shape"), table.raw("cut")
    if shape is None:
        table.missing("shape", "the window in the metal, e.g. shape = { round = 6.0 }")
    placed = Placed(read_shape(shape) if shape else Round(1.0), at, turn or 0.0)
    if shape is not None:
        shape.close()
    how: bool | Placed = cut
    if isinstance(own_cut, dict):
        inner = table.table("cut")
        if inner is not None:
            how = Placed(read_shape(inner), at, turn or 0.0)
            inner.close()
    elif own_cut is not None:
        how = table.flag("cut", default=cut)
    window = Window(name or role, role, placed, how, table.text("face", longest=40))
    table.close()
    return window


def _read_holes(table: Table, beside: Path | None, *, is_stud: bool) -> Holes:
    slot, turn = table.lengths("slot", (2,)), table.angle("turn", 0.0) or 0.0
    if slot is not None and slot[0] < slot[1]:
        table.fault("slot", f"its length {slot[0]:g} is below its width {slot[1]:g}; write [length, width]")
    diameter, stud, size = _read_diameter(table, beside, slot[1] if slot else None)
    if is_stud and stud is None:
        table.missing("stud_diameter", 'what goes through the hole, e.g. size = "M5" or stud_diameter = 5.0')
    if stud is not None and stud > diameter:
        table.fault(None, f"a stud of {stud:g} mm does not go through a hole of {diameter:g} mm")
    holes = Holes(
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


def _read_diameter(table: Table, beside: Path | None, width: float | None) -> tuple[float, float | None, str | None]:
    size, stud = table.text("size"), table.length_or_none("stud_diameter")
    fit = table.word("fit", FITS, "medium")
    if size is None:
        if width is not None:
            return width, stud, None
        if "diameter" not in table:
            table.missing("diameter", 'e.g. diameter = 5.5, or size = "M5" with fit = "medium"')
        return table.length("diameter", 1.0), stud, None
    if size not in sizes(beside):
        table.fault("size", f"{size!r} is not in the table; write one of {', '.join(sizes(beside))}, or diameter = ...")
        return table.length("diameter", 1e3), None, None
    own = stud if stud is not None else stud_diameter(size, beside)
    return width or table.length("diameter", clearance_hole(size, fit, beside)), own, size


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


def _read_outlet(table: Table) -> OutletRule:
    count, percent = table.whole("count", 1, most=200), table.number("percent", most=1000)
    circle, ratio = table.length_or_none("circle"), table.number("ratio", least=1.0, most=20.0, above=False)
    form = table.word("form", ("round", "oval", "slot"), "round")
    if percent is None and "percent" not in table:
        rule = OutletRule(shape=read_shape(table), count=count, circle=circle)
    else:
        rule = OutletRule(percent=percent, form=form, ratio=ratio or 1.5, count=count, circle=circle)  # type: ignore[arg-type]
    if count > 1 and circle is None:
        table.missing("circle", "the circle on which the openings sit, e.g. circle = 24")
    table.close()
    return rule


def _check_part(table: Table, spec: PartSpec) -> None:
    """Keys that belong together."""
    if spec.kind in _OF_AN_OUTLET and spec.of is None:
        table.missing("of", 'the outlet plate it belongs to, e.g. of = "outlet-plate"')
    elif spec.kind in _COPIES:
        if spec.of is None and spec.outline is None:
            table.missing("of", 'the part whose outline it takes, e.g. of = "base-gasket"')
    elif spec.of is not None:
        table.fault("of", f"only a {' or a '.join(_COPIES)} takes the outline of another part")
    elif spec.outline is None and spec.kind != "joint" and not (spec.kind == "outlet" and spec.template):
        table.missing("outline", "e.g. outline = { hull = 4.0 } or outline = { round = 60.0 }")
    if spec.kind == "joint" and len({window.face for window in spec.windows} - {None}) < 2:
        table.fault(None, "a joint has two faces; give its ports, passages and studs face = ...")
    if (spec.kind == "outlet") != (spec.outlet is not None):
        if spec.kind == "outlet":
            table.missing("outlet", "its size, e.g. outlet = { round = 14.0 } or outlet = { percent = 80 }")
        else:
            table.fault("outlet", 'belongs to kind = "outlet" only')
