"""The build sheet: what was measured, chosen, cut and still has to be measured again, section by section.

A section without data is left out. Everything is read from what was evaluated; nothing is worked out here.
"""

from __future__ import annotations

from gasketcut.engine.squish.result import SquishResult
from gasketcut.evaluation.evaluation import Evaluation
from gasketcut.evaluation.to_wanted import chosen_way
from gasketcut.finding import Finding
from gasketcut.job.model import Engine, Job, PortTiming
from gasketcut.length import Measured, alone, both, places, plus_minus, span
from gasketcut.output.text.assumed import assumed_rows
from gasketcut.output.text.choice import answer_lines
from gasketcut.output.text.effects import (
    area_words,
    effects_table,
    engine_words,
    sensitivity_lines,
    side_by_side_table,
    work_rows,
)
from gasketcut.pages.build_sheet.topend import topend_sections
from gasketcut.pages.build_sheet.ways import way_section
from gasketcut.pages.sections.section import Section
from gasketcut.parts.holes import Holes
from gasketcut.parts.part_spec import PartSpec
from gasketcut.pressure import kpa_and_psi

LBF_FT = 1.3558179
"""N m; from the definition of the pound-force and the foot."""

_CHOICES = 4


def record_sections(evaluation: Evaluation) -> tuple[Section, ...]:
    """The sections that the job has data for, in the order of the work."""
    job, answer, topend = evaluation.job, evaluation.known_squish, evaluation.topend
    found = [
        _engine(job.engine, topend.swept_cc),
        _readings(job),
        _choice(answer),
        _beside(answer),
        _effects(answer),
        *_work(answer),
        way_section(chosen_way(evaluation)),
        *topend_sections(topend),
        _parts(evaluation),
        _fasteners(job),
        _verdicts(evaluation),
        _found(evaluation.findings),
        _assumed(answer),
        _again(job, answer),
        _notes(job),
        _cautions(job, answer),
    ]
    return tuple(section.in_order(job.units) for section in found if section is not None)


def torque(newton_metres: float) -> str:
    """In both systems.

    >>> torque(10.0)
    '10.0 N m (7.4 lbf ft)'
    """
    return f"{newton_metres:.1f} N m ({newton_metres / LBF_FT:.1f} lbf ft)"


def _engine(engine: Engine | None, swept_cc: float | None) -> Section | None:
    if engine is None:
        return None
    sizes = (("bore", engine.bore), ("stroke", engine.stroke))
    said = ", ".join(f"{name} {both(value)}" for name, value in sizes if value)
    lines = [said[:1].upper() + said[1:]] if said else []
    if swept_cc is not None:
        lines.append(f"Swept volume {swept_cc:.1f} cc")
    if engine.rod:
        lines.append(f"Rod {both(engine.rod)} between centres")
    if engine.pin_offset:
        lines.append(f"Wrist pin {both(engine.pin_offset)} off the bore's axis")
    if engine.chamber_cc:
        lines.append(f"Chamber {engine.chamber_cc:.2f} cc, by burette")
    if engine.deck:
        lines.append(f"Crown at TDC {both(abs(engine.deck))} {'below' if engine.deck > 0 else 'above'} the deck")
    if engine.squish_band:
        lines.append(f"Squish band {both(engine.squish_band)} wide")
    if engine.rpm:
        lines.append(f"Worked out for {engine.rpm:.0f} rpm")
    lines += [_port(port) for port in engine.ports]
    return Section(heading="Engine", lines=tuple(lines))


def _port(port: PortTiming) -> str:
    words = []
    if port.opens is not None:
        side = "before" if port.opens_before_tdc else "after"
        words.append(f"opens {port.opens:.1f} deg {side} TDC")
    if port.duration is not None:
        words.append(f"open for {port.duration:.1f} deg")
    if port.travel is not None:
        words.append(f"opens at {both(port.travel)} of travel")
    if port.depth is not None:
        words.append(f"{both(port.depth)} below the deck")
    if port.width is not None and port.height is not None:
        words.append(f"window {both(port.width)} x {both(port.height)}")
    return (
        f"{port.name.capitalize()} port, as measured: {', '.join(words)}" if words else f"{port.name.capitalize()} port"
    )


def _readings(job: Job) -> Section | None:
    rows: list[tuple[str, ...]] = []
    lines: list[str] = []
    squish = job.squish
    if squish is not None:
        for reading in squish.readings:
            rows.append((f"squish, {reading.at}", *_measured(reading.value)))
        if squish.measured is not None:
            rows.append(("squish, mean", *_measured(squish.measured)))
        above = (
            ("crown below the deck", squish.deck),
            ("crown above the deck", squish.protrusion),
            ("head gasket, clamped", squish.head_gasket),
            ("band back from the head's face", squish.head_recess),
            ("recess for the head gasket", squish.gasket_recess),
        )
        rows += [(what, *_measured(value)) for what, value in above if value is not None]
        present = squish.gasket_present
        rows.append(("gasket in place while measuring", *(_measured(present) if present.value else ("none", ""))))
        if squish.solder:
            lines.append(f"Squish taken with solder of {both(squish.solder)}")
    if job.measure is not None:
        for distance in job.measure.distances:
            rows.append((f"{distance.first} to {distance.second}, {distance.over}", *_measured(distance.reading)))
    if job.engine is not None and job.engine.deck_read is not None:
        rows.append(("crown below the deck, of [engine]", *_measured(job.engine.deck_read)))
    if job.engine is not None and job.engine.gauge_kpa:
        rows.append(("cranking pressure", kpa_and_psi(job.engine.gauge_kpa), ""))
    if job.record.tools:
        lines.append("Measured with: " + "; ".join(job.record.tools))
    if not rows and not lines:
        return None
    table = (("reading", "value", "how sure"), *rows) if rows else ()
    return Section(heading="Readings", lines=tuple(lines), table=table)


def _measured(length: Measured) -> tuple[str, str]:
    return both(length.value, places(length.sigma)), plus_minus(length.sigma)


def _choice(answer: SquishResult | None) -> Section | None:
    if answer is None:
        return None
    units = answer.units
    first, *lines = answer_lines(answer)
    lines = [f"{first[0].upper()}{first[1:]}", *lines, f"Accepted from {span(*answer.band)}."]
    heads = ("choice", f"fitted {units}", f"squish {units}", f"tight place {units}", "in band", "under least")
    rows: list[tuple[str, ...]] = [heads] if answer.choices else []
    for choice in answer.choices[:_CHOICES]:
        ranges = (" / ".join(alone(value, units) for value in one) for one in (choice.squish, choice.tight))
        rows.append(
            (
                choice.words,
                alone(choice.fitted[1], units),
                *ranges,
                f"{choice.odds.in_band:.0%}",
                f"{choice.odds.under_floor:.1%}",
            )
        )
    return Section(heading="Base gasket: choice and why", lines=tuple(lines), table=tuple(rows))


def _effects(answer: SquishResult | None) -> Section | None:
    if answer is None:
        return None
    return Section(
        heading="Before and after",
        table=tuple(effects_table(answer)),
        lines=(*sensitivity_lines(answer), *engine_words(answer), *area_words(answer)),
    )


def _beside(answer: SquishResult | None) -> Section | None:
    table = tuple(side_by_side_table(answer)) if answer else ()
    return Section(heading="The first choices side by side", table=table) if table else None


def _work(answer: SquishResult | None) -> list[Section]:
    work = answer.work if answer else ()
    return [Section(heading=f"Port work: {one.port}", lines=tuple(work_rows(one))) for one in work]


def _parts(evaluation: Evaluation) -> Section | None:
    if not evaluation.parts:
        return None
    units = evaluation.job.units
    rows = [("part", "cut", "sheet", "nominal", f"fitted {units}", "face up")]
    for one in evaluation.parts.values():
        part, stock = one.part, one.part.stock
        nominal = both(stock.thickness) if stock else "-"
        clamped = evaluation.fitted.of_part(one.spec, evaluation.job)
        thick = " / ".join(alone(value, units) for value in clamped.range) if clamped else "-"
        name = f"{stock.name} ({stock.material})" if stock and stock.material else (stock.name if stock else "-")
        rows.append((part.name, str(part.count), name, nominal, thick, part.face_up or "-"))
    return Section(heading="Parts cut", table=tuple(rows))


def _fasteners(job: Job) -> Section | None:
    rows = [("where", "size", "torque")]
    for part in job.parts:
        rows += [_fastener_row(part, holes) for holes in (*part.studs, *part.holes) if holes.torque_nm or holes.size]
    if job.clamp:
        rows.append((f"base joint, {job.clamp.bolts} bolts, class {job.clamp.strength}", job.clamp.size,
                     torque(job.clamp.torque_nm)))  # fmt: skip
    rows += [
        (one.what, one.size or "-", torque(one.torque_nm) if one.torque_nm else "-") for one in job.record.fasteners
    ]
    if len(rows) == 1:
        return None
    return Section(
        heading="Fasteners",
        table=tuple(rows),
        lines=("Torques as entered. The maker's figures come first; tighten crosswise and in steps.",),
    )


def _fastener_row(part: PartSpec, holes: Holes) -> tuple[str, str, str]:
    size = holes.size or (f"Ø {both(holes.stud)}" if holes.stud else "-")
    return f"{part.name}, {len(holes.at)}", size, torque(holes.torque_nm) if holes.torque_nm else "-"


def _verdicts(evaluation: Evaluation) -> Section | None:
    if not evaluation.parts and not evaluation.joints:
        return None
    rows = [("part", "verdict", "clear by at least", "not said")]
    for part in evaluation.parts.values():
        clear = both(part.clear_mm) if part.clear_mm is not None else "-"
        rows.append((part.name, part.verdict.value, clear, ", ".join(part.unsaid) or "-"))
    rows += [(joint.name, joint.verdict.value, "-", "-") for joint in evaluation.joints.values()]
    return Section(heading="Verdict", lines=(f"All together: {evaluation.verdict.value}.",), table=tuple(rows))


def _found(findings: tuple[Finding, ...]) -> Section | None:
    said = [finding for finding in findings if finding.weight != "note"]
    if not said:
        return None
    lines = [f"{one.weight.upper()}: {one.part or 'job'}: {one.text}. Do: {one.do}." for one in said]
    return Section(heading="Findings still open", lines=tuple(lines))


def _assumed(answer: SquishResult | None) -> Section | None:
    rows = assumed_rows(answer) if answer is not None else []
    if not rows:
        return None
    lines = tuple(f"{key}: {words}" for key, words in rows)
    return Section(heading="Assumed, as the job does not say; with the key that says it", lines=lines)


def _again(job: Job, answer: SquishResult | None) -> Section | None:
    if job.engine is None and answer is None:
        return None
    blanks = []
    if answer is not None:
        ends = {end.at: end.clearance.value + answer.outcome.fitted[1] for end in answer.clearance.ends or ()}
        for place in ("left", "right"):
            expected = f" (expected {both(ends.get(place, answer.after.squish))})"
            blanks.append(f"squish {place}{expected if answer.verdict.names_a_thickness else ''}")
        blanks += ["squish front", "squish rear"]
        for name, timing in answer.after.ports.items():
            side = "ATDC" if timing.by_crown else "BTDC"
            blanks.append(f"{name} opens, deg {side} (expected {timing.opens:.1f})")
        gauge = answer.after.gauge_kpa
        range_ = f" (expected {gauge[0]:.0f} to {gauge[1]:.0f} kPa)" if gauge else ""
        blanks.append(f"cranking pressure, warm{range_}")
    blanks += ["leak test, pressure", "leak test, minutes", "leak test, drop", "date and initials"]
    return Section(heading="To measure again after assembly", blanks=tuple(blanks))


def _notes(job: Job) -> Section | None:
    return Section(heading="Remarks", lines=job.record.notes) if job.record.notes else None


def _cautions(job: Job, answer: SquishResult | None) -> Section | None:
    rows = []
    if answer is not None:
        rows.append("Turn the engine over by hand, plug out, before it is started: piston against head breaks it.")
    rows += dict.fromkeys(caution for part in job.parts for caution in part.cautions)
    if not rows:
        return None
    return Section(heading="Mind", cautions=(*rows, "Makers' figures, local rules and qualified people come first."))
