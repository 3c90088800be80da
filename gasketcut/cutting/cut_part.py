"""A part made ready for its cutter: the path that is cut, the kerf in it, and what the cutter cannot do."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from gasketcut.cutting.cutter import Cutter, chosen, cutter_for
from gasketcut.cutting.limits import limits
from gasketcut.cutting.path.kerf import kerf_lost, kerf_of, kerf_words, kerfed
from gasketcut.cutting.path.lettering import Polyline, lettering
from gasketcut.cutting.path.stroke import strokes_of, through
from gasketcut.cutting.path.toolpath import PathOptions, ToolPath, tool_path
from gasketcut.cutting.permitted import material_findings
from gasketcut.cutting.quote import Quote, quote_of, row_of
from gasketcut.finding import Finding
from gasketcut.job.cutting import CuttingSpec
from gasketcut.parts.part import Part, outline_of
from gasketcut.profile.cutting.cutters import Cutters
from gasketcut.shape.loop import Outline


@dataclass(frozen=True, slots=True)
class CutPart:
    """`nominal` is the part's own outline; `cut` and `path` are part and outline as they are cut, with the kerf; `tool`
    is what the tool does where order, lead-ins, tabs or overcut are asked for."""

    part: Part
    nominal: Outline
    cut: Part
    path: Outline
    kerf: float | None
    cutter: Cutter | None
    tool: ToolPath | None = None
    letters: tuple[Polyline, ...] = ()
    replaced: str = ""  # letters that the font has not


def cut_part(part: Part, spec: CuttingSpec, cutters: Cutters) -> CutPart:
    """Without `[cutting]` the part as it is."""
    nominal = outline_of(part)
    cutter = cutter_for(spec.process, part.stock, cutters) if spec.process else None
    own = spec.kerf if isinstance(spec.kerf, float) else None
    kerf = kerf_of(spec, cutter) if cutter is not None else own
    cut = kerfed(part, kerf, nominal) if kerf else part
    path = outline_of(cut) if kerf else nominal
    options = path_options(spec, cutter)
    letters, replaced = _letters(part, kerf or None, spec, cutter, options.lead_in or 0.0)
    tool = _tool(part, path, options, letters)
    return CutPart(part, nominal, cut, path, kerf or None, cutter, tool, letters, replaced)


def _letters(
    part: Part, kerf: float | None, spec: CuttingSpec, cutter: Cutter | None, reach: float
) -> tuple[tuple[Polyline, ...], str]:
    """What the part is, on it where there is room; what was done to the path, always beside it, clear of lead-ins
    that reach that far [mm]. And the letters that the font has not."""
    if not spec.letter or not (cutter is None or cutter.mark):
        return (), ""
    low = part.outer.bounds[1] - reach - (kerf or 0.0)
    own = lettering(part)
    if own.where == "below":
        own = lettering(part, below=low)
    said = lettering(part, [kerf_words(kerf)], below=min(own.box[1], low))
    return (*own.lines, *said.lines), own.replaced


def path_options(spec: CuttingSpec, cutter: Cutter | None) -> PathOptions:
    """What is asked of the path, with the sizes that the cutter's profile gives."""
    return PathOptions(
        order=spec.order,
        lead_in=chosen(spec.lead_in, cutter.lead_in if cutter else 0.0),
        clear=cutter.kerf / 2 if cutter else 0.0,
        overcut=chosen(spec.overcut, cutter.overcut if cutter else 0.0),
        tab=cutter.tab if cutter and spec.tabs else None,
        tabs=spec.tabs if isinstance(spec.tabs, int) else None,
    )


def _tool(part: Part, path: Outline, options: PathOptions, letters: tuple[Polyline, ...]) -> ToolPath | None:
    if not (options.is_asked or letters):
        return None
    marks = (*part.marks, *(through(points) for points in letters))
    return tool_path(strokes_of(path, 0, marks), options, names={0: part.name})


def cut_findings(one: CutPart, spec: CuttingSpec, cutters: Cutters) -> Iterator[Finding]:
    """What the cutter cannot or must not do, and what the kerf would take away."""
    if spec.process:
        yield from material_findings(one.part, spec.process, cutters)
    if one.cutter is not None:
        yield from limits(one.part, one.nominal, one.cutter)
    if one.tool is not None:
        yield from one.tool.findings
    if spec.letter and one.cutter is not None and not one.cutter.mark:
        yield Finding(
            rule="lettering",
            weight="note",
            part=one.part.name,
            text=f"{one.cutter.says} cannot mark, so nothing is lettered",
            do="write on the part by hand",
        )
    if one.replaced:
        yield Finding(
            rule="lettering",
            weight="note",
            part=one.part.name,
            text=f"the letters {one.replaced} are not in the font; each is a question mark on the part",
            do="write them otherwise in material or face_up, if it matters",
        )
    if one.kerf:
        yield from kerf_lost(one.part, one.kerf, one.nominal)


def quoted(
    parts: Iterable[CutPart], spec: CuttingSpec, used: Mapping[str, float] = {}, sheets: int | None = None
) -> Quote | None:
    """What cutting them all comes to, or None where no process is named.

    used   : sheet that one piece of a part takes in a layout [mm2], by its name
    sheets : whole sheets of that layout
    """
    rows, cutter = [], ""
    for one in parts:
        if one.cutter is not None:
            cutter = one.cutter.says
            taken = used.get(one.part.name)
            rows.append(row_of(one.part, one.nominal, one.path, one.cutter, spec, taken, marks=one.letters))
    return quote_of(rows, spec, cutter, sheets) if rows else None
