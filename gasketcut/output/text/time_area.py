"""Time-area of the ports in words: in s cm2/cc as handbooks have it, and where that lies in their ranges."""

from __future__ import annotations

from collections.abc import Sequence

from gasketcut.engine.ports.judged import Judged
from gasketcut.engine.squish.effects import State
from gasketcut.engine.squish.result import SquishResult

_S_CM2_CC = 0.01  # of one s/m


def area_rows(answer: SquishResult, states: Sequence[State]) -> list[tuple[str, ...]]:
    """What, and a cell for each state; several ports of one kind are judged together."""
    names = list(dict.fromkeys(name for state in states for name in state.areas))
    found = [answer.judged(state) for state in states]
    rows: list[tuple[str, ...]] = []
    for name in names:
        rows.append((f"{name}, s cm2/cc", *(specific(_of(state, name)) for state in states)))
        judged = [one.get(name) for one in found]
        ports = next((one.ports for one in judged if one is not None), ())
        if ports and ports[-1] == name:
            if len(ports) > 1:
                rows.append((f"  {' + '.join(ports)}", *(specific(one.specific if one else None) for one in judged)))
            rows.append(("  middle of its range", *(_place(one) for one in judged)))
    if any(state.blowdown_area for state in states):
        cells = (state.blowdown_area.specific if state.blowdown_area else None for state in states)
        rows.append(("blowdown, s cm2/cc", *map(specific, cells)))
    return rows


def _of(state: State, name: str) -> float | None:
    return state.areas[name].specific if name in state.areas else None


def specific(value: float | None) -> str:
    """A specific time-area [s/m] in s cm2/cc.

    >>> specific(0.01395)
    '0.0001395'
    """
    return "-" if value is None else f"{value * _S_CM2_CC:.7f}"


def _place(one: Judged | None) -> str:
    if one is None:
        return "-"
    middle = f"{one.rpm_at_middle:.0f} rpm"
    if one.specific is None:
        return middle
    side = "inside" if one.is_inside else "under" if one.specific < one.range.low else "over"
    return f"{middle}, {side}"


def crankcase_words(answer: SquishResult) -> list[str]:
    """The crankcase ratio and from what; nothing where it is not known."""
    case = answer.crankcase
    if case is None or case.ratio is None:
        return []
    return [f"Crankcase ratio {case.ratio:.2f} : 1, from {case.cc:g} cc with the piston at {case.at}."]


def area_words(answer: SquishResult) -> list[str]:
    """Whose the ranges are, and what they were stated for; nothing where no port is held against one."""
    found = {one.range.kind: one.range for one in answer.judged(answer.after).values()}
    rows = []
    for engines, source in dict.fromkeys((one.engines, one.source) for one in found.values()):
        ranges = "; ".join(
            f"{one.kind} {one.low * _S_CM2_CC:.5f} to {one.high * _S_CM2_CC:.5f}"
            for one in found.values()
            if (one.engines, one.source) == (engines, source)
        )
        rows.append(
            f"Time-area for each cc, all windows of a kind together, in s cm2/cc: {ranges}. These ranges were "
            f"stated for {engines} ({source}); in the middle is a port at the speed beside it."
        )
    return rows
