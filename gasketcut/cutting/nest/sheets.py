"""All parts of a job on whole sheets, stock by stock: where each piece lies, and the strokes of each sheet.

What is laid out is the path as it is cut, kerf included; the spacing is between two such paths.

Order    marks of all pieces; then piece after piece, inside before outside, and one that lies in another's hole
         before that other: once the hole is cut, what lies in it no longer lies still.
Letters  those on a part go with it; what would lie beside it, on its neighbours, is said once for the whole sheet.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain, count
from math import cos, radians, sin

import shapely
from shapely.geometry import LineString, Polygon

from gasketcut.cutting.cut_part import CutPart, path_options
from gasketcut.cutting.nest.layout import Layout, Piece, Placed, Sheet
from gasketcut.cutting.nest.rows import in_rows
from gasketcut.cutting.nest.search import MISSING, STOPPED, OnProgress, searched
from gasketcut.cutting.path.kerf import kerf_words
from gasketcut.cutting.path.lettering import MARGIN, Polyline, one_line
from gasketcut.cutting.path.order import ordered
from gasketcut.cutting.path.stroke import MARK, Stroke, mark, strokes_of, through
from gasketcut.cutting.path.toolpath import PathOptions, ToolPath, tool_path
from gasketcut.cutting.quote import SPACING
from gasketcut.finding import Finding
from gasketcut.job.cutting import CuttingSpec, LayoutSpec
from gasketcut.length import box
from gasketcut.parts.part import Mark
from gasketcut.parts.stock import Stock
from gasketcut.plane import Point
from gasketcut.shape.loop import Circle, Contour, Loop, Outline, Segment


@dataclass(frozen=True, slots=True)
class Sheets:
    """The sheets of one stock, the parts on them by name, and what the tool does on each sheet, in its coordinates.

    name  : of the stock, fit for a file and different for each stock
    unfit : parts with a stop among their findings
    """

    stock: Stock
    name: str
    layout: Layout
    parts: Mapping[str, CutPart]
    tools: tuple[ToolPath, ...] = ()
    unfit: frozenset[str] = frozenset()

    def strokes(self, sheet: int) -> tuple[Stroke, ...]:
        """In the order in which to make them."""
        return self.tools[sheet].strokes

    def used(self) -> dict[str, float]:
        """Sheet that one piece of each part takes [mm2]: all but what is left of the last, shared by net area."""
        whole = sum(sheet.width * sheet.height for sheet in self.layout.sheets)
        if not self.layout.sheets:
            return {}
        left, low, right, high = self.layout.left_over(len(self.layout.sheets) - 1)
        net = sum(one.piece.outline.area for one in self.layout.placed)
        share = (whole - (right - left) * (high - low)) / net
        return {one.piece.name: one.piece.outline.area * share for one in self.layout.placed}


def laid_out(
    ready: Sequence[CutPart],
    spec: LayoutSpec,
    cutting: CuttingSpec,
    on_progress: OnProgress | None = None,
    *,
    quick: bool = False,
) -> tuple[tuple[Sheets, ...], tuple[Finding, ...]]:
    """Every stock that has a size, with what could not be laid out and how the rest was found.

    quick : in rows only, without a search. Once a search is interrupted, the stocks that are left are in rows too
    """
    found: list[Sheets] = []
    findings = [_no_stock(one.part.name) for one in ready if one.part.stock is None]
    stocks = {one.part.stock.name: one.part.stock for one in ready if one.part.stock is not None}
    for stock in stocks.values():
        parts = [one for one in ready if one.part.stock is not None and one.part.stock.name == stock.name]
        if stock.size is None:
            findings.append(
                Finding(
                    rule="layout",
                    weight="stop",
                    part=parts[0].part.name,
                    text=f"the sheet {stock.name} has no size, so nothing can be laid out on it",
                    do="add size = [width, height] to its [[stock]]",
                )
            )
            continue
        pieces = [Piece(one.part.name, _shape(one), one.part.count, spec.turning) for one in parts]
        spacing = SPACING if spec.spacing is None else spec.spacing
        sheets = [Sheet(*stock.size, margin=spec.margin)]
        if quick or any(STOPPED in one.layout.notes for one in found):
            layout = in_rows(pieces, sheets, spacing, in_holes=spec.in_holes)
            layout = layout if quick else replace(layout, notes=(STOPPED,))
        else:
            layout = searched(
                pieces, sheets, spacing, seconds=spec.seconds, in_holes=spec.in_holes, on_progress=on_progress
            )
        name = _file_name(stock.name, {one.name.casefold() for one in found})
        one = Sheets(stock, name, layout, {one.part.name: one for one in parts})
        tools, notes = _tools(one, path_options(cutting, parts[0].cutter))
        found.append(replace(one, tools=tools))
        findings += [*_findings(layout, stock, sheets[0], spec), *notes]
    return tuple(found), tuple(findings)


def _file_name(stock: str, taken: set[str]) -> str:
    plain = re.sub(r"[^A-Za-z0-9.]+", "-", stock).strip("-.") or "stock"
    others = (f"{plain}-{'b' * number}" for number in count(1))  # a number would read as a sheet's
    return next(name for name in chain((plain,), others) if name.casefold() not in taken)


def _tools(one: Sheets, options: PathOptions) -> tuple[tuple[ToolPath, ...], list[Finding]]:
    """What the tool does on each sheet, and of what it could not do the first of a kind for each part."""
    tools, found = [], []
    letters = {name: on_the_part(ready) for name, ready in one.parts.items()}
    for sheet, size in enumerate(one.layout.sheets):
        marks: list[Stroke] = []
        cuts: list[Stroke] = []
        for number, placed in enumerate(one.layout.on(sheet)):
            ready = one.parts[placed.piece.name]
            lines = [*ready.part.marks, *(through(points) for points in letters[placed.piece.name])]
            turned = [turned_mark(line, placed) for line in lines]
            for stroke in strokes_of(turned_outline(ready.path, placed), number, turned):
                (marks if stroke.layer == MARK else cuts).append(stroke)
        start = marks[-1].end if marks else (0.0, 0.0)
        names = {number: placed.piece.name for number, placed in enumerate(one.layout.on(sheet))}
        off = size.margin
        usable = shapely.box(off, off, size.width - off, size.height - off)
        sorted_cuts = ordered(cuts, start).strokes
        tool = tool_path([*marks, *sorted_cuts], replace(options, order=False), names=names, within=usable)
        if any(ready.letters for ready in one.parts.values()):
            words = _sheet_words(one, sheet, tool)
            tool = replace(tool, strokes=(*words, *tool.strokes))
            if not words:
                found.append(_no_room(one, sheet))
        tools.append(tool)
        found += _first_of_each(tool.findings, f"sheet {sheet + 1} of {one.stock.name}")
    return tuple(tools), found


def _sheet_words(one: Sheets, sheet: int, tool: ToolPath) -> tuple[Stroke, ...]:
    """What the sheet is and whether a kerf is in its paths: in its margin, else on what is left over, else nowhere."""
    kerfs = {ready.kerf for ready in one.parts.values()}
    words = [
        f"sheet {sheet + 1} of {len(one.layout.sheets)}",
        one.stock.name,
        *sorted(kerf_words(kerf) for kerf in kerfs),
    ]
    size = one.layout.sheets[sheet]
    margin = (0.0, 0.0, size.width, size.margin)
    taken = shapely.STRtree([LineString(stroke.flattened(0.01)) for stroke in tool.strokes])
    for room in (margin, one.layout.left_over(sheet)):
        line = one_line("  ".join(words), room)
        if line and not len(taken.query(shapely.box(*line.box), predicate="dwithin", distance=MARGIN)):
            return tuple(mark(through(points), -1) for points in line.lines)
    return ()


def _first_of_each(findings: Sequence[Finding], where: str) -> Iterator[Finding]:
    kinds: dict[tuple[str, str | None], list[Finding]] = {}
    for finding in findings:
        kinds.setdefault((finding.rule, finding.part), []).append(finding)
    for first, *more in kinds.values():
        others = f", and {len(more)} more like it" if more else ""
        yield replace(first, text=f"{where}: {first.text}{others}")


def _no_stock(part: str) -> Finding:
    return Finding(
        rule="layout",
        weight="warn",
        part=part,
        text="names no sheet, so it lies on none",
        do='add stock = "name of a [[stock]]" to its [[part]]',
    )


def _no_room(one: Sheets, sheet: int) -> Finding:
    return Finding(
        rule="lettering",
        weight="note",
        part=None,
        text=f"sheet {sheet + 1} of {one.stock.name} has no room beside its parts for what it is and for its kerf",
        do="read it in the file's name and first lines, or add margin = 6 to [layout]",
    )


def _findings(layout: Layout, stock: Stock, sheet: Sheet, spec: LayoutSpec) -> list[Finding]:
    wide, high = sheet.usable
    turn = "" if spec.turning == "any" else ', or turning = "any" in [layout] if its grain allows that'
    found = []
    for one in layout.unplaced:
        left, low, right, top = one.piece.outline.bounds
        if one.count:
            found.append(
                Finding(
                    rule="layout",
                    weight="stop",
                    part=one.piece.name,
                    text=f"does not fit on {stock.name}: the part is {box(right - left, top - low)}, "
                    f"the sheet {box(max(wide, 0.0), max(high, 0.0))} within its margin",
                    do=f"write size = [width, height] of a larger sheet in its [[stock]], or a smaller margin{turn}",
                )
            )
    if layout.placed and not layout.notes and spec.seconds:
        text = f"{stock.name}: laid out by search"
        found.append(Finding(rule="layout", weight="note", part=None, text=text, do="nothing; it may be cut"))
    for note in layout.notes:
        weight = "warn" if note == STOPPED else "note"
        do = "run it again" if note == STOPPED else "nothing; it may be cut" if note != MISSING else "add it if it pays"
        found.append(Finding(rule="layout", weight=weight, part=None, text=f"{stock.name}: {note}", do=do))  # type: ignore[arg-type]
    return found


def on_the_part(ready: CutPart) -> list[Polyline]:
    """Its letters but for those in the scrap beside it: on a whole sheet they would lie on its neighbours."""
    return [line for line in ready.letters if ready.part.solid.covers(LineString(line))]


def _shape(one: CutPart) -> Polygon:
    return Polygon(one.path.outer.flattened(), [inner.flattened() for inner in one.path.inner])


def turned_point(point: Point, where: Placed) -> Point:
    """Of the piece, in the sheet's coordinates."""
    c, s = cos(radians(where.turn)), sin(radians(where.turn))
    return c * point[0] - s * point[1] + where.x, s * point[0] + c * point[1] + where.y


def turned_mark(line: Mark, where: Placed) -> Mark:
    """The piece's mark in the sheet's coordinates."""
    return tuple(Segment(turned_point(one.start, where), turned_point(one.end, where), one.bulge) for one in line)


def turned_outline(outline: Outline, where: Placed) -> Outline:
    """The piece's contours in the sheet's coordinates, circles and arcs as such."""

    def contour(one: Contour) -> Contour:
        if isinstance(one, Circle):
            return Circle(turned_point(one.center, where), one.radius)
        return Loop(tuple(turned_point(point, where) for point in one.points), one.bulges)

    return Outline(contour(outline.outer), tuple(contour(one) for one in outline.inner), outline.deviation)
