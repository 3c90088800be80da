"""All parts of a job on whole sheets, stock by stock: where each piece lies, and the strokes of each sheet.

What is laid out is the path as it is cut, kerf included, so the spacing is what stays between two cuts.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import cos, radians, sin

from shapely.geometry import LineString, Polygon

from gasketcut.cutting.layout import Layout, Piece, Placed, Sheet
from gasketcut.cutting.lettering import Line
from gasketcut.cutting.prepared import Prepared
from gasketcut.cutting.quote import SPACING
from gasketcut.cutting.search import MISSING, STOPPED, Told, searched
from gasketcut.cutting.stroke import INSIDE, MARK, Stroke, strokes_of
from gasketcut.finding import Finding
from gasketcut.job.cutting_spec import LayoutSpec
from gasketcut.job.model import Stock
from gasketcut.shape.loop import Circle, Contour, Loop, Outline, Point


@dataclass(frozen=True, slots=True)
class Sheets:
    """The sheets of one stock, and the parts on them by name."""

    stock: Stock
    layout: Layout
    parts: Mapping[str, Prepared]

    def strokes(self, sheet: int) -> tuple[Stroke, ...]:
        """Marks, then inside, then outside of every piece, in the sheet's coordinates.

        A piece that lies in a hole of another is cut out whole before that hole is: afterwards it would lie loose.
        """
        found: list[Stroke] = []
        placed = self.layout.on(sheet)
        holes = [Polygon(ring) for one in placed for ring in one.shape.interiors]
        guests = {n for n, one in enumerate(placed) if any(hole.contains(one.shape) for hole in holes)}
        for number, one in enumerate(placed):
            ready = self.parts[one.piece.name]
            marks = [[turned_point(point, one) for point in line] for line in (*ready.part.marks, *on_the_part(ready))]
            found += strokes_of(turned_outline(ready.path, one), number, marks)
        return tuple(
            sorted(found, key=lambda one: (one.layer != MARK, one.part not in guests, one.layer != INSIDE))
        )  # fmt: skip

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
    ready: Sequence[Prepared], spec: LayoutSpec, told: Told | None = None
) -> tuple[tuple[Sheets, ...], tuple[Finding, ...]]:
    """Every stock that has a size, with what could not be laid out and how the rest was found."""
    found, findings = [], []
    stocks = {one.part.stock.name: one.part.stock for one in ready if one.part.stock is not None}
    for name, stock in stocks.items():
        parts = [one for one in ready if one.part.stock is not None and one.part.stock.name == name]
        if stock.size is None:
            findings.append(
                Finding(
                    rule="layout",
                    weight="stop",
                    part=parts[0].part.name,
                    text=f"the sheet {name} has no size, so nothing can be laid out on it",
                    do="add size = [width, height] to its [[stock]]",
                )
            )
            continue
        pieces = [Piece(one.part.name, _shape(one), one.part.count, spec.turning) for one in parts]
        spacing = SPACING if spec.spacing is None else spec.spacing
        sheets = [Sheet(*stock.size, margin=spec.margin)]
        layout = searched(pieces, sheets, spacing, seconds=spec.seconds, in_holes=spec.in_holes, told=told)
        found.append(Sheets(stock, layout, {one.part.name: one for one in parts}))
        findings += _findings(layout, stock)
    return tuple(found), tuple(findings)


def _findings(layout: Layout, stock: Stock) -> list[Finding]:
    found = [
        Finding(
            rule="layout",
            weight="stop",
            part=one.piece.name,
            text=f"{one.count} x {one.piece.name} find no place on {stock.name}: {one.why}",
            do="use a larger sheet, less spacing or margin, or let it turn",
        )
        for one in layout.unplaced
        if one.count
    ]
    for said in layout.said:
        weight = "warn" if said == STOPPED else "note"
        do = "run it again" if said == STOPPED else "nothing; it may be cut" if said != MISSING else "add it if it pays"
        found.append(Finding(rule="layout", weight=weight, part=None, text=f"{stock.name}: {said}", do=do))  # type: ignore[arg-type]
    return found


def on_the_part(ready: Prepared) -> list[Line]:
    """Its letters but for those in the scrap beside it: on a whole sheet they would lie on its neighbours."""
    return [line for line in ready.letters if ready.part.solid.covers(LineString(line))]


def _shape(one: Prepared) -> Polygon:
    return Polygon(one.path.outer.flattened(), [inner.flattened() for inner in one.path.inner])


def turned_point(point: Point, where: Placed) -> Point:
    """Of the piece, in the sheet's coordinates."""
    c, s = cos(radians(where.turn)), sin(radians(where.turn))
    return c * point[0] - s * point[1] + where.x, s * point[0] + c * point[1] + where.y


def turned_outline(outline: Outline, where: Placed) -> Outline:
    """The piece's contours in the sheet's coordinates, circles and arcs as such."""

    def contour(one: Contour) -> Contour:
        if isinstance(one, Circle):
            return Circle(turned_point(one.center, where), one.radius)
        return Loop(tuple(turned_point(point, where) for point in one.points), one.bulges)

    return Outline(contour(outline.outer), tuple(contour(one) for one in outline.inner), outline.deviation)
