"""An inspection for other programs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any

from gasketcut.output.spreadsheet import Cell, csv_text
from gasketcut.output.text.received.questions import questions
from gasketcut.output.text.received.table import found_words, unit_words
from gasketcut.received.batch import Looked
from gasketcut.received.inspection import Inspection
from gasketcut.received.mending import Mended
from gasketcut.received.reading.unit import Unit
from gasketcut.received.what_it_is import WhatItIs
from gasketcut.shape.narrow import Narrow


def inspect_data(found: Inspection, file: str) -> dict[str, Any]:
    """Sizes in mm by the likely unit, places in the file's own numbers."""
    return {
        "file": file,
        "version": found.version,
        "units": _units(found.unit),
        "size_mm": [round(side, 4) for side in found.size],
        "sizes_mm": {unit: [round(side, 4) for side in sides] for unit, sides in found.sizes.items()},
        "entities": found.entities,
        "layers": list(found.layers),
        "contours": {
            "closed": sum(not one.is_mark for one in found.closed),
            "open": sum(not one.is_mark for one in found.open),
        },
        "what": _what(found.what),
        "not_cut": [{"layer": one.layer, "as": one.kind, "lines": one.count} for one in found.taken],
        "faults": [{"kind": flaw.kind, "at": _at(flaw.at), "text": flaw.text, "fix": flaw.fix} for flaw in found.flaws],
        "looks": [{"kind": look.kind, "at": _at(look.at), "text": look.text, "do": look.do} for look in found.looks],
        "groups": [
            {
                "kind": group.kind,
                "count": group.count,
                "at": _at(group.at),
                "says": group.says,
                "drop": group.drop,
                "faults": dict(Counter(flaw.kind for flaw in group.flaws)),
            }
            for group in found.groups
        ],
        "dropped": [{"what": one.word, "at": _at(one.at), "text": one.text} for one in found.dropped],
        "verdict": found.verdict,
    }


def unreadable_data(file: str, why: str) -> dict[str, Any]:
    """The same shape for what is no DXF."""
    return {
        "file": file,
        "version": None,
        "units": _units(None),
        "size_mm": None,
        "sizes_mm": {},
        "entities": {},
        "layers": [],
        "contours": {"closed": 0, "open": 0},
        "what": None,
        "not_cut": [],
        "faults": [{"kind": "not-dxf", "at": None, "text": why, "fix": "ask for a DXF file"}],
        "looks": [],
        "groups": [],
        "dropped": [],
        "verdict": "ask",
    }


def row_data(looked: Looked) -> dict[str, Any]:
    """One file of many: faults and places to look at are counted by kind, `ask` holds what to ask in plain words."""
    found = looked.summary
    return {
        "file": str(looked.file),
        "verdict": looked.verdict,
        "units": _units(found.unit if found else None),
        "size_mm": [round(side, 4) for side in found.size] if found else None,
        "parts": found.parts if found else None,
        "holes": found.holes if found else None,
        "faults": dict(found.faults) if found else {looked.kind: 1},
        "looks": dict(found.looks) if found else {},
        "ask": list(questions(looked)),
    }


def rows_csv(rows: Sequence[Looked]) -> str:
    """The same as a table for a spreadsheet, a row a file."""
    heads = ("file", "verdict", "unit", "width_mm", "height_mm", "parts", "holes", "found", "ask")
    return csv_text([heads, *(_row_cells(row) for row in rows)])


def _row_cells(row: Looked) -> tuple[Cell, ...]:
    found, asked = row.summary, " ".join(questions(row))
    if found is None:
        return str(row.file), "not read", None, None, None, None, None, row.why, asked
    width, height = (round(side, 4) for side in found.size)
    return (str(row.file), row.verdict, unit_words(found), width, height, found.parts, found.holes, found_words(found),
            asked)  # fmt: skip


def mend_data(mended: Mended, file: str, out: str | None) -> dict[str, Any]:
    """What was changed, or what stands in the way."""
    return {
        "file": file,
        "out": out,
        "changes": [{"kind": one.kind, "at": _at(one.at), "text": one.text} for one in mended.changes],
        "refused": [{"kind": one.kind, "at": _at(one.at), "text": one.text, "fix": one.fix} for one in mended.refused],
    }


def _units(unit: Unit | None) -> dict[str, str | None]:
    if unit is None:
        return dict.fromkeys(("declared", "measurement", "likely"))
    return {"declared": unit.declared, "measurement": unit.measurement, "likely": unit.likely}


def _what(what: WhatItIs) -> dict[str, Any]:
    """`holes` of each part; a radius of 0 is a sharp corner."""
    return {
        "parts": what.parts,
        "holes": list(what.holes),
        "duplicates": what.duplicates,
        "cut_length_mm": round(what.cut_length, 3),
        "starts": what.starts,
        "smallest_hole_mm": _width(what.smallest_hole),
        "smallest_radius_mm": _width(what.smallest_radius),
        "smallest_web_mm": _width(what.smallest_web),
        "as_named": what.as_named,
    }


def _width(one: Narrow | None) -> float | None:
    return None if one is None else round(one.width, 3)


def _at(place: tuple[float, float] | None) -> list[float] | None:
    return None if place is None else [round(place[0], 6), round(place[1], 6)]
