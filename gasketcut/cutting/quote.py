"""What cutting costs: lengths, starts, sheet, time, and money where the user gives rates.

Row    one piece of a part; `count` says how many of it are cut.
Total  the sum over all pieces; its hole and web are the smallest of all.
Sheet  used: each piece's box with the spacing to its neighbour, or what a layout says.
Time   along the cuts and for the starts; travel, loading and a shop's minimum charge are not in it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import dist, fsum, isfinite
from typing import TypeVar

from gasketcut.cutting.cutter import Cutter
from gasketcut.cutting.path.kerf import kerf_of
from gasketcut.job.cutting import CuttingSpec
from gasketcut.parts.part import Part
from gasketcut.plane import Point
from gasketcut.shape.loop import Outline
from gasketcut.shape.narrow import smallest_hole, smallest_web

T = TypeVar("T")

SPACING = 3.0
"""mm between two pieces where no layout says otherwise; our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """Lengths in mm, areas in mm2, time in s, of one piece; in a total, of all pieces.

    inside, outside, mark  length to be followed on each layer, as it is cut: with the kerf if one is applied
    size, area             of the nominal part
    gap                    why there is no cost, although there is a rate
    """

    part: str
    process: str
    kerf: float | None
    stock: str | None
    thickness: float | None
    count: int
    inside: float
    outside: float
    mark: float
    pierces: int
    size: tuple[float, float] | None
    area: float
    sheet: float
    smallest_hole: float | None
    smallest_web: float | None
    seconds: float | None
    cost: float | None
    gap: str | None = None

    @property
    def cut(self) -> float:
        """Length that is cut through [mm]."""
        return self.inside + self.outside


@dataclass(frozen=True, slots=True)
class Quote:
    """A row for each part and the total of all pieces, where what differs between parts is None; `cutter` in words;
    `sheets` is how many whole sheets they are laid out on, None without a layout."""

    rows: tuple[Row, ...]
    total: Row
    cutter: str
    currency: str | None = None
    sheets: int | None = None


def row_of(
    part: Part,
    nominal: Outline,
    path: Outline,
    cutter: Cutter,
    spec: CuttingSpec,
    sheet: float | None = None,
    spacing: float = SPACING,
    marks: Iterable[Sequence[Point]] = (),
) -> Row:
    """One piece of the part.

    nominal : the part's own outline
    path    : what is cut, the same or grown by half the kerf
    sheet   : area of sheet that one piece takes in a layout [mm2]
    spacing : between pieces without a layout [mm]
    marks   : lines of lettering besides the part's own marks
    """
    left, low, right, high = nominal.bounds
    inside, outside = fsum(contour.length for contour in path.inner), path.outer.length
    mark = _marked(part, marks) if cutter.mark else 0.0
    used = (right - left + spacing) * (high - low + spacing) if sheet is None else sheet
    pierces = len(path.contours)
    seconds = _seconds(inside + outside + mark, pierces, cutter, spec)
    cost, gap = _cost(part, seconds, used, cutter, spec)
    hole, web = smallest_hole(nominal.inner), smallest_web(part.solid)
    return Row(
        part=part.name,
        process=cutter.process,
        kerf=kerf_of(spec, cutter) or None,
        stock=part.stock.name if part.stock else None,
        thickness=part.thickness,
        count=part.count,
        inside=inside,
        outside=outside,
        mark=mark,
        pierces=pierces,
        size=(right - left, high - low),
        area=nominal.area,
        sheet=used,
        smallest_hole=hole.width if hole else None,
        smallest_web=web.width if web else None,
        seconds=seconds,
        cost=cost,
        gap=gap,
    )


def _marked(part: Part, letters: Iterable[Sequence[Point]]) -> float:
    own = fsum(segment.length for line in part.marks for segment in line)
    return own + fsum(dist(start, end) for line in letters for start, end in pairwise(line))


def quote_of(rows: Iterable[Row], spec: CuttingSpec, cutter: str, sheets: int | None = None) -> Quote:
    """The rows, at least one, with their total over all pieces; `cutter` is what cuts them, in words."""
    found = tuple(rows)
    first = found[0]
    return Quote(
        found,
        Row(
            part="total",
            process=first.process,
            kerf=_same([row.kerf for row in found]),
            stock=_same([row.stock for row in found]),
            thickness=_same([row.thickness for row in found]),
            count=sum(row.count for row in found),
            inside=fsum(row.inside * row.count for row in found),
            outside=fsum(row.outside * row.count for row in found),
            mark=fsum(row.mark * row.count for row in found),
            pierces=sum(row.pierces * row.count for row in found),
            size=None,
            area=fsum(row.area * row.count for row in found),
            sheet=fsum(row.sheet * row.count for row in found),
            smallest_hole=min((row.smallest_hole for row in found if row.smallest_hole is not None), default=None),
            smallest_web=min((row.smallest_web for row in found if row.smallest_web is not None), default=None),
            seconds=_sum([(row.seconds, row.count) for row in found]),
            cost=_sum([(row.cost, row.count) for row in found]),
            gap=next((row.gap for row in found if row.gap), None),
        ),
        cutter,
        spec.currency,
        sheets,
    )


def _seconds(length: float, pierces: int, cutter: Cutter, spec: CuttingSpec) -> float | None:
    """Length over speed and a pierce for each start; None where nobody names a speed, as for a hand."""
    speed = spec.speed if spec.speed is not None else cutter.speed
    if speed is None:
        return None
    pierce = spec.pierce if spec.pierce is not None else cutter.pierce
    return length / speed * 60 + pierces * pierce


def _cost(
    part: Part, seconds: float | None, used: float, cutter: Cutter, spec: CuttingSpec
) -> tuple[float | None, str | None]:
    """Machine time and sheet by the user's rates; None with the reason if one of them cannot be worked out."""
    if spec.rate_hour is None and spec.rate_sheet is None:
        return None, None
    cost = 0.0
    if spec.rate_hour is not None:
        if seconds is None:
            return None, f"no speed is known for {cutter.says}: add speed to [cutting]"
        cost += spec.rate_hour * seconds / 3600
    if spec.rate_sheet is not None:
        if part.stock is None or part.stock.size is None:
            return None, f"the sheet of {part.name} has no size: add size = [width, height] to its [[stock]]"
        cost += spec.rate_sheet * used / (part.stock.size[0] * part.stock.size[1])
    return (cost, None) if isfinite(cost) else (None, "the rates are out of range")


def _sum(values: list[tuple[float | None, int]]) -> float | None:
    known = [value * count for value, count in values if value is not None]
    return fsum(known) if len(known) == len(values) else None


def _same(values: list[T]) -> T | None:
    return values[0] if len(set(values)) == 1 else None
