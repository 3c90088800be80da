"""The squish answer for a person: the answer first, then the choices, then before and after, then what to mind."""

from __future__ import annotations

import textwrap
from collections.abc import Callable

from gasketcut.engine.effects import State
from gasketcut.engine.floor import Advice
from gasketcut.engine.squish import Answer
from gasketcut.engine.work import WIDTH_LIMIT, WIDTH_START, Worked, wall_width
from gasketcut.length import IN, both
from gasketcut.write.finding_text import WIDTH, findings_text

_SHOWN = 6
KPA_PER_PSI = 6.894757


def squish_text(answer: Answer, title: str, advice: tuple[Advice, ...], bore: float | None) -> str:
    """The whole text, 80 columns, without a line end at its end."""
    blocks = [title, _answer(answer), _choices(answer), _effects(answer)]
    blocks += [_work(one, bore) for one in answer.work]
    if answer.findings:
        blocks.append(findings_text(answer.findings))
    blocks.append(_advice(advice))
    return "\n\n".join(block for block in blocks if block)


def _answer(answer: Answer) -> str:
    kind, _, words = answer.verdict.partition(": ")
    rows = [f"ANSWER: {words}."]
    measured = both(answer.squish.mean.value, 3)
    if answer.present:
        rows.append(f"Measured {measured} over a gasket of {both(answer.present)}: {both(answer.bare.value, 3)} bare.")
    else:
        rows.append(f"Measured {measured} with no gasket in place.")
    rows.append(f"Wanted {both(answer.target, 3)}, so {both(answer.needed, 3)} of gasket when clamped.")
    if kind in ("machine", "spacer"):
        way = "up" if answer.moved < 0 else "down"
        rows.append(
            f"To keep the timing, every port edge then has to move {way} by {both(abs(answer.moved))}"
            + ("; taking metal off the squish band instead leaves the ports alone." if kind == "machine" else ".")
        )
    return "\n".join(textwrap.fill(row, WIDTH, subsequent_indent="  ") for row in rows)


def _choices(answer: Answer) -> str:
    rows = [f"{'choice, likeliest first':<34} {'fitted mm':<16} {'squish mm':<16} {'in band':>7}  under"]
    for choice in answer.choices[:_SHOWN]:
        words = textwrap.wrap(choice.words, 34)
        odds = f"{choice.odds.in_band:>7.0%} {choice.odds.under_floor:>6.1%}"
        rows.append(f"{words[0]:<34} {_range(choice.fitted):<16} {_range(choice.squish):<16} {odds}")
        rows += [f"  {more}" for more in words[1:]]
    left = len(answer.choices) - _SHOWN
    return "\n".join(rows + ([f"and {left} more with --json"] if left > 0 else []))


def _range(values: tuple[float, float, float]) -> str:
    return " ".join(f"{value:.2f}" for value in values)


def _effects(answer: Answer) -> str:
    def of(get: Callable[[State], float | None], form: str) -> tuple[str, str]:
        one, other = get(answer.before), get(answer.after)
        return ("-" if one is None else form.format(one)), ("-" if other is None else form.format(other))

    rows: list[tuple[str, tuple[str, str]]] = [
        ("base thickness, fitted", (both(answer.before.fitted), both(answer.after.fitted))),
        ("squish", (both(answer.before.squish), both(answer.after.squish))),
        ("chamber", of(lambda state: state.chamber_cc, "{:.2f} cc")),
        ("ratio, full stroke", of(lambda state: state.full_stroke, "{:.2f} : 1")),
        ("ratio, trapped", of(lambda state: state.trapped, "{:.2f} : 1")),
        ("cranking pressure", (_gauge(answer.before), _gauge(answer.after))),
        ("squish velocity", of(lambda state: state.velocity, "{:.1f} m/s")),
        ("blowdown", of(lambda state: state.blowdown, "{:.1f} deg")),
        ("blowdown time-area per cc", of(_blowdown_area, "{:.3f} ms/m")),
        ("skirt over exhaust floor", of(lambda state: state.skirt_cover, "{:.2f} mm")),
    ]
    for name in answer.after.ports:
        side = "ATDC" if answer.is_roof(name) else "BTDC"
        rows.append((f"{name} opens, {side}", of(lambda state, n=name: state.ports[n].opens, "{:.1f} deg")))  # type: ignore[misc]
        rows.append((f"{name} open for", of(lambda state, n=name: state.ports[n].duration, "{:.1f} deg")))  # type: ignore[misc]
    for name in answer.after.areas:
        rows.append(
            (f"{name} time-area per cc", of(lambda state, n=name: state.areas[n].specific * 1000, "{:.2f} ms/m"))  # type: ignore[misc]
        )
    known = [(what, values) for what, values in rows if values != ("-", "-")]
    return "\n".join(
        [f"{'':<28} {'before':<24} after", *(f"{what:<28} {one:<24} {other}" for what, (one, other) in known)]
    )


def _blowdown_area(state: State) -> float | None:
    return state.blowdown_area.specific * 1000 if state.blowdown_area else None


def _gauge(state: State) -> str:
    if state.gauge_kpa is None:
        return "-"
    low, high = state.gauge_kpa
    return f"{low:.0f}-{high:.0f} kPa ({low / KPA_PER_PSI:.0f}-{high / KPA_PER_PSI:.0f} psi)"


def _work(one: Worked, bore: float | None) -> str:
    rows = [
        f"Work on port '{one.port}': take {both(one.removed)} off its edge, widen it by {both(one.widened)}.",
        f"  opens {one.before.opens:.1f} deg now, {one.after.opens:.1f} after the work, "
        f"{one.with_gasket.opens:.1f} with the gasket too",
        f"  open for {one.before.duration:.1f} deg now, {one.after.duration:.1f} after the work, "
        f"{one.with_gasket.duration:.1f} with the gasket too",
    ]
    if one.area_before is not None and one.area_after is not None:
        rows.append(f"  window {one.area_before:.1f} -> {one.area_after:.1f} mm2")
    if one.time_area_before and one.time_area_after:
        first, last = one.time_area_before.specific * 1000, one.time_area_after.specific * 1000
        rows.append(f"  time-area per cc {first:.2f} -> {last:.2f} ms/m, gasket included")
    if one.chord is not None and bore is not None:
        rows.append(
            f"  chord {one.chord:.0%} of the bore ({wall_width(one.chord * bore, bore):.1f} mm round the wall); "
            f"published: start {WIDTH_START:.0%}, limit {WIDTH_LIMIT:.0%}"
        )
    if one.skirt_margin is not None:
        rows.append(f"  skirt beside the window {both(one.skirt_margin)} a side")
    if one.pin_margin is not None:
        rows.append(f"  ring pin {both(one.pin_margin)} from the window's edge")
    return "\n".join(rows)


def _advice(advice: tuple[Advice, ...]) -> str:
    rows = ["What others advise for the squish; theirs, not ours, and no two agree:"]
    for one in advice:
        span = f"{one.low:.2f}" if one.low == one.high else f"{one.low:.2f} to {one.high:.2f}"
        inches = f"{one.low / IN:.3f}" if one.low == one.high else f"{one.low / IN:.3f} to {one.high / IN:.3f}"
        text = f"{span} mm ({inches} in)  {one.engines} ({one.source})"
        rows.append(textwrap.fill(text, WIDTH, initial_indent="  ", subsequent_indent="      "))
    rows.append("Turn the engine over by hand and measure again; the maker's figures come first.")
    return "\n".join(rows)
