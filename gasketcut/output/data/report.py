"""`report.json`: everything a run found, for other programs. Lengths in mm whatever the job's units."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from gasketcut.cutting.nest.sheets import Sheets
from gasketcut.cutting.quote import Quote
from gasketcut.engine.squish.result import SquishResult
from gasketcut.finding import Finding
from gasketcut.output.data.finding import finding_data
from gasketcut.output.data.quote import quote_data
from gasketcut.output.data.squish import flat_squish
from gasketcut.output.sheet_files import layout_data
from gasketcut.parts.part import Part
from gasketcut.shape.loop import Outline


@dataclass(frozen=True, slots=True)
class Made:
    """A part, its outline, and the names of the files written for it."""

    part: Part
    outline: Outline
    files: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Report:
    """The result of a run. `version` is that of the program."""

    title: str
    made: tuple[Made, ...]
    squish: SquishResult | None
    findings: tuple[Finding, ...]
    version: str
    quote: Quote | None = None
    sheets: tuple[Sheets, ...] = ()

    def as_data(self) -> dict[str, Any]:
        """Plain data with the keys of the documented report."""
        return {
            "title": self.title,
            "parts": [_part(made) for made in self.made],
            "squish": flat_squish(self.squish) if self.squish else None,
            "quote": quote_data(self.quote) if self.quote else None,
            **({"layout": layout_data(self.sheets)} if self.sheets else {}),
            "findings": [finding_data(finding) for finding in self.findings],
            "tool": f"gasketcut {self.version}",
        }

    def as_json(self) -> str:
        return json.dumps(self.as_data(), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _part(made: Made) -> dict[str, Any]:
    left, low, right, high = made.outline.bounds
    return {
        "name": made.part.name,
        "kind": made.part.kind,
        "count": made.part.count,
        "stock": made.part.stock.name if made.part.stock else None,
        "thickness_mm": made.part.thickness,
        "area_mm2": round(made.outline.area, 4),
        "cut_length_mm": round(made.outline.cut_length, 4),
        "pierces": len(made.outline.contours),
        "size_mm": [round(right - left, 4), round(high - low, 4)],
        "deviation_um": round(made.outline.deviation * 1000, 3),
        "files": list(made.files),
    }
