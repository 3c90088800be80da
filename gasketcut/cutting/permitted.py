"""May this sheet be cut that way? Never, with caution, or fine; with the reason and whose word it is."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from gasketcut.finding import Finding
from gasketcut.job.cutting import Process
from gasketcut.parts.part import Part
from gasketcut.parts.stock import Stock
from gasketcut.profile.cutting.cutters import Cutters
from gasketcut.profile.cutting.verdicts import LEVELS, UNKNOWN, Level
from gasketcut.profile.sheets import material_key

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


def verdict_on(stock: Stock | None, process: Process, cutters: Cutters) -> Verdict:
    """The worst that is known of the stock under that process.

    A stock without a material is unknown, whatever its name promises; but a name that warns counts.
    """
    named = cutters.kind_of(stock.material) if stock else None
    kinds = [named.name if named else UNKNOWN]
    for text in (stock.name, stock.material or "") if stock else ():
        kinds += [kind for word, kind in cutters.warnings if _warns(word, text)]
    found = [_verdict(kind, process, cutters) for kind in dict.fromkeys(kinds)]
    return min(found, key=lambda verdict: LEVELS.index(verdict.level))


def material_findings(part: Part, process: Process, cutters: Cutters) -> Iterator[Finding]:
    """A stop for never, a warning for caution, nothing where it is fine."""
    verdict = verdict_on(part.stock, process, cutters)
    if verdict.level == "fine":
        return
    name = part.stock.name if part.stock else "a sheet that is not named"
    word = "is never cut" if verdict.level == "never" else "is cut with caution"
    do = "take another process or another sheet"
    if verdict.level == "caution":
        do = "ask the sheet's maker and whoever runs the machine; their rules come first"
    if verdict.sheet == UNKNOWN:
        do = 'write the material into the stock, e.g. material = "vegetable-fibre", once you know what it is'
        if part.stock is not None and part.stock.material is not None:
            entry = f'[material] {material_key(part.stock.material)} = "rubber"'
            do = f"say in a cutters.toml of your own what kind of sheet it is, e.g. {entry}"
    yield Finding(
        rule="material",
        weight="stop" if verdict.level == "never" else "warn",
        part=part.name,
        text=f"{name} ({verdict.sheet}) {word} by {_NAMES[process]}: {verdict.why} [{verdict.source}]",
        do=do,
    )


def _verdict(kind: str, process: Process, cutters: Cutters) -> Verdict:
    known, said = cutters.kind(kind), cutters.verdict(kind, process)
    words = known.says if known else kind
    if said is None:
        return Verdict("caution", words, "no verdict on it is in the table", "none found")
    return Verdict(said.level, words, said.why, said.source)


def _warns(word: str, text: str) -> bool:
    """Does the text name the stuff, other than to say that it is not in there?"""
    plain = text.casefold()
    without = re.sub(rf"{_BEFORE}\b{re.escape(word)}\b|\b{re.escape(word)}\b{_AFTER}", " ", plain)
    return re.search(rf"(?<![^\W_]){re.escape(word)}(?![^\W_])", without) is not None
