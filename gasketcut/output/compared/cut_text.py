"""A cut part against its drawing in plain words: the verdict, what is off, where it comes from, what it does."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from gasketcut.comparing.cut.causes import bars_of, is_constant, kerf_to_set, openings_offset, stretch_told
from gasketcut.comparing.cut.causes import outline_offset as outline_offset_of
from gasketcut.comparing.cut.cut_comparison import CutComparison, CutHole, CutVerdict
from gasketcut.evaluation.as_cut import AsCut
from gasketcut.length import both, in_order
from gasketcut.output.compared.cut_names import edge_name, hole_name
from gasketcut.output.compared.margins import is_surely_spoilt, unproven
from gasketcut.output.text.finding import WIDTH, findings_text, place_words
from gasketcut.tolerances import TWO_SIDED_95

_SHOWN = 8
"""Places that are named one by one."""

_DISTANCES = "give two distances over the part: --along left:right=..., --across bottom:top=..."
_SURER = {
    "card": f"{_DISTANCES}.",
    "target": f"{_DISTANCES}.",
    "sheet": "photograph it on the sheet of gasketcut target, or scan it.",
    "calipers": "measure the distances closer, or scan it with more dots an inch.",
}
"""What makes the scale surer, by what it comes from; else it comes from the dots an inch."""


def cut_text(found: CutComparison, checks: AsCut, scale: str) -> str:
    """For a screen; places are on the drawing. `scale` is where the picture's scale comes from."""
    part, units = checks.drawn.part, checks.drawn.units
    rows = [*textwrap.wrap(_head(found, checks, scale), WIDTH, subsequent_indent="  ")]
    sure = TWO_SIDED_95 * found.cut.worst_scale * 100
    rows.append(f"scale by the {scale}, good to {sure:.2f} %; +- is the half range at 95 %")
    if found.mirrored:
        words = "The picture shows it turned over: the side that is up in the drawing was not on the glass, or it was "
        rows += textwrap.wrap(f"{words}cut as its mirror image.", WIDTH)
    rows += ["", *_offset(found, checks)]
    if found.worst:
        rows += ["", "Farthest off, outwards positive:"]
        for one in found.worst[:_SHOWN]:
            name = edge_name(found, part, one.edge)
            where = name if "at (" in name else f"{name}, at {place_words(one.at, units)}"
            rows.append(f"  {one.out:+.3f} mm +- {TWO_SIDED_95 * one.sigma:.3f}  {where}")
    rows += ["", *_holes(found, checks)]
    rows += [f"not cut: an opening at {place_words(one.at, units)}" for one in found.missing]
    rows += [f"nobody drew: an opening at {place_words(one.at, units)}" for one in found.extra]
    rows += ["", *_checks(found, checks)]
    return in_order("\n".join(rows), units)


def _head(found: CutComparison, checks: AsCut, scale: str) -> str:
    """The verdict, and all that makes the exit code 1."""
    part, within = checks.drawn.part.name, both(found.within)
    if found.verdict is CutVerdict.AS_DRAWN:
        says = f"CUT AS DRAWN: nothing of {part} is off by more than {within}."
    elif found.verdict is CutVerdict.NOT_PROVEN:
        surer = _SURER.get(scale, f"lay a bank card beside the part, or {_DISTANCES}.")
        says = f"NOT PROVEN: what is seen of {part} is within {within}, but the picture is not sure enough: {surer}"
    else:
        off = [f"is off by more than {within}"] if found.is_off else []
        off += ["lacks an opening that was drawn"] if found.missing else []
        off += ["has an opening that nobody drew"] if found.extra else []
        says = f"NOT CUT AS DRAWN: {part} {' and '.join(off)}."
    if not checks.is_spoilt:
        return says
    why = checks.spoilt_by[0].text
    if is_surely_spoilt(found, checks):
        return f"{says} IT NO LONGER FITS AS IT WAS CUT: {why}."
    return f"{says} IT MAY NO LONGER FIT AS IT WAS CUT, by less than the picture is good to: {why}."


def _offset(found: CutComparison, checks: AsCut) -> Iterator[str]:
    """How far it is off all round, and what to set."""
    offset, sure = found.fit.offset, TWO_SIDED_95 * found.offset_sigma
    way = "outwards: the part is larger, its holes smaller" if offset > 0 else "inwards: the part is smaller"
    said = way if abs(offset) > sure else "none that the picture can tell"
    yield f"offset all round  {both(offset, 3)} +- {sure:.3f}, {said}"
    outline, openings = outline_offset_of(found), openings_offset(found)
    if openings is not None:
        yield f"  outline {outline:+.3f} mm, holes and openings {openings:+.3f} mm"
    if (kerf := kerf_to_set(found, checks.drawn.cut.kerf)) is not None:
        before = f", in place of {both(checks.drawn.cut.kerf, 3)}" if checks.drawn.cut.kerf else ""
        yield f'  the same all round: set kerf = "{kerf:.3f} mm"{before}'
    elif is_constant(found):
        yield "  the same all round: cut on the line, or see whether the kerf was taken twice, by job and machine"
    if (stretch := stretch_told(found)) is not None:
        x, y = bars_of(stretch)
        yield f"stretched  {stretch[0] * 100:+.2f} % along x, {stretch[1] * 100:+.2f} % along y"
        yield f"  cut by a print: --printed {x:.2f}x{y:.2f} sets the printer right, where x ran along the short edge;"
        yield "  on top of what it was printed with. Cut by a machine: set its steps a mm"


def _holes(found: CutComparison, checks: AsCut) -> Iterator[str]:
    for one in found.holes:
        yield hole_name(checks.drawn.part, one.at)
        yield f"  {_hole(one)}"


def _hole(one: CutHole) -> str:
    moved = f"moved {both(one.moved, 3)} +- {TWO_SIDED_95 * one.shift_sigma:.3f}"
    if one.diameter is None:
        return f"{moved}; not round, drawn {one.drawn:.2f}"
    return f"{moved}; {both(one.diameter, 3)} +- {TWO_SIDED_95 * one.diameter_sigma:.3f} wide, drawn {one.drawn:.2f}"


def _checks(found: CutComparison, checks: AsCut) -> Iterator[str]:
    drawn, units = checks.drawn, checks.drawn.units
    yield f"Checked as it was cut: {checks.verdict.value.upper()} (as drawn: {drawn.verdict.value})"
    if checks.narrowest and drawn.narrowest:
        yield f"  narrowest land {both(checks.narrowest.width)} (drawn {drawn.narrowest.width:.2f})"
    for before, after in zip(drawn.passages, checks.passages, strict=True):
        if after.clear is not None and before.clear is not None:
            seal = f", sealed by {both(after.seal.width)}" if after.seal else ""
            yield f"  {after.role} '{after.name}' clear by {both(after.clear)} (drawn {before.clear:.2f}){seal}"
    for one in unproven(found, checks):
        words = f"not proven by this picture: {one.finding.text}; the margin is {both(one.margin)}, "
        yield textwrap.fill(
            f"{words}good to +- {one.half_range:.2f}", WIDTH, initial_indent="  ", subsequent_indent="    "
        )
    if said := tuple(one for one in checks.findings if one.weight != "note"):
        yield findings_text(said, units)
