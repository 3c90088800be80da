"""Everything that is asked of the path, put together: order, lead-ins, tabs, overcut. What is not asked for is off."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from shapely.geometry import Polygon

from gasketcut.cutting.path.lead import LeadForm, with_leads
from gasketcut.cutting.path.order import ordered, travel
from gasketcut.cutting.path.overcut import overcut_of
from gasketcut.cutting.path.stroke import INSIDE, OUTSIDE, Stroke
from gasketcut.cutting.path.tab import tab_count, with_tabs
from gasketcut.finding import Finding
from gasketcut.plane import Point
from gasketcut.shape.loop import Outline


@dataclass(frozen=True, slots=True, kw_only=True)
class PathOptions:
    """Lengths in mm; None or 0: not wanted.

    lead_in   how far off in the scrap a cut starts; `clear` is half the kerf, which it keeps off everything
    overcut   how far a closed cut runs on past its start
    tab       width of a tab; `tabs` how many the outside gets, None: by its size
    """

    order: bool = False
    lead_in: float | None = None
    lead_form: LeadForm = "arc"
    clear: float = 0.0
    overcut: float | None = None
    tab: float | None = None
    tabs: int | None = None

    @property
    def is_asked(self) -> bool:
        """Is anything wanted beyond the bare contours?"""
        return bool(self.order or self.lead_in or self.overcut or self.tab)


@dataclass(frozen=True, slots=True)
class ToolPath:
    """Strokes in the order in which to make them, the travel between them [mm], and notes for the operator."""

    strokes: tuple[Stroke, ...]
    travel: float
    findings: tuple[Finding, ...]


def tool_path(
    strokes: Iterable[Stroke],
    options: PathOptions,
    *,
    origin: Point = (0.0, 0.0),
    names: Mapping[int, str] | None = None,
    within: Polygon | None = None,
) -> ToolPath:
    """Whole strokes made into what the tool does; `names` of the parts by number, `within` the sheet."""
    now: Sequence[Stroke] = tuple(strokes)
    if options.order:
        now = ordered(now, origin).strokes
    findings: list[Finding] = []
    if options.lead_in:
        led = with_leads(
            now, options.lead_in, options.clear, form=options.lead_form, names=names, within=within
        )  # fmt: skip
        now, findings = led.strokes, list(led.findings)
    found: list[Stroke] = []
    for stroke in now:
        if stroke.layer not in (INSIDE, OUTSIDE):
            found.append(stroke)
            continue
        wanted = tab_count(stroke, options.tabs) if options.tab else 0
        tabbed = with_tabs(stroke, wanted, options.tab or 0.0, options.overcut or 0.0)
        if tabbed.count < wanted:
            findings.append(_finding(stroke, tabbed.count, wanted, (names or {}).get(stroke.part)))
        more = overcut_of(stroke, options.overcut or 0.0)
        found += [*tabbed.strokes, more] if more else tabbed.strokes
    return ToolPath(tuple(found), travel(found, origin), tuple(findings))


def bounds_of(strokes: Iterable[Stroke], outline: Outline) -> tuple[float, float, float, float]:
    """Left, low, right and high of the outline and of what is cut or drawn beside it [mm]."""
    left, low, right, high = outline.bounds
    points = [point for stroke in strokes if not stroke.is_closed for point in stroke.flattened()]
    xs, ys = [left, right, *(x for x, _ in points)], [low, high, *(y for _, y in points)]
    return min(xs), min(ys), max(xs), max(ys)


def _finding(stroke: Stroke, found: int, wanted: int, name: str | None) -> Finding:
    what = "outside" if stroke.layer == OUTSIDE else "opening"
    x, y = stroke.start
    return Finding(
        rule="tabs",
        weight="note",
        part=name,
        at=stroke.start,
        found=float(found),
        wanted=float(wanted),
        text=f"the {what} at ({x:.1f}, {y:.1f}) has room for {found} of {wanted} tabs off its corners",
        do="hold the piece down otherwise, or ask for narrower or fewer tabs",
    )
