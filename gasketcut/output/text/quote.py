"""A quote for a person: a paragraph a part, then the total, 80 columns."""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Literal

from gasketcut.cutting.path.kerf import kerf_words
from gasketcut.cutting.quote import Quote, Row
from gasketcut.evaluation.evaluation import Evaluation
from gasketcut.finding import Finding, sorted_findings
from gasketcut.length import both, box, in_order
from gasketcut.output.sheet_files import layout_text
from gasketcut.output.text.finding import WIDTH, findings_text
from gasketcut.outside import shown

Rates = Literal["job", "own", "ours"]

_REST = (
    "Time is cutting and starting alone: travel, loading and a shop's minimum charge come on top. Speeds that are not "
    "your own are guesses to start from."
)
_LASER = "Laser: with extraction, and never unattended; the operator's own rules come first."


def quote_text(quote: Quote) -> str:
    """The whole text, without a line end at its end."""
    is_one_kerf = len({row.kerf for row in quote.rows}) == 1
    lines = [_filled(f"Quote: {quote.cutter}" + (f", {kerf_words(quote.total.kerf)}" if is_one_kerf else ""), 0)]
    for row in quote.rows:
        lines += _row(row, quote.currency, "" if is_one_kerf else f"; {kerf_words(row.kerf)}")
    if len(quote.rows) > 1 or quote.rows[0].count > 1:
        lines += _total(quote.total, quote.currency, quote.sheets)
    if quote.total.seconds is not None:
        lines.append(_filled(_REST, 0))
    if quote.total.process in ("co2", "fibre"):
        lines.append(_filled(_LASER, 0))
    return "\n".join(lines)


def quoted_text(
    evaluation: Evaluation, quote: Quote, findings: Sequence[Finding], nest: Path | None, rates: Rates
) -> str:
    """A whole quote: what stops it or is worth a look, the price, the sheets and, where they were written, where.

    rates : who says what is paid: the job, the user's own rates.toml, or the shipped one
    """
    said = sorted_findings(one for one in findings if one.weight != "note")
    blocks = [evaluation.job.title, findings_text(said, evaluation.job.units), quote_text(quote)]
    blocks += [_files(evaluation), _rates(evaluation, quote, rates)]
    blocks.append(layout_text(evaluation.sheets))
    if nest is not None:
        blocks.append(f"{quote.sheets or 0} sheet{'s' if quote.sheets != 1 else ''} (.dxf .svg) in {nest}")
    return in_order("\n\n".join(block for block in blocks if block), evaluation.job.units)


def _files(evaluation: Evaluation) -> str:
    """Which drawing a part came from, where several are called alike."""
    found = {name: one.spec.drawn_from.file for name, one in evaluation.parts.items() if one.spec.drawn_from}
    stems = Counter(Path(file).stem.casefold() for file in set(found.values()))
    return "\n".join(
        f"{name} is from {shown(file)}" for name, file in found.items() if stems[Path(file).stem.casefold()] > 1
    )


def _rates(evaluation: Evaluation, quote: Quote, rates: Rates) -> str:
    """Whose figures the price rests on, and what is not in it."""
    if quote.total.cost is None:
        return _filled(f"No price: no rate of {quote.cutter} is known; write it into rates.toml under [hour].", 0)
    said = ["The rates are guesses to start from; write your own into rates.toml."] if rates == "ours" else []
    if evaluation.job.cutting.rate_sheet is None:
        of_sheet = f'rates.toml may say it: [sheet] "{quote.total.stock}" = 40.0'
        where = "rate_sheet under [cutting] may say it." if rates == "job" else of_sheet
        said.append(f"The sheet is not in the price; {where}")
    return _filled(" ".join(said), 0) if said else ""


def _row(row: Row, currency: str | None, kerf: str) -> list[str]:
    sheet = f"{row.stock}, {both(row.thickness)}" if row.stock and row.thickness else "sheet not named"
    width, height = row.size or (0.0, 0.0)
    each = " each" if row.count > 1 else ""
    return [
        _filled(f"{row.part}: cut {row.count} from {sheet}{kerf}", 2),
        _filled(f"size {box(width, height)}, net {row.area:.0f} mm2, takes {row.sheet:.0f} mm2 of sheet", 4),
        _filled(_cuts(row) + each, 4),
        _filled(f"smallest hole {_width(row.smallest_hole)}, smallest web {_width(row.smallest_web)}", 4),
        *_money(row, currency, each, 4),
    ]


def _total(total: Row, currency: str | None, sheets: int | None) -> list[str]:
    pieces = f"{total.count} piece" + ("s" if total.count > 1 else "")
    on = f", {sheets} sheet{'s' if sheets != 1 else ''}" if sheets is not None else ""
    return [
        _filled(f"all {pieces}: {_cuts(total)}; takes {total.sheet:.0f} mm2 of sheet{on}", 2),
        *_money(total, currency, "", 4),
    ]


def _cuts(row: Row) -> str:
    marks = f", marks {both(row.mark, 1)}" if row.mark else ""
    starts = f"{row.pierces} start" + ("s" if row.pierces != 1 else "")
    return f"cut {both(row.cut, 1)}, inside {row.inside:.1f} and outside {row.outside:.1f} mm{marks}, {starts}"


def _money(row: Row, currency: str | None, each: str, indent: int) -> list[str]:
    found = []
    if row.seconds is not None:
        found.append(f"time {_time(row.seconds)}{each}")
    if row.cost is not None:
        found.append(f"cost {row.cost:.2f}" + (f" {currency}" if currency else "") + each)
    lines = [_filled(", ".join(found), indent)] if found else []
    return lines + ([_filled(f"no cost: {row.gap}", indent)] if row.gap else [])


def _time(seconds: float) -> str:
    """Rounded to a second; under ten, to a tenth.

    >>> _time(9.44), _time(83.6), _time(7260.0)
    ('9.4 s', '1 min 24 s', '2 h 01 min')
    """
    if seconds < 9.95:
        return f"{seconds:.1f} s"
    minutes, rest = divmod(round(seconds), 60)
    if minutes >= 60:
        return f"{minutes // 60} h {minutes % 60:02d} min"
    return f"{minutes} min {rest} s" if minutes else f"{rest} s"


def _width(value: float | None) -> str:
    return both(value) if value is not None else "none"


def _filled(text: str, indent: int) -> str:
    blank = " " * indent
    return textwrap.fill(text, WIDTH, initial_indent=blank, subsequent_indent=blank + "  ")
