"""Which unit a drawing is in: what it declares, and what its size makes likely.

A declaration is evidence, not proof: `$INSUNITS` never scaled a number, and programs write their own default.
Limits are ours: parts of this trade lie between a few mm and two metres.
"""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.length import IN
from gasketcut.received.faults.flaw import Flaw
from gasketcut.received.reading.tags import TaggedDrawing
from gasketcut.tolerances import LARGEST

FACTORS = {"mm": 1.0, "cm": 10.0, "in": IN, "m": 1000.0}
CODES = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m", 13: "um", 14: "dm"}  # DXF reference, $INSUNITS
MENDED_BY_US = "mended: "
"""With this begins a comment in files that we have mended: whoever had them mended has settled the unit."""

_LEAST = 3.0
"""mm; smaller than any part that is cut from sheet here."""

SMALL = 5.0
"""mm; a smaller part is hardly ever cut from sheet, though it may be. Ours."""

_MOST_IN = 24.0
"""A part that says inches and is longer than this was more likely drawn in mm."""


@dataclass(frozen=True, slots=True)
class Unit:
    """As the file declares it, what `$MEASUREMENT` says, and what it most likely is; None where nothing says."""

    declared: str | None
    measurement: str | None
    likely: str | None

    @property
    def factor(self) -> float:
        """mm for one unit of the file, by what is likely."""
        return FACTORS.get(self.likely or "mm", 1.0)


def unit_of(drawing: TaggedDrawing, extent: float, named: str | None) -> tuple[Unit, list[Flaw]]:
    """The unit and what is uncertain about it.

    extent : the larger side of the drawing in its own units
    named  : what the user says it is; then nothing is questioned
    """
    declared, measurement = declared_unit(drawing), _measurement(drawing)
    if named is not None:
        return Unit(declared, measurement, named), []
    if any(comment.startswith(MENDED_BY_US) for comment in drawing.comments):
        return Unit(declared, measurement, declared), []
    flaws = []
    likely = _likely(declared, measurement, extent)
    advice = _advice(likely, declared, measurement, extent)
    if declared is None:
        inches = ", but $MEASUREMENT says inches" if measurement == "in" else ""
        flaws.append(Flaw("no-unit", None, f"no unit is declared{inches}", advice))
    elif likely != declared and not _contradicts(declared, measurement):
        text = f"declares {declared}, which makes it {_size(extent, declared)}; likely {likely or 'another unit'}"
        flaws.append(Flaw("unit-doubt", None, text, advice))
    if _contradicts(declared, measurement):
        text = f"$INSUNITS says {declared}, $MEASUREMENT says {'inches' if measurement == 'in' else 'metric'}"
        flaws.append(Flaw("unit-conflict", None, text, advice))
    return Unit(declared, measurement, likely), flaws


def _contradicts(declared: str | None, measurement: str | None) -> bool:
    return declared is not None and measurement is not None and (declared in ("in", "ft")) != (measurement == "in")


def _advice(likely: str | None, declared: str | None, measurement: str | None, extent: float) -> str:
    """What to say, with the size that each unit makes if more than one may be meant."""
    asked = dict.fromkeys([likely or "mm", declared, measurement, "mm", "in"])
    units = [unit for unit in asked if unit == (likely or "mm") or (unit in FACTORS and is_likely(extent, unit))]
    if len(units) == 1 or extent <= 0:
        return f"say it: --units {units[0]}"
    first, second = units[:2]
    return f"say it: --units {first} if it is {_size(extent, first)}, --units {second} if {_size(extent, second)}"


def declared_unit(drawing: TaggedDrawing) -> str | None:
    """What the file says; None if it says nothing."""
    for comment in drawing.comments:  # where a version has no place for it, ours stands in a comment
        if comment in ("units: mm", "units: in"):
            return comment[-2:]
    try:
        code = int((drawing.header.get("$INSUNITS") or ["0"])[0])
    except ValueError:
        return None
    return CODES.get(code, f"unit {code}") if code else None


def _measurement(drawing: TaggedDrawing) -> str | None:
    value = next(iter(drawing.header.get("$MEASUREMENT", ())), None)
    return {"0": "in", "1": "mm"}.get(value) if value else None


def _likely(declared: str | None, measurement: str | None, extent: float) -> str | None:
    """The declared one if it makes a likely size, else one that does: what `$MEASUREMENT` says, then mm first."""
    if extent <= 0:
        return declared
    odd = declared is not None and measurement == "in" and extent * FACTORS.get(declared, 1.0) < SMALL
    if (
        declared in FACTORS
        and not odd
        and (is_likely(extent, declared) or (declared != "in" and _LEAST <= extent * FACTORS[declared] <= LARGEST))
    ):
        return declared
    for unit in dict.fromkeys((measurement if measurement == "in" else "mm", "mm", "in", "m", "cm")):
        if unit != declared and is_likely(extent, unit):
            return unit
    return declared if declared in FACTORS else None


def is_likely(extent: float, unit: str) -> bool:
    """Whether a drawing of this extent in this unit is of a size that somebody cuts from sheet."""
    size = extent * FACTORS[unit]
    if unit == "in":
        return size >= _LEAST and extent <= _MOST_IN
    if unit == "mm":
        return _LEAST <= size <= LARGEST
    return 50.0 <= size <= LARGEST / 2


def _size(extent: float, unit: str) -> str:
    factor = {**FACTORS, "ft": 12 * IN, "um": 0.001, "dm": 100.0}.get(unit)
    return f"{extent * factor:.4g} mm long" if factor else "of unknown size"
