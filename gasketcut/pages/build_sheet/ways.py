"""The way that was chosen, on the build sheet: each deed with the figure to measure after it and a blank for it."""

from __future__ import annotations

from gasketcut.engine.ways.deed import Deed
from gasketcut.engine.ways.result import WaysResult
from gasketcut.output.text.ways import CAUTION, deed_sentence, figure_rows, measure_sentence
from gasketcut.pages.sections.section import Section


def way_section(result: WaysResult | None) -> Section | None:
    """None where no way was chosen."""
    way = result.chosen if result else None
    if result is None or way is None:
        return None
    return Section(
        heading=f"Way: {way.name}",
        lines=(
            *(_line(number, deed) for number, deed in enumerate(way.deeds, 1)),
            *(f"{one.weight.upper()}: {one.text}. Do: {one.do}." for one in way.findings if one.weight != "note"),
        ),
        table=tuple(figure_rows(way, result)),
        blanks=tuple(_blank(number, deed) for number, deed in enumerate(way.deeds, 1)),
        cautions=(f"{CAUTION}.",) if way.cuts_metal else (),
    )


def _line(number: int, deed: Deed) -> str:
    says = deed_sentence(deed)
    return f"{number}) {says[:1].upper()}{says[1:]}; {measure_sentence(deed)}."


def _blank(number: int, deed: Deed) -> str:
    what = {"squish": "squish", "chamber": "chamber", "width": f"{deed.port} width", "opens": f"{deed.port} opens"}
    return f"after {number}): {what[deed.measure.what]}"
