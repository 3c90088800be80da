"""A comparison of two drawings in plain words: the same or not, what differs most, what moved, what is missing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from gasketcut.comparing.comparison import Alone, Comparison, HolePair, PieceComparison
from gasketcut.length import both

_SHOWN = 12
"""Holes that are told one by one."""

_SEEN = 0.0005
"""mm; what differs by less prints as nothing."""


def compare_text(found: Comparison, first: str, second: str) -> str:
    """For a screen; places are in the first drawing [mm]."""
    rows = [_verdict(found)]
    if found.largest is not None:
        rows.append(f"largest deviation  {both(found.largest.size, 3)} at {_at(found.largest.at)}")
    several = len(found.pieces) > 1
    for number, piece in enumerate(found.pieces, 1):
        name = f"piece {number}: " if several else ""
        rows.append(f"{name}{second} is {first} {_placing(piece)}")
        rows += [f"  {row}" for row in _piece(piece, second)]
    rows += [f"missing in {second}: {_alone(one)}" for one in found.missing]
    rows += [f"only in {second}: {_alone(one)}" for one in found.extra]
    return "\n".join(rows)


def _verdict(found: Comparison) -> str:
    within = both(found.within)
    if found.is_same:
        return f"SAME: nothing is off by more than {within}."
    if found.is_same_but_mirrored and found.largest is not None:
        return f"NOT THE SAME: mirror image; otherwise the same within {both(found.largest.size, 3)}."
    turned = " One is turned over." if found.mirrored else ""
    return f"NOT THE SAME within {within}.{turned}"


def _placing(piece: PieceComparison) -> str:
    placing = piece.placing
    x, y = placing.shift
    does = ["turned over left to right"] if placing.mirrored else []
    does += [f"turned by {placing.turn:.3f} deg"] if abs(placing.turn) >= _SEEN else []
    does += [f"moved by {_at((x, y))} mm"] if max(abs(x), abs(y)) >= _SEEN else []
    return ", ".join(does) if does else "as it lies"


def _piece(piece: PieceComparison, second: str) -> Iterator[str]:
    changed = sorted((hole for hole in piece.holes if hole.off >= _SEEN), key=lambda hole: -hole.off)
    alike = len(piece.holes) - len(changed)
    if piece.holes:
        yield f"{alike} of {len(piece.holes)} holes are the same in place and size"
    for hole in changed[:_SHOWN]:
        yield f"hole at {_at(hole.at)}: {_hole(hole)}"
    if len(changed) > _SHOWN:
        yield f"and {len(changed) - _SHOWN} more holes that differ less; --json lists all"
    yield from (f"missing in {second}: {_alone(one)}" for one in _first(piece.missing))
    yield from (f"only in {second}: {_alone(one)}" for one in _first(piece.extra))
    for what, those in (("missing", piece.missing), ("only there", piece.extra)):
        if len(those) > _SHOWN:
            yield f"and {len(those) - _SHOWN} more {what}"


def _first(those: Sequence[Alone]) -> Sequence[Alone]:
    return those[:_SHOWN]


def _hole(hole: HolePair) -> str:
    before, after = hole.diameters
    says = [f"moved by {both(hole.moved, 3)}"] if hole.moved >= _SEEN else []
    if before is not None and after is not None:
        if abs(before - after) >= _SEEN:
            says.append(f"{both(before, 3)} in diameter, now {both(after, 3)}")
    else:
        says.append(f"its edge is off by {both(hole.off, 3)} at most")
    return ", ".join(says) or f"its edge is off by {both(hole.off, 3)} at most"


def _alone(one: Alone) -> str:
    size = f" of {both(one.diameter)}" if one.diameter is not None else ""
    return f"a {one.what}{size} at {_at(one.at)}"


def _at(place: tuple[float, float]) -> str:
    x, y = (round(number, 3) + 0.0 for number in place)  # never -0
    return f"({x:.3f}, {y:.3f})"
