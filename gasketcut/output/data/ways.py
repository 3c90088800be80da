"""The ways as plain data, with the keys of the documented interface.

Not rounded: whoever puts the deeds back into the sums is to find what was wanted.
"""

from __future__ import annotations

from typing import Any

from gasketcut.engine.ways.clash import Clash
from gasketcut.engine.ways.deed import Deed
from gasketcut.engine.ways.result import WaysResult
from gasketcut.engine.ways.way import Way
from gasketcut.length import in_order
from gasketcut.output.data.finding import finding_data
from gasketcut.output.text.ways import clash_sentence

_UNIT = {"squish": "mm", "width": "mm", "opens": "deg", "chamber": "cc"}


def ways_data(result: WaysResult) -> dict[str, Any]:
    """What `gasketcut ways --json` prints."""
    return {
        "wanted": {want.figure: [want.low, want.high] for want in result.wants},
        "now": dict(result.reached_now),
        "level": 0.95,
        "ways": [way_data(way) for way in result.ways],
        "contradictions": [_clash(clash, result) for clash in result.clashes],
        "chosen": result.chosen.name if result.chosen else None,
    }


def way_data(way: Way) -> dict[str, Any]:
    """One way; `missed` is reached less wanted, and empty where everything is met."""
    return {
        "name": way.name,
        "deeds": [_deed(deed) for deed in way.deeds],
        "reached": dict(way.reached),
        "missed": dict(way.missed),
        "plus_minus": dict(way.plus_minus),
        "findings": [finding_data(finding) for finding in way.findings],
    }


def _deed(deed: Deed) -> dict[str, Any]:
    found: dict[str, Any] = {"deed": deed.does}
    if deed.port is not None:
        found["port"] = deed.port
    if deed.mm is not None:
        found["mm"] = deed.mm
    if deed.cc is not None:
        found["cc"] = deed.cc
    if deed.layers:
        found["layers"] = [{"stock": layer.stock, "count": layer.count} for layer in deed.layers]
    found["measure"] = {"what": deed.measure.what, _UNIT[deed.measure.what]: deed.measure.value}
    return found


def _clash(clash: Clash, result: WaysResult) -> dict[str, Any]:
    return {
        "wants": [want.figure for want in clash.wants],
        "nearest": {one.figure: one.value for one in clash.nearest},
        "text": in_order(clash_sentence(clash, result.floor), result.units),
    }
