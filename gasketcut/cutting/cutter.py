"""Cutters: what a process does to a class of sheet, out of `profiles/cutters.toml`.

Sheet    what kind a stock is, as its material says; None where nobody says.
Class    sheets that cut alike: paper, soft, hard, graphite, foil, metal.
Cutter   the numbers of one process in one class; each names its source in the profile.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from gasketcut.errors import GasketError
from gasketcut.job.cutting import Choice, Process
from gasketcut.parts.stock import Stock
from gasketcut.profile import loading as profiles

_LENGTHS = ("kerf", "hole", "web", "corner", "overcut", "tab", "lead_in", "pierce")
_FACTORS = ("hole_x", "web_x")
_MOST = 100.0  # mm, s or times; nothing in a cutter's table is larger


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutter:
    """Lengths in mm; `hole_x` and `web_x` are multiples of the thickness; `speed` in mm/min or None; `pierce` in s.

    sheet  the class, or None if the stock does not say: then the values are the process's own
    """

    process: Process
    says: str
    sheet: str | None
    kerf: float
    hole: float
    hole_x: float
    web: float
    web_x: float
    corner: float
    mark: bool
    overcut: float
    tab: float
    lead_in: float
    speed: float | None
    pierce: float

    def least_hole(self, thickness: float | None) -> float:
        """The smallest hole that comes out clean [mm]."""
        return max(self.hole, self.hole_x * (thickness or 0.0))

    def least_web(self, thickness: float | None) -> float:
        """The narrowest sheet that stands between two cuts [mm]."""
        return max(self.web, self.web_x * (thickness or 0.0))


def chosen(choice: Choice, profile: float) -> float | None:
    """The length asked for: the user's own, the profile's, or None if it was not asked for."""
    return profile if choice == "profile" else choice


def cutter_for(process: Process, stock: Stock | None, beside: Path | None = None) -> Cutter:
    """The process in that stock; raise `GasketError` for a profile with a value that cannot be used.

    >>> cutter_for("co2", Stock(name="gasket paper", thickness=0.5, material="vegetable-fibre")).kerf
    0.08
    """
    profile = cutters_profile(beside)
    sheet = _class_of(stock, profile)
    own, by_class = _own(beside), f"{process}-{sheet}"
    # What the user says of the process at large counts for more than what we say of a class.
    values: dict[str, Any] = {
        **profile[process], **profile.get(by_class, {}), **own.get(process, {}), **own.get(by_class, {}),
    }  # fmt: skip
    for key in (*_LENGTHS, *_FACTORS):
        values[key] = _number(values.get(key), f"[{process}] {key}", least=0.0, most=_MOST)
    speed = values.get("speed")
    return Cutter(
        process=process,
        says=str(values["says"]),
        sheet=sheet,
        mark=values["mark"] is True,
        speed=None if speed is None else _number(speed, f"[{process}] speed", least=0.1, most=1e6),
        **{key: values[key] for key in (*_LENGTHS, *_FACTORS)},
    )


def cutters_profile(beside: Path | None = None) -> dict[str, Any]:
    """`cutters.toml` with the user's own; raise `GasketError` where that is not built like ours."""
    profile = profiles.load("cutters", beside)
    for key, value in profile.items():
        if key != "foil" and not isinstance(value, dict):
            raise GasketError(f"profile cutters.toml: {key} is no table; write [{key}] and the values below it")
    for name, sheet in profile["sheet"].items():
        if not isinstance(sheet, dict) or not all(isinstance(sheet.get(key), str) for key in ("says", "cuts_as")):
            raise GasketError(
                f'profile cutters.toml: [sheet] {name}: write {name} = {{ says = "...", cuts_as = "paper" }}'
            )
    for section in ("material", "word"):
        for name, kind in profile[section].items():
            if kind not in profile["sheet"]:
                known = ", ".join(profile["sheet"])
                raise GasketError(f"profile cutters.toml: [{section}] {name} = {kind!r}; write one of {known}")
    profile["foil"] = _number(profile["foil"], "foil", least=0.0, most=_MOST)
    return profile


def sheet_of(stock: Stock | None, profile: dict[str, Any]) -> str | None:
    """The kind of sheet that the stock's material names, or None."""
    if stock is None or stock.material is None:
        return None
    found = profile["material"].get("-".join(words_of(stock.material)))
    return str(found) if found is not None else None


def words_of(text: str) -> list[str]:
    """Single words in small letters; a hyphen parts words as a blank does."""
    return re.findall(r"[^\W_]+", text.casefold())


def _own(beside: Path | None) -> dict[str, Any]:
    """The user's own tables alone, those beside the job last; `cutters_profile` has looked at them before."""
    found: dict[str, Any] = {}
    for folder in (profiles.user_folder(), beside):
        file = folder / "cutters.toml" if folder else None
        if file and file.is_file():
            for key, value in tomllib.loads(file.read_text(encoding="utf-8")).items():
                found[key] = {**found.get(key, {}), **value} if isinstance(value, dict) else value
    return found


def _class_of(stock: Stock | None, profile: dict[str, Any]) -> str | None:
    if stock is None:
        return None
    kind = sheet_of(stock, profile)
    if kind is None:
        kind = next((profile["word"][word] for word in words_of(stock.name) if word in profile["word"]), None)
    if kind is None:
        return None
    name = str(profile["sheet"][kind]["cuts_as"])
    return "foil" if name == "metal" and stock.thickness <= profile["foil"] else name


def _number(value: object, where: str, *, least: float, most: float) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not least <= value <= most:
        raise GasketError(f"profile cutters.toml: {where} = {value!r} is no number from {least:g} to {most:g}")
    return float(value)
