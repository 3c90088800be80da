"""The rest of the top end on the build sheet: ring, port width, outlet, ignition key, pressure, cost, trials."""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite
from pathlib import Path

from gasketcut.engine.ports.port_change import OPENED, WIDTH_LIMIT, WIDTH_START, exhaust_area, port_width
from gasketcut.engine.squish.compression import PSI, ratios_from_gauge
from gasketcut.engine.squish.effects import crank_of
from gasketcut.engine.squish.result import SquishResult
from gasketcut.engine.topend.cost import bill_of
from gasketcut.engine.topend.key import KeyWork, key_work
from gasketcut.engine.topend.muffler import Muffler, muffler_of
from gasketcut.engine.topend.ring import RingGap, ring_gap
from gasketcut.engine.topend.trials import compare, rates_of
from gasketcut.errors import GasketError
from gasketcut.job.model import Engine, Job
from gasketcut.length import both
from gasketcut.pages.build_sheet.sections import Section


def topend_sections(job: Job, answer: SquishResult | None, quotes: Mapping[str, float] = {}) -> list[Section]:
    """The sections that the job has data for; raise `GasketError` where one asks for what the job does not say.

    quotes : what one piece of a part costs to cut, by its name
    """
    beside = job.source.parent if job.source else None
    found = [
        _ring(job, beside),
        _width(job.engine),
        _outlet(job, beside),
        _key(job),
        _pressure(job.engine, answer),
        _cost(job, quotes),
        _trials(job),
    ]
    return [section for section in found if section is not None]


def _ring(job: Job, beside: Path | None) -> Section | None:
    ring = job.topend.ring
    if ring is None:
        return None
    if job.engine is None:
        raise GasketError("[ring]: the end gap goes by the bore; add [engine] with bore")
    gap = ring_gap(ring, job.engine.bore, beside)
    whose = "the maker's range" if gap.is_maker else "published rules, all together"
    lines = [f"Wanted {both(gap.least, 3)} to {both(gap.most, 3)}: {whose}.", *_ring_verdict(gap)]
    if ring.pinned:
        lines.append("A pinned ring closes on its pin: look at the gap with the pin's relief in mind.")
    rows = [("rule", "least", "most", "from")]
    rows += [(rule.says, both(rule.least, 3), both(rule.most, 3), rule.source) for rule in gap.rules]
    return Section(heading="Ring end gap", lines=tuple(lines), table=tuple(rows))


def _ring_verdict(gap: RingGap) -> list[str]:
    if gap.reading is None:
        return ["Not measured yet: push the ring square with the piston, where the bore is least worn."]
    words = {
        "tight": "too tight: it can butt when hot and break",
        "fits": "inside the range",
        "wide": "wider than the range: some blow-by",
        "worn": "worn out",
    }
    lines = [f"Measured {both(gap.reading, 3)}: {words[gap.verdict or 'fits']}."]
    if gap.file:
        lines.append(f"File off {both(gap.file[0], 3)} to come to the least, {both(gap.file[1], 3)} to the middle.")
    return lines


def _width(engine: Engine | None) -> Section | None:
    width = port_width(engine) if engine else None
    if width is None:
        return None
    lines = [
        f"Chord {both(width.chord)}, {width.of_bore:.1%} of the bore; {both(width.wall)} round the wall.",
        f"Published: start at {WIDTH_START:.0%} ({both(width.start)}), hard limit {WIDTH_LIMIT:.0%} "
        f"({both(width.limit)}), by the chord, with a near-elliptical window (a tuner's handbook).",
    ]
    if width.area is not None and width.opened is not None:
        opened = f"Opened by {OPENED:g} mm all round, the window goes from {width.area:.1f} to {width.opened:.1f} mm2"
        if width.duration is not None:
            opened += f", the duration from {width.duration[0]:.1f} to {width.duration[1]:.1f} deg"
        lines.append(f"{opened}.")
    if width.skirt is not None:
        lines.append(f"Skirt beside the window {both(width.skirt)} a side.")
    return Section(heading="Exhaust port width", lines=tuple(lines))


def _outlet(job: Job, beside: Path | None) -> Section | None:
    spec = job.topend.muffler
    if spec is None:
        return None
    port = exhaust_area(job)
    if port is None:
        raise GasketError("[outlet]: a share of what? Add port_area_mm2, or width and height of the exhaust port")
    return _outlet_section(muffler_of(spec, port, beside))


def _outlet_section(muffler: Muffler) -> Section:
    rows = [("stage", "area", "of the port")]
    rows += [(name, f"{area:.1f} mm2", f"{area / muffler.port_mm2:.0%}") for name, area in muffler.stages]
    rows.append(("one behind the other", f"{muffler.effective_mm2:.1f} mm2", f"{muffler.percent:.0f}%"))
    lines = [f"Exhaust port window {muffler.port_mm2:.1f} mm2."]
    for mark, where in ((muffler.below, "at or above"), (muffler.above, "below")):
        if mark is not None:
            lines.append(f"{where.capitalize()} the mark '{mark.says}' at {mark.percent:g}% ({mark.source}).")
    same = muffler.same
    several = ", ".join(f"{count} of {diameter:.2f} mm" for count, diameter in same.several)
    lines.append(
        f"The last stage has the area of one round hole of {same.round_mm:.2f} mm, or {several}, or an oval of "
        f"{same.oval[0]:.2f} x {same.oval[1]:.2f} mm, or a slot of {same.slot[0]:.2f} x {same.slot[1]:.2f} mm."
    )
    need = muffler.screen
    if need is not None:
        lines.append(
            f"Screen: {need.open_share:.1%} open; the rule wants {need.open_mm2:.0f} mm2 open, so "
            f"{need.gross_mm2:.0f} mm2 of screen, a disc of {need.disc_mm:.1f} mm."
        )
        if need.has_enough is not None:
            lines.append("There is enough of it." if need.has_enough else "There is too little of it.")
        if need.too_coarse or need.too_thin:
            what = "opening is too wide" if need.too_coarse else "wire is too thin"
            lines.append(f"Its {what} for the rule (opening 0.584 mm at most, wire 0.330 mm at least).")
    return Section(
        heading="Muffler outlet",
        lines=tuple(lines),
        table=tuple(rows),
        cautions=(
            "Fire: sparks go where the gas goes; keep the arrester and clean it. Noise and emission law of your place "
            "apply; hot gas away from people, fuel and dry growth.",
        ),
    )


def _key(job: Job) -> Section | None:
    spec = job.topend.ignition
    if spec is None:
        return None
    work = key_work(spec, crank_of(job.engine) if job.engine else None)
    return Section(
        heading="Ignition key",
        lines=tuple(_key_lines(work)),
        cautions=(
            "The taper carries the torque, the key only locates: clean and dry, tightened as the maker says. A "
            "flywheel that slips shears the key and can burst: guard on, stand aside at the first start.",
        ),
    )


def _key_lines(work: KeyWork) -> list[str]:
    lines = [f"Taper {both(work.mean)} in the middle of the key; one degree is {both(work.mm_per_degree, 3)} there."]
    if work.removed:
        earlier = "forward in its turning, spark earlier" if work.direction == "advance" else "backward, spark later"
        lines.append(
            f"{both(work.removed)} off one side lets the flywheel go {work.turn:.2f} deg "
            f"(by chord {work.turn_by_chord:.2f}) {earlier}."
        )
    if work.left is not None:
        lines.append(f"{both(work.left)} of the key is left.")
    if work.before is not None and work.after is not None:
        mm = ""
        if work.before_mm is not None and work.after_mm is not None:
            mm = f": {both(work.before_mm)} before TDC then, {both(work.after_mm)} after"
        lines.append(f"Spark {work.before:.1f} deg before TDC now, {work.after:.1f} after the work{mm}.")
    if work.measured is not None:
        stands = (
            f", which stands for {both(work.removed_by_measured)} of metal"
            if work.removed_by_measured is not None
            else ""
        )
        lines.append(f"Measured after the work: {work.measured:.1f} deg before TDC{stands}.")
    return lines


def _pressure(engine: Engine | None, answer: SquishResult | None) -> Section | None:
    if engine is None or engine.gauge_kpa is None:
        return None
    low, high = ratios_from_gauge(engine.gauge_kpa, engine.altitude_m)
    lines = [
        f"Gauge {engine.gauge_kpa:.0f} kPa ({engine.gauge_kpa / PSI:.0f} psi) at {engine.altitude_m:.0f} m stands "
        f"for a trapped ratio of {low:.1f} to {high:.1f}."
    ]
    trapped = answer.before.trapped if answer else None
    if trapped is not None:
        lines.append(f"Worked out from the chamber: {trapped:.1f}.")
        if trapped > high:
            lines.append(
                "The gauge shows less: cold engine, closed throttle, a leaking ring, gasket or gauge hose; or the "
                "chamber was measured too small."
            )
    return Section(heading="Cranking pressure", lines=tuple(lines))


def _cost(job: Job, quotes: Mapping[str, float]) -> Section | None:
    if not job.topend.costs:
        return None
    bill = bill_of(job.topend.costs, quotes)
    money = f" {bill.currency}".rstrip()
    rows = [("what", "group", "state", "count", "comes to", "")]
    for line in bill.lines:
        amount = "-" if line.amount is None else f"{line.amount:.2f}"
        cost = line.cost
        other = "" if line.counts or line.amount is None else "dearer"
        rows.append((cost.name, cost.group, cost.state, str(cost.count), amount, other))
    lines = [f"{group}: {amount:.2f}{money}" for group, amount in bill.groups]
    lines.append(
        f"Together {bill.total:.2f}{money}." + (f" No price yet: {', '.join(bill.open)}." if bill.open else "")
    )
    return Section(heading="Cost", lines=tuple(lines), table=tuple(rows))


def _trials(job: Job) -> Section | None:
    if not job.topend.trials:
        return None
    rates = rates_of(job.topend.trials)
    rows = [("condition", "trials", "mean, s for each unit of size")]
    rows += [(one.condition, str(len(one.rates)), f"{one.mean:.4g}") for one in rates]
    lines = []
    for other in rates[1:]:
        found = compare(rates[0], other)
        span = (
            f" (ratio {found.ratio:.3f}, {found.low:.3f} to {found.high:.3f} at 95 %)" if isfinite(found.high) else ""
        )
        lines.append(f"{found.says[0].upper()}{found.says[1:]}{span}.")
    if len(rates) == 1:
        lines.append("One condition only: time the other one, same tool dressed the same way.")
    return Section(heading="Timed trials", lines=tuple(lines), table=tuple(rows))
