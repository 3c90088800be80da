"""A comparison of two drawings for other programs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from gasketcut.comparing.comparison import Alone, Comparison, PieceComparison
from gasketcut.comparing.deviation import ACCURACY
from gasketcut.output.data.number import rounded, rounded_all


def compare_data(found: Comparison, first: str, second: str) -> dict[str, Any]:
    """Lengths in mm; places in the first drawing.

    Turn and shift take the first drawing's largest piece to its partner: mirrored left to right if so, turned about the
    origin, then moved.
    """
    largest, piece = found.largest, next(iter(found.pieces), None)
    return {
        "a": first,
        "b": second,
        "within_mm": rounded(found.within),
        "same": found.is_same,
        "largest_mm": rounded(largest.size) if largest else None,
        "accuracy_mm": ACCURACY,
        "at": rounded_all(largest.at) if largest else None,
        "mirrored": found.mirrored,
        **_placing(piece),
        "holes": [
            {
                "at": rounded_all(hole.at),
                "moved_mm": rounded(hole.moved),
                "diameter_mm": rounded_all(hole.diameters),
                "off_mm": rounded(hole.off),
            }
            for one in found.pieces
            for hole in one.holes
        ],
        "missing": _alone([*found.missing, *(alone for one in found.pieces for alone in one.missing)]),
        "extra": _alone([*found.extra, *(alone for one in found.pieces for alone in one.extra)]),
        "pieces": [
            {
                "largest_mm": rounded(one.largest.size),
                "at": rounded_all(one.largest.at),
                "mirrored": one.placing.mirrored,
                **_placing(one),
            }
            for one in found.pieces
        ],
    }


def _placing(piece: PieceComparison | None) -> dict[str, Any]:
    if piece is None:
        return {"turn_deg": None, "shift_mm": None}
    return {"turn_deg": rounded(piece.placing.turn), "shift_mm": rounded_all(piece.placing.shift)}


def _alone(those: Sequence[Alone]) -> list[dict[str, Any]]:
    return [{"what": one.what, "at": rounded_all(one.at), "diameter_mm": rounded(one.diameter)} for one in those]
