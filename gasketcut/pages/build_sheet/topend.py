"""The rest of the top end on the build sheet: ring, port width, outlet, ignition key, pressure, cost, trials."""

from __future__ import annotations

from math import isfinite

from gasketcut.engine.ports.port_change import PortWidth
from gasketcut.engine.squish.cranking import CrankingPressure, GaugeVerdict
from gasketcut.engine.topend.cost import Bill
from gasketcut.engine.topend.key import KeyWork
from gasketcut.engine.topend.muffler import Muffler
from gasketcut.engine.topend.result import TopEndResult
from gasketcut.engine.topend.ring import RingGap, RingVerdict
from gasketcut.engine.topend.trials import Trials
from gasketcut.length import both, box, plus_minus, span
from gasketcut.output.text.trials import trial_sentence
from gasketcut.pages.sections.section import Section
from gasketcut.pressure import kpa_and_psi

_RING_WORDS = {
    RingVerdict.TIGHT: "too tight: it can butt when hot and break",
    RingVerdict.FITS: "inside the range",
    RingVerdict.WIDE: "wider than the range: some blow-by",
    RingVerdict.WORN: "worn out",
}


def topend_sections(topend: TopEndResult) -> list[Section]:
    """The sections that there are values for."""
    found = [
        _ring(topend.ring) if topend.ring else None,
        _width(topend.port_width) if topend.port_width else None,
        _outlet(topend.muffler) if topend.muffler else None,
        _key(topend.key) if topend.key else None,
        _pressure(topend.pressure) if topend.pressure else None,
        _cost(topend.bill) if topend.bill else None,
        _trials(topend.trials) if topend.trials else None,
    ]
    return [section for section in found if section is not None]


def _ring(gap: RingGap) -> Section:
    whose = "the maker's range" if gap.is_maker else "published rules, all together"
    lines = [f"Wanted {span(gap.least, gap.most, 3)}: {whose}.", *_ring_verdict(gap)]
    if gap.is_pinned:
        lines.append("A pinned ring closes on its pin: look at the gap with the pin's relief in mind.")
    rows = [("rule", "least", "most", "from")]
    rows += [(rule.says, both(rule.least, 3), both(rule.most, 3), rule.source) for rule in gap.rules]
    return Section(heading="Ring end gap", lines=tuple(lines), table=tuple(rows))


def _ring_verdict(gap: RingGap) -> list[str]:
    if gap.reading is None or gap.verdict is None:
        return ["Not measured yet: push the ring square with the piston, where the bore is least worn."]
    sure = f" {plus_minus(gap.reading.sigma)}" if gap.reading.sigma else ""
    lines = [f"Measured {both(gap.reading.value, 3)}{sure}: {_RING_WORDS[gap.verdict]}."]
    if gap.file:
        lines.append(f"File off {both(gap.file[0], 3)} to come to the least, {both(gap.file[1], 3)} to the middle.")
    return lines


def _width(width: PortWidth) -> Section:
    lines = [
        f"Chord {both(width.chord)}, {width.of_bore:.1%} of the bore; {both(width.wall)} round the wall.",
        f"Published: start at {width.start_share:.0%} ({both(width.start)}), hard limit {width.limit_share:.0%} "
        f"({both(width.limit)}), by the chord, with a near-elliptical window (a tuner's handbook).",
    ]
    if width.area is not None and width.opened is not None:
        opened = (
            f"Opened by {both(width.opened_by)} all round, the window goes from {width.area:.1f} to "
            f"{width.opened:.1f} mm2"
        )
        if width.duration is not None:
            opened += f", the duration from {width.duration[0]:.1f} to {width.duration[1]:.1f} deg"
        lines.append(f"{opened}.")
    if width.skirt is not None:
        lines.append(f"Skirt beside the window {both(width.skirt)} a side.")
    return Section(heading="Exhaust port width", lines=tuple(lines))


def _outlet(muffler: Muffler) -> Section:
    rows = [("stage", "area", "of the port")]
    rows += [(name, f"{area:.1f} mm2", f"{area / muffler.port_mm2:.0%}") for name, area in muffler.stages]
    lines = [f"Exhaust port window {muffler.port_mm2:.1f} mm2. The outlet has {muffler.outlet_percent:.0f}% of it."]
    for mark, where in ((muffler.below, "at or above"), (muffler.above, "below")):
        if mark is not None:
            lines.append(f"That is {where} '{mark.says}', {mark.percent:g}% ({mark.source}; one outlet).")
    if len(muffler.stages) > 1:
        rows.append(("one behind the other", f"{muffler.effective_mm2:.1f} mm2", f"{muffler.effective_percent:.0f}%"))
        lines.append(
            f"One behind the other the stages pass as much as a single opening of {muffler.effective_mm2:.1f} mm2; no "
            "posted figure is known to judge that by."
        )
    same = muffler.same
    several = ", ".join(f"{count} of {both(diameter)}" for count, diameter in same.several)
    lines.append(
        f"The outlet has the area of one round hole of {both(same.round_mm)}, or {several}, or an oval of "
        f"{box(*same.oval, 2)}, or a slot of {box(*same.slot, 2)}."
    )
    need = muffler.screen
    if need is not None:
        lines.append(
            f"Screen: {need.open_share:.1%} open. The rule, {need.rule.says}, asks for {need.open_mm2:.0f} mm2 open, "
            f"so {need.gross_mm2:.0f} mm2 of screen, a disc of {both(need.disc_mm, 1)}."
        )
        if need.has_enough is not None:
            lines.append("There is enough of it." if need.has_enough else "There is too little of it for that.")
        if need.too_coarse or need.too_thin:
            what = "opening is too wide" if need.too_coarse else "wire is too thin"
            lines.append(
                f"Its {what} for that (opening {both(need.rule.opening, 3)} at most, wire {both(need.rule.wire, 3)} at "
                "least)."
            )
    return Section(
        heading="Muffler outlet",
        lines=tuple(lines),
        table=tuple(rows),
        cautions=(
            "Fire: sparks go where the gas goes; keep the arrester and clean it. Noise and emission law of your place "
            "apply; hot gas away from people, fuel and dry growth.",
        ),
    )


def _key(work: KeyWork) -> Section:
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


def _pressure(pressure: CrankingPressure) -> Section:
    low, high = pressure.ratios
    lines = [
        f"Gauge {kpa_and_psi(pressure.gauge_kpa)} at {pressure.altitude_m:.0f} m stands for a trapped ratio of "
        f"{low:.1f} to {high:.1f}."
    ]
    if pressure.trapped is not None:
        lines.append(f"Worked out from the chamber: {pressure.trapped:.1f}.")
    if pressure.verdict is GaugeVerdict.LESS:
        lines.append(
            "The gauge shows less: cold engine, closed throttle, a leaking ring, gasket or gauge hose; or the "
            "chamber was measured too small."
        )
    return Section(heading="Cranking pressure", lines=tuple(lines))


def _cost(bill: Bill) -> Section:
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


def _trials(trials: Trials) -> Section:
    rows = [("condition", "trials", "mean, s for each unit of size")]
    rows += [(one.condition, str(len(one.rates)), f"{one.mean:.4g}") for one in trials.rates]
    lines = []
    for found in trials.compared:
        sentence, sure = trial_sentence(found), f"{100 * found.confidence:.0f} %"
        span = (
            f" (ratio {found.ratio:.3f}, {found.low:.3f} to {found.high:.3f} at {sure})" if isfinite(found.high) else ""
        )
        lines.append(f"{sentence[0].upper()}{sentence[1:]}{span}.")
    if not trials.compared:
        lines.append("One condition only: time the other one, same tool dressed the same way.")
    return Section(heading="Timed trials", lines=tuple(lines), table=tuple(rows))
