"""Lines and arcs of traced edges by their numbers, what may be torn, and what was joined: as data and as words."""

from __future__ import annotations

from typing import Any

from gasketcut.capture.torn.stretch import Stretch
from gasketcut.capture.traced import Traced
from gasketcut.capture.traced_part import TracedPart
from gasketcut.plane import Point
from gasketcut.shape.circlefit import Fit


def edges_data(part: TracedPart) -> dict[str, Any]:
    """As they were seen, before anything was joined or accepted; and what was joined."""
    return {
        "stretches": [_stretch(one) for one in part.stretches],
        "bridges": [{"from": one.asked.first, "to": one.asked.last, "text": one.text} for one in part.bridges],
    }


def questions_data(traced: Traced) -> list[dict[str, Any]]:
    """By number; `part` counts from 0, as with the proposals."""
    return [
        {
            "number": one.number,
            "part": one.part,
            "kind": one.kind,
            "text": one.text,
            "at": _place(one.at),
            "do": list(one.do),
        }
        for one in traced.questions
    ]


def torn_rows(traced: Traced) -> list[str]:
    """Questions with what to write, and what was joined; no row where there is neither."""
    rows = [f"  {one.text}" for part in traced.parts for one in part.bridges]
    if traced.questions:
        rows += ["", "May be torn; nothing is done about it unless you say so, and --overlay shows each:"]
        for one in traced.questions:
            rows.append(f"  {one.number}  {one.text}")
            rows += [f"     {do}" for do in one.do]
    return rows


def numbers_of(part: TracedPart) -> str:
    """The first and the last number of a part's lines and arcs, in words; empty where it has none."""
    if not part.stretches:
        return ""
    first, last = part.stretches[0].number, part.stretches[-1].number
    return f", numbered {first} to {last}" if first != last else f", number {first}"


def _stretch(one: Stretch) -> dict[str, Any]:
    # Where it is and no more: how long it is or how round nobody can say as surely as the figures of a part.
    return {
        "number": one.number,
        "of": one.of,
        "shape": "arc" if isinstance(one.curve, Fit) else "line",
        "from": _place(one.start),
        "to": _place(one.end),
    }


def _place(at: Point) -> list[float]:
    return [round(at[0], 4), round(at[1], 4)]
