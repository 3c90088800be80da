"""A denser layout by search, with the package `spyrrow` (MIT), which the extra `layout` brings.

That library fills a strip of given height to the least length. So each sheet in turn gets as many of the largest units
as its area may hold; what sticks out at its end waits for the next sheet. Whatever comes back is looked at with our
own eyes; if it is not valid, or no better than plain rows, the rows are taken and the layout says so.
Measured against the published figures of the library's own paper (Gardeyn, Vanden Berghe, Wauters, "An open-source
heuristic to reboot 2D nesting research", arXiv 2509.13329) in `tests/test_layout.py`.

A run is bounded by time, so it is not repeatable to the last digit, even though its seed is fixed.
"""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from importlib.util import find_spec
from math import ceil
from pathlib import Path
from typing import Any

import shapely
from shapely.geometry import Polygon

from gasketcut.cutting.nest.holes import Spot, Unit, units_of
from gasketcut.cutting.nest.layout import TURNS, Layout, Piece, Placed, Sheet, faults
from gasketcut.cutting.nest.rows import Rows, Supply, fits, in_rows, sorted_out, units_in_rows
from gasketcut.plane import Point
from gasketcut.shape.outlines import grown

MISSING = "laid out in plain rows: pip install 'gasketcut[layout]' brings a search that packs tighter"
ROWS_BETTER = "laid out in plain rows: the search found nothing better in its time"
INVALID = "laid out in plain rows: the search's result did not keep the distances asked for"
FAILED = "laid out in plain rows: the search gave up on these pieces"
STOPPED = "interrupted: this is the best layout found so far"

STRIP = Path(__file__).with_name("strip.py")
"""What is run beside us."""

_FULL = 0.9  # share of a sheet's area that pieces ever fill; measured 0.75 to 0.9 on benchmarks
_MORE = 0.04  # by which a second run may get denser than the first; what does not fit waits
_FEW = 64  # corners; a piece with more is drawn round it with fewer
_COARSE = 0.05  # mm that such a drawing stands off the piece
_SLACK = 4e-6  # of the sheet's size: the library counts in single precision


@dataclass(frozen=True, slots=True)
class Progress:
    """How far the search is: sheet from 1, length used of it [mm], seconds gone and given."""

    sheet: int
    length: float
    seconds: float
    limit: float


OnProgress = Callable[[Progress], None]


def searched(
    pieces: Sequence[Piece],
    sheets: Sequence[Sheet],
    spacing: float,
    *,
    seconds: float = 10.0,
    in_holes: bool = False,
    on_progress: OnProgress | None = None,
    seed: int = 1,
) -> Layout:
    """The densest layout found within about that many seconds; never worse than plain rows, and proved.

    Ctrl-C (KeyboardInterrupt) ends the search and keeps the best so far. `on_progress` is called as it gets better.
    """
    rows = in_rows(pieces, sheets, spacing, in_holes=in_holes)
    if not rows.placed:
        return rows
    if find_spec("spyrrow") is None:
        return replace(rows, said=(MISSING,))
    search = _Search(sheets, spacing, seconds, on_progress, seed)
    possible, too_large = sorted_out(pieces, sheets)
    found = search.run(units_of(possible, spacing, in_holes=in_holes), expected=len(rows.sheets))
    found = replace(found, unplaced=(*too_large, *found.unplaced))
    said = (STOPPED,) if search.stopped else ()
    if faults(found, pieces):
        return replace(rows, said=(*said, INVALID))
    if found.rank >= rows.rank:
        return replace(rows, said=(*said, FAILED if search.failed else ROWS_BETTER))
    return replace(found, said=said)


class _Search:
    """One search: what it has to keep to, and whether it was stopped or failed."""

    def __init__(
        self, sheets: Sequence[Sheet], spacing: float, seconds: float, on_progress: OnProgress | None, seed: int
    ) -> None:
        self._sheets, self._spacing = sheets, spacing
        self._on_progress, self._seed, self._seconds = on_progress, seed, seconds
        self._began = time.monotonic()
        self.stopped = self.failed = False
        self._dense = _FULL

    def run(self, units: Sequence[Unit], expected: int) -> Layout:
        """Sheet after sheet; the time is shared out by the sheets that plain rows need.

        What waits when the time is over, or the search is stopped, is put in rows on the sheets that are left.
        """
        supply, used, laid, waiting = Supply(self._sheets), list[Sheet](), list[Spot](), list(units)
        while waiting and not self.failed and not self.stopped and (not used or self._gone() < self._seconds):
            first = waiting[0]
            sheet = supply.take(lambda one, first=first: fits(first.piece, one))  # type: ignore[misc]
            if sheet is None:
                break
            spots = self._fill(sheet, waiting, len(used), max(1, expected - len(used)))
            if not spots:
                self.failed = not self.stopped
                return units_in_rows(units, self._sheets, self._spacing).layout()
            laid += spots
            used.append(sheet)
            waiting = _without(waiting, spots)
        rest = units_in_rows(waiting, supply.rest(), self._spacing)
        laid += [replace(spot, sheet=spot.sheet + len(used)) for spot in rest.spots]
        return Rows((*used, *rest.sheets), tuple(laid), rest.left, self._spacing).layout()

    def _fill(self, sheet: Sheet, waiting: Sequence[Unit], number: int, sheets_left: int) -> list[Spot]:
        """The best of two runs for one sheet: most area on it, then least length; the end of it filled in rows."""
        able = [unit for unit in waiting if fits(unit.piece, sheet)]
        room = sheet.usable[0] * sheet.usable[1]
        some = _filled([], able, room * _FULL)
        share = max(0.0, self._seconds - self._gone()) / sheets_left
        best = self._solved(sheet, some, number, share if len(some) == len(waiting) else share / 2)
        if best and len(best) < len(waiting) and not self.stopped:
            # Again with as many as will fit, by how dense it has become.
            again = _filled([spot.unit for spot in best], able, room * (self._dense + _MORE))
            best = max(best, self._solved(sheet, again, number, share / 2), key=_area_of)
        return [*best, *self._at_the_end(sheet, _without(waiting, best), best, number)]

    def _at_the_end(self, sheet: Sheet, waiting: Sequence[Unit], best: Sequence[Spot], number: int) -> list[Spot]:
        """What still fits, in rows, beyond everything that lies on the sheet."""
        begin = _length(best) + self._spacing
        wide, high = sheet.width - sheet.margin - begin, sheet.usable[1]
        end = Sheet(wide, high, count=1)
        small = [unit for unit in waiting if wide > 0 and fits(unit.piece, end)] if best else []
        rows = units_in_rows(small, [end], self._spacing)
        return [replace(spot, sheet=number, x=spot.x + begin, y=spot.y + sheet.margin) for spot in rows.spots]

    def _solved(self, sheet: Sheet, units: Sequence[Unit], number: int, seconds: float) -> list[Spot]:
        """Where the units come to lie, without those that stick out at the end of the sheet."""
        slack = _SLACK * max(sheet.width, sheet.height)
        apart = self._spacing + 2 * slack
        kinds: dict[int, list[Unit]] = {}
        for unit in units:
            kinds.setdefault(id(unit.piece), []).append(unit)
        groups, area = list(kinds.values()), sum(unit.ring.area for unit in units)
        off = sheet.margin - apart + slack  # the library keeps the whole distance to the strip's edges too
        height = sheet.height - 2 * off
        best: list[Spot] = []

        def seen(solution: dict[str, Any]) -> None:
            nonlocal best
            self._dense = area / (solution["width"] * height)
            left = [list(group) for group in groups]
            spots = []
            for at, turn, x, y in solution["items"]:
                unit = left[at].pop()
                spots.append(Spot(unit, number, x + off, y + off, _snapped(turn, unit)))
            kept = [spot for spot in spots if _right(spot) <= sheet.width - sheet.margin]
            if not best or (_area_of(kept), -_length(kept)) > (_area_of(best), -_length(best)):
                best = kept
                if self._on_progress and kept:
                    self._on_progress(Progress(number + 1, _length(kept), self._gone(), self._seconds))

        items = [
            {"shape": _drawn(group[0]), "count": len(group), "turns": TURNS[group[0].turns]} for group in groups
        ]  # fmt: skip
        limit = max(1, ceil(seconds))
        self._watch({"items": items, "height": height, "apart": apart, "seconds": limit, "seed": self._seed}, seen)
        return best

    def _watch(self, asked: dict[str, Any], seen: Callable[[dict[str, Any]], None]) -> None:
        """Run the search beside us and take what it finds, so that Ctrl-C reaches us and nothing found is lost."""
        run = subprocess.Popen(
            [sys.executable, "-P", str(STRIP)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
            start_new_session=True,  # or Ctrl-C would end it too
        )
        try:
            assert run.stdin is not None
            assert run.stdout is not None
            with suppress(BrokenPipeError):
                run.stdin.write(json.dumps(asked))
                run.stdin.close()
            for line in run.stdout:
                seen(json.loads(line))
            self.failed = run.wait() != 0
        except KeyboardInterrupt:
            self.stopped = True
        finally:
            run.kill()
            run.wait()
            if run.stdout:
                run.stdout.close()

    def _gone(self) -> float:
        return time.monotonic() - self._began


def _drawn(unit: Unit) -> list[Point]:
    """The unit's outline with few corners, nowhere inside the true one."""
    ring = unit.ring
    if len(ring.exterior.coords) > _FEW:
        # Grown by more than the corners left out may stand off it.
        ring = Polygon(shapely.simplify(grown(ring, _COARSE), _COARSE * 0.9).exterior)
    return [(float(x), float(y)) for x, y in shapely.get_coordinates(ring.exterior)[:-1]]


def _snapped(turn: float, unit: Unit) -> float:
    """The allowed turn that single precision stands for."""
    turns = TURNS[unit.turns]
    if turns is None:
        return turn
    return min(turns, key=lambda one: abs((turn - one + 180) % 360 - 180))


def _filled(units: list[Unit], able: Sequence[Unit], area: float) -> list[Unit]:
    """These units and as many others, the first first, as the area holds; at least one."""
    some, taken = list(units), {id(unit) for unit in units}
    left = area - sum(unit.ring.area for unit in some)
    for unit in able:
        size = unit.ring.area
        if id(unit) not in taken and (size <= left or not some):
            some.append(unit)
            left -= size
    return some


def _without(units: Sequence[Unit], spots: Sequence[Spot]) -> list[Unit]:
    gone = {id(spot.unit) for spot in spots}
    return [unit for unit in units if id(unit) not in gone]


def _right(spot: Spot) -> float:
    return float(Placed(spot.unit.piece, 0, spot.x, spot.y, spot.turn).shape.bounds[2])


def _length(spots: Sequence[Spot]) -> float:
    return max((_right(spot) for spot in spots), default=0.0)


def _area_of(spots: Sequence[Spot]) -> float:
    return sum(spot.unit.ring.area for spot in spots)
