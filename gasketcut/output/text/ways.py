"""The ways for a person: what is wanted, what contradicts, then each way deed by deed."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from gasketcut.engine.ways.clash import Clash
from gasketcut.engine.ways.deed import Deed
from gasketcut.engine.ways.result import WaysResult
from gasketcut.engine.ways.wants import Want
from gasketcut.engine.ways.way import Way
from gasketcut.length import IN, Units, both, in_order
from gasketcut.output.text.finding import WIDTH, findings_text
from gasketcut.pressure import PSI

SHOWN = 4
"""Ways that are told deed by deed; of the others a line each."""

NAMES = {
    "squish_mm": "squish",
    "exhaust_deg": "exhaust",
    "transfer_deg": "transfer",
    "intake_deg": "intake",
    "blowdown_deg": "blowdown",
    "trapped": "trapped ratio",
    "full": "full-stroke ratio",
    "cranking_psi": "cranking pressure",
    "chamber_cc": "chamber",
}

CAUTION = (
    "Metal does not come back: the maker's figures come first; cut less, measure, cut again, and turn the engine over "
    "by hand with the plug out before it is started"
)


def ways_text(result: WaysResult, title: str) -> str:
    """The whole text, 80 columns, without a line end at its end."""
    blocks = [title, _head(result)]
    blocks += [_wrapped(f"CONTRADICTION: {clash_sentence(one, result.floor)}.") for one in result.clashes]
    blocks += [_way(number, way, result) for number, way in enumerate(result.ways[:SHOWN], 1)]
    more = result.ways[SHOWN:]
    if more:
        rows = [_wrapped(f"{way.name}: {_misses(way)}", "  ", "    ") for way in more]
        blocks.append("\n".join(["Further ways, with --json in full:", *rows]))
    if any(way.cuts_metal for way in result.ways[:SHOWN]):
        blocks.append(_wrapped(f"{CAUTION}."))
    return in_order("\n\n".join(block for block in blocks if block), result.units)


def figure_text(figure: str, value: float) -> str:
    """A figure as it is printed everywhere."""
    match figure:
        case "squish_mm":
            return both(value, 3)
        case "chamber_cc":
            return f"{value:.2f} cc"
        case "cranking_psi":
            return f"{value:.0f} psi ({value * PSI:.0f} kPa)"
        case "trapped" | "full":
            return f"{value:.2f} : 1"
    return f"{value:.1f} deg"


def want_text(want: Want) -> str:
    """A want with its name."""
    ends = [figure_text(want.figure, one) for one in want.ends]
    return f"{NAMES[want.figure]} {' to '.join(ends)}"


def deed_sentence(deed: Deed) -> str:
    """What to do, without a full stop."""
    mm, port = both(deed.mm or 0.0), f"port '{deed.port}'"
    match deed.does:
        case "gasket":
            stack = " + ".join(f"{layer.count} x {layer.stock}" for layer in deed.layers)
            what = "no gasket" if deed.mm is not None and deed.mm < 1e-9 else f"a gasket of {mm} when clamped"
            return f"put {what} under the cylinder" + (f": {stack}" if stack else "")
        case "spacer":
            return f"put a spacer of {mm} under the cylinder, its second gasket counted in"
        case "base cut":
            return f"cut {mm} off the cylinder's base"
        case "head cut":
            return f"cut {mm} off the head's face, or off the deck it lies on"
        case "band cut":
            return f"cut the squish band {mm} deeper, the bowl untouched"
        case "raise":
            return f"file {mm} off the roof of {port}"
        case "lower":
            return f"file {mm} off the floor of {port}"
        case "widen":
            return f"widen {port} by {mm}, half on either side"
        case "bowl":
            return f"open the bowl by {deed.cc or 0.0:.2f} cc"


def measure_sentence(deed: Deed) -> str:
    """What to measure then, without a full stop."""
    value = deed.measure.value
    match deed.measure.what:
        case "squish":
            return f"then the squish is {both(value or 0.0)}"
        case "opens":
            side = "before" if deed.does == "lower" else "after"
            return f"with the cylinder in its place it then opens at {value:.1f} deg {side} TDC"
        case "width":
            return "then measure its width" if value is None else f"then it is {both(value)} wide, straight across"
        case "chamber":
            return f"then the chamber takes {value:.2f} cc from a burette"


def clash_sentence(clash: Clash, floor: float) -> str:
    """Which wants, and the nearest of each; without a full stop."""
    said = [want_text(want) for want in clash.wants]
    figures = [want.figure for want in clash.wants]
    if len(said) == 1:
        (nearest,) = clash.nearest
        value = figure_text(nearest.figure, nearest.value)
        return f"{said[0]} is out of reach of what may be done; the nearest is {value}"
    listed = f"{', '.join(said[:-1])} and {said[-1]}"
    if clash.by_sums and "blowdown_deg" in figures:
        rule = "exhaust less transfer is twice the blowdown"
    elif clash.by_sums:
        rule = "the pressure follows from the trapped ratio"
    else:
        listed = _as_two(clash) or listed
        rule = f"by what may be done not {'both' if ' and ' in listed and len(said) == 2 else 'all'} can be had"
    ends = []
    for nearest in clash.nearest:
        stop = ", under your floor" if nearest.figure == "squish_mm" and nearest.value < floor else ""
        ends.append(f"{NAMES[nearest.figure]} {figure_text(nearest.figure, nearest.value)}{stop}")
    kept = "the other" if len(said) == 2 else "the others"
    return f"{listed}: {rule}. With {kept} kept, the nearest is {', or '.join(ends)}"


def _as_two(clash: Clash) -> str:
    """Two wants that stand for a third, beside the one they contradict; empty where it is not so."""
    found = {want.figure: want for want in clash.wants}
    exhaust, blowdown = found.pop("exhaust_deg", None), found.pop("blowdown_deg", None)
    if exhaust is None or blowdown is None or len(found) != 1:
        return ""
    (other,) = found.values()
    ends = sorted({exhaust.low - 2 * blowdown.high, exhaust.high - 2 * blowdown.low})
    transfer = " to ".join(f"{one:.1f} deg" for one in ends)
    return (
        f"{want_text(other)} and a transfer of {transfer} ({want_text(exhaust)} less twice the {want_text(blowdown)})"
    )


def _head(result: WaysResult) -> str:
    wanted = ", ".join(want_text(want) for want in result.wants)
    rows = [_wrapped(f"Wanted: {wanted}.")]
    first = next((way for way in result.ways if not way.is_stopped), None)
    if first is None:
        rows.append("STOP: no way that leaves the engine whole.")
    else:
        rows.append(_wrapped(f"ANSWER: {first.name}: {_misses(first)}."))
    return "\n".join(rows)


def _misses(way: Way) -> str:
    """What it misses, in words."""
    words = "; ".join(missed_words(way))
    found = f"misses {words}" if words else "all that is wanted"
    return f"{found}; a stop" if way.is_stopped else found


def missed_words(way: Way) -> Iterator[str]:
    """Each figure that is missed, by how much."""
    for figure, off in way.missed.items():
        more = "too little" if off < 0 else "too much"
        yield f"{NAMES[figure]} by {figure_text(figure, abs(off)).removesuffix(' : 1')} {more}"


def _way(number: int, way: Way, result: WaysResult) -> str:
    rows = [_wrapped(f"{number}. {way.name}: {_misses(way)}")]
    for step, deed in enumerate(way.deeds, 1):
        text = f"{deed_sentence(deed)}; {measure_sentence(deed)}."
        rows.append(_wrapped(f"{step}) {text[:1].upper()}{text[1:]}", "  ", "     "))
    heads, *lines = figure_rows(way, result)
    widths = (24, 9, 16, 18)
    rows += [
        ("  " + "".join(f"{cell:<{wide}}" for cell, wide in zip(row, widths, strict=False)) + row[-1]).rstrip()
        for row in (heads, *lines)
    ]
    found = findings_text(way.findings, result.units)
    return "\n".join([*rows, *([found] if found else [])])


def figure_rows(way: Way, result: WaysResult) -> list[tuple[str, ...]]:
    """Figure, now, wanted, reached with its range at 95 %, missed; the first row holds the heads."""
    wants = {want.figure: want for want in result.wants}
    rows: list[tuple[str, ...]] = [("", "now", "wanted", "reached", "missed")]
    for figure, value in way.reached.items():
        want, now = wants.get(figure), result.reached_now.get(figure)
        scale, places, unit = _column(figure, result.units)
        off, more = way.missed.get(figure), f"{way.plus_minus.get(figure, 0.0) / scale:.{places}f}"
        rows.append(
            (
                f"{NAMES[figure]}{unit}",
                "-" if now is None else f"{now / scale:.{places}f}",
                "" if want is None else " to ".join(f"{one / scale:.{places}f}" for one in want.ends),
                f"{value / scale:.{places}f}" + (f" +- {more}" if float(more) else ""),
                "" if off is None else f"{off / scale:+.{places}f}",
            )
        )
    return rows


def _column(figure: str, units: Units) -> tuple[float, int, str]:
    """Scale, decimals and the unit to add to the name."""
    if figure == "squish_mm":
        return (IN, 4, ", in") if units == "in" else (1.0, 3, ", mm")
    if figure == "cranking_psi":
        return 1.0, 0, ", psi"
    if figure in ("chamber_cc", "blowdown_deg"):
        return 1.0, 2, ", cc" if figure == "chamber_cc" else ", deg"
    return (1.0, 2, "") if figure in ("trapped", "full") else (1.0, 1, ", deg")


def _wrapped(text: str, first: str = "", later: str = "  ") -> str:
    return textwrap.fill(text, WIDTH, initial_indent=first, subsequent_indent=later)
