"""A quote as plain data for report.json and as CSV for a spreadsheet. Every key carries its unit."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from gasketcut.cutting.nest.sheets import Sheets
from gasketcut.cutting.path.kerf import kerf_words
from gasketcut.cutting.quote import Quote, Row
from gasketcut.errors import UndecidedError
from gasketcut.finding import Finding, has_stop
from gasketcut.output.data.finding import finding_data
from gasketcut.output.sheet_files import layout_data
from gasketcut.output.spreadsheet import csv_text

EACH, ALL = "each", "all"
_EACH = ("size_mm", "kerf_mm", "drawn")  # what a sum over parts does not have


def quote_data(quote: Quote) -> dict[str, Any]:
    """What stands under `quote` in report.json: numbers of one piece in `parts`, of all pieces in `total`."""
    return {
        "process": quote.total.process,
        "currency": quote.currency,
        "sheets": quote.sheets,
        "parts": [_numbers(row) for row in quote.rows],
        "total": {key: value for key, value in _numbers(quote.total).items() if key not in _EACH},
    }


def quoted_data(quote: Quote, sheets: tuple[Sheets, ...], findings: Sequence[Finding]) -> dict[str, Any]:
    """What `gasketcut quote --json` prints; `sheets` as in report.json."""
    return {
        "quote": quote_data(quote),
        "layout": layout_data(sheets),
        "findings": [finding_data(one) for one in findings],
        "stopped": has_stop(findings),
    }


def undecided_data(error: UndecidedError) -> dict[str, Any]:
    """The same where drawings leave something to decide first."""
    return {"stopped": True, "undecided": [{"part": one.key, "text": one.message} for one in error.faults]}


def quote_csv(quote: Quote) -> str:
    """A header, a row for each part (`each`: numbers of one piece) and the total (`all` pieces); ends of line CRLF."""
    rows = [
        *((EACH, _numbers(row)) for row in quote.rows),
        (ALL, _numbers(quote.total)),
    ]
    flat = [{"of": of, **_flat(numbers), "currency": quote.currency, "sheets": None} for of, numbers in rows]
    flat[-1] |= {**dict.fromkeys(("kerf_mm", "drawn")), "sheets": quote.sheets}
    return csv_text([list(flat[0]), *([row[name] for name in flat[0]] for row in flat)])


def _numbers(row: Row) -> dict[str, Any]:
    return {
        "name": row.part,
        "count": row.count,
        "process": row.process,
        "kerf_mm": row.kerf,
        "drawn": kerf_words(row.kerf),
        "stock": row.stock,
        "thickness_mm": row.thickness,
        "cut_inside_mm": _r(row.inside),
        "cut_outside_mm": _r(row.outside),
        "mark_mm": _r(row.mark),
        "pierces": row.pierces,
        "size_mm": [_r(side) for side in row.size] if row.size else None,
        "net_area_mm2": _r(row.area),
        "sheet_used_mm2": _r(row.sheet),
        "smallest_hole_mm": _r(row.smallest_hole),
        "smallest_web_mm": _r(row.smallest_web),
        "time_s": _r(row.seconds, 2),
        "cost": _r(row.cost, 2),
        "no_cost_because": row.gap,
    }


def _flat(numbers: dict[str, Any]) -> dict[str, Any]:
    """Without lists."""
    width, height = numbers["size_mm"] or (None, None)
    flat: dict[str, Any] = {}
    for key, value in numbers.items():
        if key == "size_mm":
            flat |= {"width_mm": width, "height_mm": height}
        else:
            flat[key] = value
    return flat


def _r(value: float | None, places: int = 4) -> float | None:
    return None if value is None else round(value, places) + 0.0
