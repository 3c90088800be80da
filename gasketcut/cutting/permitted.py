"""May this sheet be cut that way? Never, with caution, or fine; with the reason and whose word it is."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal, cast

from gasketcut.cutting.cutter import cutters_profile, sheet_of
from gasketcut.finding import Finding
from gasketcut.job.cutting import Process
from gasketcut.parts.part import Part
from gasketcut.parts.stock import Stock
from gasketcut.profile.loading import shipped

Level = Literal["never", "caution", "fine"]
LEVELS: tuple[Level, ...] = ("never", "caution", "fine")

_GROUP = {"co2": "laser", "fibre": "laser", "knife": "cold", "waterjet": "cold", "hand": "cold"}
_NAMES = {
    "co2": "a CO2 laser", "fibre": "a fibre laser", "knife": "a drag knife", "waterjet": "a waterjet", "hand": "hand",
}  # fmt: skip
# "non-asbestos", "asbestos-free", "free of asbestos", "without PVC": the word, and that it is not in there.
_BEFORE = r"(?:\b(?:non|no|not|without|free[\W_]+(?:of|from))[\W_]*)"
_AFTER = r"(?:[\W_]*free\b(?![\W_]+(?:of|from)\b))"


@dataclass(frozen=True, slots=True)
class Verdict:
    """`sheet` is the kind of sheet, in words; `why` the reason and `source` whose word it is."""

    level: Level
    sheet: str
    why: str
    source: str


def verdict_on(stock: Stock | None, process: Process, beside: Path | None = None) -> Verdict:
    """The worst that is known of the stock under that process.

    A stock without a material is unknown, whatever its name promises; but a name that warns counts.

    >>> verdict_on(Stock(name="tablecloth", thickness=0.3, material="PVC"), "co2").level
    'never'
    """
    profile = cutters_profile(beside)
    known = _shipped()
    kinds = [sheet_of(stock, profile) or "unknown"]
    for text in (stock.name, stock.material or "") if stock else ():
        kinds += [kind for word, kind in known["warning"].items() if _warns(word, text)]
    # A user's own kinds come in; what the shipped file says of a kind stands.
    verdicts = {**profile["verdict"], **known["verdict"]}
    found = [_verdict(kind, process, verdicts.get(kind, {}), profile["sheet"]) for kind in dict.fromkeys(kinds)]
    return min(found, key=lambda verdict: LEVELS.index(verdict.level))


def material_findings(part: Part, process: Process, beside: Path | None = None) -> Iterator[Finding]:
    """A stop for never, a warning for caution, nothing where it is fine."""
    verdict = verdict_on(part.stock, process, beside)
    if verdict.level == "fine":
        return
    name = part.stock.name if part.stock else "a sheet that is not named"
    word = "is never cut" if verdict.level == "never" else "is cut with caution"
    do = "take another process or another sheet"
    if verdict.level == "caution":
        do = "ask the sheet's maker and whoever runs the machine; their rules come first"
    if verdict.sheet == "unknown":
        do = 'write the material into the stock, e.g. material = "vegetable-fibre", once you know what it is'
    yield Finding(
        rule="material",
        weight="stop" if verdict.level == "never" else "warn",
        part=part.name,
        text=f"{name} ({verdict.sheet}) {word} by {_NAMES[process]}: {verdict.why} [{verdict.source}]",
        do=do,
    )


def _verdict(kind: str, process: Process, said: dict[str, Any], sheets: dict[str, Any]) -> Verdict:
    words = "unknown" if kind == "unknown" else str(sheets.get(kind, {}).get("says", kind))
    one = said.get(process) or said.get(_GROUP[process])
    if not isinstance(one, dict) or one.get("is") not in LEVELS:
        return Verdict("caution", words, "no verdict on it is in the table", "none found")
    return Verdict(cast(Level, one["is"]), words, str(one.get("why", "")), str(one.get("source", "not named")))


def _warns(word: str, text: str) -> bool:
    """Does the text name the stuff, other than to say that it is not in there?"""
    plain = text.casefold()
    without = re.sub(rf"{_BEFORE}\b{re.escape(word)}\b|\b{re.escape(word)}\b{_AFTER}", " ", plain)
    return re.search(rf"(?<![^\W_]){re.escape(word)}(?![^\W_])", without) is not None


@cache
def _shipped() -> dict[str, Any]:
    return tomllib.loads(shipped("cutters").read_text(encoding="utf-8"))
