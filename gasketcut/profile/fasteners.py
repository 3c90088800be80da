"""Fasteners: clearance holes by size and fit, from `profiles/fasteners.toml`."""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.toml.table import Table

FITS = ("fine", "medium", "coarse")
"""The fits of ISO 273; ASME B18.2.8 calls them close, normal and loose. These are ours: a user adds sizes, not fits."""

_WIDEST = 100.0  # mm; no fastener of a small engine is thicker


@dataclass(frozen=True, slots=True)
class FastenerSize:
    """Nominal diameter, clearance holes by fit, and a metric thread's coarse pitch and the height of its
    nut, or None [mm]."""

    name: str
    diameter: float
    fine: float
    medium: float
    coarse: float
    pitch: float | None = None
    nut: float | None = None

    def hole(self, fit: str) -> float:
        """Diameter of the clearance hole [mm]. Source: ISO 273 and ASME B18.2.8, as given in the profile."""
        return {"fine": self.fine, "medium": self.medium, "coarse": self.coarse}[fit]


@dataclass(frozen=True, slots=True)
class Fasteners:
    """The sizes that are known, smallest first within metric and inch."""

    sizes: tuple[FastenerSize, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        """As a job writes them."""
        return tuple(size.name for size in self.sizes)

    def size(self, name: str) -> FastenerSize:
        """The size of that name, one of `names`."""
        return next(size for size in self.sizes if size.name == name)


def read_fasteners(table: Table, known: Fasteners) -> Fasteners:
    """The known ones, with what the file says in their place."""
    sizes = {size.name: size for size in known.sizes}
    for name, entry in table.named_tables("size"):
        sizes[name] = _size(name, entry)
    table.close()
    return Fasteners(tuple(sizes.values()))


def _size(name: str, table: Table) -> FastenerSize:
    values = {}
    for key in ("diameter", *FITS):
        values[key] = table.number(key, most=_WIDEST)
        if key not in table:
            table.missing(key, f"it in mm, e.g. {key} = 5.5")
    pitch, nut = table.number("pitch", most=_WIDEST), table.number("nut", most=_WIDEST)
    found = FastenerSize(name, **{key: value or 1.0 for key, value in values.items()}, pitch=pitch, nut=nut)
    holes = (found.diameter, found.fine, found.medium, found.coarse)
    if all(values.values()) and list(holes) != sorted(holes):
        table.fault(None, "the holes do not rise from diameter over fine and medium to coarse; check the four")
    table.close()
    return found
