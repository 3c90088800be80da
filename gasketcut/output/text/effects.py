"""What the gasket and the work on the ports do to the engine, as rows of words.

Column   the engine at one stage: now, with the gasket, with the work too.
Cell     a figure with its +- at LEVEL, where that shows in the digits that are printed.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from gasketcut.engine.assumptions import WIDTH_LIMIT, WIDTH_START
from gasketcut.engine.ports.judged import Judged
from gasketcut.engine.ports.port_change import PortChange
from gasketcut.engine.squish.effects import State
from gasketcut.engine.squish.result import SquishResult
from gasketcut.engine.states.planned import Beside
from gasketcut.length import IN, Units, both
from gasketcut.output.text.finding import WIDTH
from gasketcut.pressure import PSI

_FIGURE, _BESIDE = 17, 14
"""Letters of a column: of figures with their +-, and of a choice beside others."""


_S_CM2_CC = 0.01
"""Of one s/m: handbooks have time-area in s cm2/cc."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure of an engine: its name, where it stands in a `State` (one number, or from one to another), and how it is
    printed. `short` is its name in a line of what changes; without one it does not stand there."""

    name: str
    get: Callable[[State], float | tuple[float, float] | None]
    decimals: int
    unit: str = ""
    per: float = 1.0
    short: str = ""
    says_how_sure: bool = True

    def cell(self, state: State) -> str:
        """With its +- and unit; a dash where it is not known."""
        value = self.get(state)
        if value is None:
            return "-"
        half = self.get(state.plus_minus) if state.plus_minus and self.says_how_sure else None
        sure = "" if half is None else self._sure(max(half) if isinstance(half, tuple) else half)
        return f"{self.alone(state)}{sure}{self._unit}"

    def alone(self, state: State) -> str:
        """The number alone."""
        value = self.get(state)
        if value is None:
            return "-"
        ends = value if isinstance(value, tuple) else (value,)
        return "-".join(self._number(one) for one in ends)

    def change(self, state: State) -> str:
        """As a difference, with its sign; empty where it is not known or does not show."""
        value = self.get(state)
        ends = value if isinstance(value, tuple) else (value,)
        if any(one is None or not self._shows(one) for one in ends):
            return ""
        signed = " to ".join(f"{one / self.per:+.{self.decimals}f}" for one in ends if one is not None)
        return f"{self.short} {signed}{self._unit}"

    @property
    def _unit(self) -> str:
        return f" {self.unit}" if self.unit else ""

    def _number(self, value: float) -> str:
        return f"{value / self.per:.{self.decimals}f}".replace("-0.00", "0.00")

    def _sure(self, half: float) -> str:
        return f" +- {self._number(half)}" if self._shows(half) else ""

    def _shows(self, value: float) -> bool:
        return round(abs(value) / self.per, self.decimals) > 0


def effects_table(answer: SquishResult) -> list[tuple[str, ...]]:
    """Headings, then a row for each figure that the job says enough for: its name, and a cell for each stage."""
    states = [state for _, state in answer.stages]
    rows = [(one.name, *(one.cell(state) for state in states)) for one in _figures(answer.after, answer.units)]
    rows += area_rows(answer, states)
    return [("", *(stage.value for stage, _ in answer.stages)), *(row for row in rows if set(row[1:]) != {"-"})]


def _figures(state: State, units: Units) -> list[Figure]:
    found = [
        *_length("base thickness, fitted", lambda one: one.fitted, units),
        *_length("squish", lambda one: one.squish, units),
        Figure("chamber", lambda one: one.chamber_cc, 2, "cc", short="chamber"),
        Figure("ratio, full stroke", lambda one: one.full_stroke, 2, short="full-stroke ratio"),
        Figure("ratio, trapped", lambda one: one.trapped, 2, short="trapped ratio"),
        Figure("cranking pressure, kPa", lambda one: one.gauge_kpa, 0, short="cranking kPa"),
        Figure("  in psi", lambda one: one.gauge_kpa, 0, per=PSI, short="psi"),
        Figure("squish velocity, peak", _peak, 1, "m/s", short="peak squish velocity"),
        Figure("  at, BTDC", lambda one: one.velocity.at if one.velocity else None, 1, "deg"),
        Figure("  mean, 10 deg round it", lambda one: one.velocity.mean if one.velocity else None, 1, "m/s"),
        Figure("blowdown", lambda one: one.blowdown, 1, "deg", short="blowdown"),
        *_length("skirt over exhaust floor", lambda one: one.skirt_cover, units),
    ]
    for name, timing in state.ports.items():
        side = "ATDC" if timing.by_crown else "BTDC"
        found.append(Figure(f"{name} opens, {side}", _opens(name), 1, "deg"))
        found.append(Figure(f"{name} open for", _duration(name), 1, "deg", short=name))
    return found


def _length(name: str, get: Callable[[State], float | None], units: Units) -> tuple[Figure, Figure]:
    """In the job's unit, and below it in the other."""
    metric, inch = (name, "  in inches") if units == "mm" else ("  in mm", name)
    rows = Figure(metric, get, 2, "mm"), Figure(inch, get, 3, "in", IN)
    return rows if units == "mm" else rows[::-1]


def _peak(state: State) -> float | None:
    return state.velocity.peak if state.velocity else None


def _duration(name: str) -> Callable[[State], float | None]:
    return lambda one: one.ports[name].duration if name in one.ports else None


def _opens(name: str) -> Callable[[State], float | None]:
    return lambda one: one.ports[name].opens if name in one.ports else None


# -- time-area -----------------------------------------------------------------------------------------------------


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


def engine_words(answer: SquishResult) -> list[str]:
    """What no gasket changes: the share of the squish's area, the crankcase ratio and from what; as far as known."""
    share, case, rows = answer.after.squish_share, answer.crankcase, []
    if share is not None:
        rows.append(f"Squish area {share:.1%} of the bore.")
    if case is not None and case.ratio is not None:
        rows.append(f"Crankcase ratio {case.ratio:.2f} : 1, from {case.cc:g} cc with the piston at {case.at}.")
    return [" ".join(rows)] if rows else []


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


# -- what it hangs on, and what else could be chosen ---------------------------------------------------------------


def sensitivity_lines(answer: SquishResult) -> list[str]:
    """What a little more or less under the cylinder changes, a sentence each; none where there is no engine."""
    found = answer.sensitivity
    shown = [one for one in _figures(answer.after, answer.units) if one.short]
    lines = []
    for state, way in ((found.more, "more"), (found.less, "less")):
        changes = [words for one in shown if state is not None and (words := one.change(state))]
        if changes:
            lines.append(f"{both(found.per)} {way} under the cylinder changes: {', '.join(changes)}.")
    return lines


def side_by_side_table(answer: SquishResult) -> list[tuple[str, ...]]:
    """Headings (the choices), then a row for each figure, the unit in its name; nothing without a second choice."""
    shown = [one for one in answer.side_by_side if one.after is not None]
    if len(shown) < 2 or (not answer.after.ports and answer.after.chamber_cc is None):
        return []
    metric = answer.units == "mm"
    rows = [(f"squish, {answer.units}", *(_span(one.choice.squish, metric) for one in shown))]
    rows.append((f"tight place, {answer.units}", *(_span(one.choice.tight, metric) for one in shown)))
    figures = [
        Figure("ratio, trapped", lambda one: one.trapped, 2),
        Figure("cranking, kPa", lambda one: one.gauge_kpa, 0),
        Figure("cranking, psi", lambda one: one.gauge_kpa, 0, per=PSI),
        *(Figure(f"{name} open, deg", _duration(name), 1) for name in answer.after.ports),
        Figure("blowdown, deg", lambda one: one.blowdown, 1),
        Figure("peak velocity, m/s", _peak, 1),
    ]
    rows += [(one.name, *_alone(one, shown)) for one in figures]
    return [("", *(one.choice.words for one in shown)), *(row for row in rows if set(row[1:]) != {"-"})]


def _alone(figure: Figure, shown: Sequence[Beside]) -> list[str]:
    return [figure.alone(one.after) for one in shown if one.after is not None]


def _span(values: tuple[float, float, float], metric: bool) -> str:
    low, high = (f"{value:.2f}" if metric else f"{value / IN:.3f}" for value in (values[0], values[2]))
    return f"{low} to {high}"


def columns_text(table: Sequence[tuple[str, ...]]) -> str:
    """A table of the above on a screen: what stands first to the left, the others in equal columns below their heads,
    a long name or head on lines of its own."""
    if not table:
        return ""
    wide = _BESIDE if len(table[0]) > 4 else _FIGURE
    first = WIDTH - (wide + 1) * (len(table[0]) - 1)
    first = min(first, max(len(row[0]) for row in table) + 1)
    heads = [textwrap.wrap(head, wide) for head in table[0][1:]]
    tallest = max(map(len, heads))
    rows = [["", *(head[line] if line < len(head) else "" for head in heads)] for line in range(tallest)]
    lines = []
    for row in (*rows, *table[1:]):
        name = row[0]
        if len(name) >= first:
            lines.append(name)
            name = ""
        lines.append((f"{name:<{first}}" + " ".join(f"{cell:<{wide}}" for cell in row[1:])).rstrip())
    return "\n".join(lines)


# -- the work itself -----------------------------------------------------------------------------------------------


def _done(one: PortChange) -> str:
    what = {"take {} off its edge": one.removed, "widen it by {}": one.widened}
    return ", ".join(words.format(both(mm)) for words, mm in what.items() if mm) or "nothing is taken off"


def work_rows(one: PortChange) -> list[str]:
    """What is taken off a port and the window it leaves, a line each."""
    rows = [f"Work on port '{one.port}': {_done(one)}."]
    if one.area_before is not None and one.area_after is not None:
        rows.append(f"  window {one.area_before:.1f} -> {one.area_after:.1f} mm2")
    if one.is_exhaust and one.chord is not None and one.wall is not None:
        rows.append(
            f"  chord {one.chord:.0%} of the bore, {both(one.wall, 1)} round the wall; "
            f"published: start {WIDTH_START:.0%}, limit {WIDTH_LIMIT:.0%}"
        )
    if one.skirt_margin is not None:
        rows.append(f"  skirt beside the window {both(one.skirt_margin)} a side")
    if one.pin_margin is not None:
        rows.append(f"  ring pin {both(one.pin_margin)} from the window's edge")
    return rows
