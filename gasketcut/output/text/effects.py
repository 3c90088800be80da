"""What the gasket and the work on the ports do to the engine, as rows of words."""

from __future__ import annotations

from collections.abc import Callable

from gasketcut.engine.assumptions import WIDTH_LIMIT, WIDTH_START
from gasketcut.engine.ports.port_change import PortChange
from gasketcut.engine.squish.effects import State
from gasketcut.engine.squish.result import SquishResult
from gasketcut.length import both
from gasketcut.pressure import kpa_and_psi


def effects_table(answer: SquishResult) -> list[tuple[str, str, str]]:
    """What, before, after; only what the job says enough for."""

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
        ("skirt over exhaust floor", _lengths(answer.before.skirt_cover, answer.after.skirt_cover)),
    ]
    for name in answer.after.ports:
        side = "ATDC" if answer.after.ports[name].by_crown else "BTDC"
        rows.append((f"{name} opens, {side}", of(lambda state, n=name: state.ports[n].opens, "{:.1f} deg")))  # type: ignore[misc]
        rows.append((f"{name} open for", of(lambda state, n=name: state.ports[n].duration, "{:.1f} deg")))  # type: ignore[misc]
    for name in answer.after.areas:
        rows.append(
            (f"{name} time-area per cc", of(lambda state, n=name: state.areas[n].specific * 1000, "{:.2f} ms/m"))  # type: ignore[misc]
        )
    return [(what, *values) for what, values in rows if values != ("-", "-")]


def _blowdown_area(state: State) -> float | None:
    return state.blowdown_area.specific * 1000 if state.blowdown_area else None


def _lengths(*values: float | None) -> tuple[str, str]:
    one, other = ("-" if value is None else both(value) for value in values)
    return one, other


def _gauge(state: State) -> str:
    if state.gauge_kpa is None:
        return "-"
    return kpa_and_psi(*state.gauge_kpa)


def _done(one: PortChange) -> str:
    what = {"take {} off its edge": one.removed, "widen it by {}": one.widened}
    return ", ".join(words.format(both(mm)) for words, mm in what.items() if mm) or "nothing is taken off"


def work_rows(one: PortChange) -> list[str]:
    """What is taken off a port and what that does, a line each."""
    rows = [
        f"Work on port '{one.port}': {_done(one)}.",
    ]
    if one.area_before is not None and one.area_after is not None:
        rows.append(f"  window {one.area_before:.1f} -> {one.area_after:.1f} mm2")
    if one.chord is not None and one.wall is not None:
        rows.append(
            f"  chord {one.chord:.0%} of the bore, {both(one.wall, 1)} round the wall; "
            f"published: start {WIDTH_START:.0%}, limit {WIDTH_LIMIT:.0%}"
        )
    if one.skirt_margin is not None:
        rows.append(f"  skirt beside the window {both(one.skirt_margin)} a side")
    if one.pin_margin is not None:
        rows.append(f"  ring pin {both(one.pin_margin)} from the window's edge")
    return rows
