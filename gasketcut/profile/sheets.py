"""Sheets: materials of gasket sheet, the least land, the widest span between bolts, and the sheets on the shelf, from
`profiles/sheets.toml`."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from gasketcut.toml.table import Table

WIDEST = 1000.0
"""mm; no land and no span of a small engine is wider."""

STIFFNESSES = ("soft", "medium", "stiff")

_STRESS = 1000.0  # MPa; no sheet is tested harder


@dataclass(frozen=True, slots=True)
class Material:
    """What is published of a sheet.

    compressibility  least and most lost at the test stress [%], or None
    stress           of that test [MPa], or None
    recovery         of the loss when unloaded, at least [%]
    stiffness        against bowing between bolts: the name of a span
    """

    name: str
    says: str = ""
    compressibility: tuple[float, float] | None = None
    stress: float | None = None
    recovery: float = 0.0
    stiffness: str = "soft"


@dataclass(frozen=True, slots=True)
class OnShelf:
    """A sheet to cut from: thickness and whole size [mm]; `process` is how it is cut unless somebody says otherwise."""

    name: str
    material: str | None
    thickness: float
    size: tuple[float, float]
    process: str | None = None


@dataclass(frozen=True, slots=True)
class Sheets:
    """Lands [mm]: below `land_warn` look at it, below `land_stop` it will not hold. `spans` and
    `seals`, the least that stays sealed however the sheet moves [mm], by stiffness."""

    land_warn: float = 0.0
    land_stop: float = 0.0
    spans: tuple[tuple[str, float], ...] = ()
    seals: tuple[tuple[str, float], ...] = ()
    materials: tuple[Material, ...] = ()
    shelf: tuple[OnShelf, ...] = ()

    def on_shelf(self, name: str) -> OnShelf | None:
        """The sheet of that name, in capitals or not."""
        return next((one for one in self.shelf if one.name.casefold() == name.casefold()), None)

    def material(self, name: str | None) -> Material | None:
        """The material of that name, however its words are parted and whether in capitals or not."""
        key = material_key(name or "")
        return next((one for one in self.materials if material_key(one.name) == key), None)

    def span(self, material: Material | None) -> float:
        """The widest span between bolts [mm]; a sheet of which nothing is known counts as soft."""
        return dict(self.spans)[material.stiffness if material else "soft"]

    def seal(self, material: str | None) -> float:
        """Below this [mm], in the worst motion, too little is sealed; an unknown sheet counts as soft."""
        known = self.material(material)
        return dict(self.seals).get(known.stiffness if known else "soft", 0.0)


def material_key(name: str) -> str:
    """Words in small letters, joined by hyphens: `Cellulose NBR` and `cellulose-nbr` are one material."""
    return "-".join(words_of(name))


def words_of(text: str) -> list[str]:
    """Single words in small letters; a hyphen parts words as a blank does."""
    return re.findall(r"[^\W_]+", text.casefold())


def read_sheets(table: Table, known: Sheets) -> Sheets:
    """The known ones, with what the file says in their place."""
    land = table.table("land")
    spans, seals = _by_stiffness(table, "span", known.spans), _by_stiffness(table, "seal", known.seals)
    found = replace(known, spans=tuple(spans.items()), seals=tuple(seals.items()))
    if land is not None:
        warn, stop = land.number("warn", most=WIDEST), land.number("stop", most=WIDEST)
        found = replace(found, land_warn=warn or found.land_warn, land_stop=stop or found.land_stop)
        land.close()
        if found.land_stop > found.land_warn:
            land.fault(
                None, f"stop = {found.land_stop:g} is over warn = {found.land_warn:g}; stop is the narrower land"
            )
    materials = {material_key(one.name): one for one in known.materials}
    for name, entry in table.named_tables("material"):
        materials[material_key(name)] = _material(name, entry)
    shelf = {one.name.casefold(): one for one in known.shelf}
    for name, entry in table.named_tables("sheet"):
        shelf[name.casefold()] = _on_shelf(name, entry)
    table.close()
    return replace(found, materials=tuple(materials.values()), shelf=tuple(shelf.values()))


def _on_shelf(name: str, table: Table) -> OnShelf:
    size = table.lengths("size", (2,))
    if size is None:
        table.missing("size", "width and height of the whole sheet [mm], e.g. size = [2000, 1000]")
    whole = (size[0], size[1]) if size else (1.0, 1.0)
    found = OnShelf(name, table.text("material"), table.length("thickness"), whole, table.text("process"))
    table.close()
    return found


def _by_stiffness(table: Table, name: str, known: tuple[tuple[str, float], ...]) -> dict[str, float]:
    found, own = dict(known), table.table(name)
    if own is not None:
        for stiffness in STIFFNESSES:
            found[stiffness] = own.number(stiffness, most=WIDEST) or found.get(stiffness, 0.0)
        own.close()
    return found


def _material(name: str, table: Table) -> Material:
    lost = table.numbers("compressibility", 2, most=99.0)
    if lost is not None and lost[0] > lost[1]:
        table.fault("compressibility", f"write the least first: [{lost[1]:g}, {lost[0]:g}]")
    stress = table.number("stress", most=_STRESS)
    if lost is not None and "stress" not in table:
        table.missing("stress", "that of the compressibility's test [MPa], e.g. stress = 6.89")
    found = Material(
        name=name,
        says=table.text("says") or name,
        compressibility=(lost[0], lost[1]) if lost else None,
        stress=stress,
        recovery=table.number("recovery", most=99.0, above=False) or 0.0,
        stiffness=table.word("stiffness", STIFFNESSES, "soft"),
    )
    table.close()
    return found
