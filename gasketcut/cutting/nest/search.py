"""A denser layout by search, with the package `spyrrow` (MIT), which the extra `layout` brings.

That library fills a strip of given height to the least length. So each sheet in turn gets as many of the largest groups
as its area may hold; what sticks out at its end waits for the next sheet. Whatever comes back is checked by our own
rules; if it is not valid, or no better than plain rows, the rows are used and the layout says so.
Measured against the published figures of the library's own paper (Gardeyn, Vanden Berghe, Wauters, "An open-source
heuristic to reboot 2D nesting research", arXiv 2509.13329) in `tests/cutting/test_layout.py`.

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

from gasketcut.cutting.nest.holes import Group, Spot, groups_of
from gasketcut.cutting.nest.layout import TURNS, Layout, Piece, Placed, Sheet, faults
from gasketcut.cutting.nest.rows import Rows, Supply, fits, groups_in_rows, in_rows, sorted_out
from gasketcut.plane import Point
from gasketcut.shape.outlines import grown

MISSING = "laid out in plain rows: pip install 'gasketcut[layout]' brings a search that packs tighter"
ROWS_BETTER = "laid out in plain rows: the search found nothing better in its time"
INVALID = "laid out in plain rows: the search's result did not keep the distances asked for"
FAILED = "laid out in plain rows: the search gave up on these pieces"
STOPPED = "interrupted: this is the best layout found so far"

STRIP = Path(__file__).with_name("strip.py")
"""What is run in a process of its own."""

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
        return replace(rows, notes=(MISSING,))
    search = _Search(sheets, spacing, seconds, on_progress, seed)
    possible, too_large = sorted_out(pieces, sheets)
    found = search.run(groups_of(possible, spacing, in_holes=in_holes), expected=len(rows.sheets))
    found = replace(found, unplaced=(*too_large, *found.unplaced))
    notes = (STOPPED,) if search.stopped else ()
    if faults(found, pieces):
        return replace(rows, notes=(*notes, INVALID))
    if found.rank >= rows.rank:
        return replace(rows, notes=(*notes, FAILED if search.failed else ROWS_BETTER))
    return replace(found, notes=notes)


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

    def run(self, groups: Sequence[Group], expected: int) -> Layout:
        """Sheet after sheet; the time is shared out by the sheets that plain rows need.

        What waits when the time is over, or the search is stopped, is put in rows on the sheets that are left.
        """
        supply, used, laid, waiting = Supply(self._sheets), list[Sheet](), list[Spot](), list(groups)
        while waiting and not self.failed and not self.stopped and (not used or self._gone() < self._seconds):
            first = waiting[0]
            sheet = supply.take(lambda one, first=first: fits(first.piece, one))  # type: ignore[misc]
            if sheet is None:
                break
            spots = self._fill(sheet, waiting, len(used), max(1, expected - len(used)))
            if not spots:
                self.failed = not self.stopped
                return groups_in_rows(groups, self._sheets, self._spacing).layout()
            laid += spots
            used.append(sheet)
            waiting = _without(waiting, spots)
        rest = groups_in_rows(waiting, supply.rest(), self._spacing)
        laid += [replace(spot, sheet=spot.sheet + len(used)) for spot in rest.spots]
        return Rows((*used, *rest.sheets), tuple(laid), rest.left, self._spacing).layout()

    def _fill(self, sheet: Sheet, waiting: Sequence[Group], number: int, sheets_left: int) -> list[Spot]:
        """The best of two runs for one sheet: most area on it, then least length; the end of it filled in rows."""
        able = [group for group in waiting if fits(group.piece, sheet)]
        room = sheet.usable[0] * sheet.usable[1]
        some = _filled([], able, room * _FULL)
        share = max(0.0, self._seconds - self._gone()) / sheets_left
        best = self._solved(sheet, some, number, share if len(some) == len(waiting) else share / 2)
        if best and len(best) < len(waiting) and not self.stopped:
            # Again with as many as will fit, by how dense it has become.
            again = _filled([spot.group for spot in best], able, room * (self._dense + _MORE))
            best = max(best, self._solved(sheet, again, number, share / 2), key=_area_of)
        return [*best, *self._at_the_end(sheet, _without(waiting, best), best, number)]

    def _at_the_end(self, sheet: Sheet, waiting: Sequence[Group], best: Sequence[Spot], number: int) -> list[Spot]:
        """What still fits, in rows, beyond everything that lies on the sheet."""
        begin = _length(best) + self._spacing
        wide, high = sheet.width - sheet.margin - begin, sheet.usable[1]
        end = Sheet(wide, high, count=1)
        small = [group for group in waiting if wide > 0 and fits(group.piece, end)] if best else []
        rows = groups_in_rows(small, [end], self._spacing)
        return [replace(spot, sheet=number, x=spot.x + begin, y=spot.y + sheet.margin) for spot in rows.spots]

    def _solved(self, sheet: Sheet, groups: Sequence[Group], number: int, seconds: float) -> list[Spot]:
        """Where the groups lie, without those that stick out at the end of the sheet."""
        slack = _SLACK * max(sheet.width, sheet.height)
        apart = self._spacing + 2 * slack
        kinds: dict[int, list[Group]] = {}
        for group in groups:
            kinds.setdefault(id(group.piece), []).append(group)
        alike, area = list(kinds.values()), sum(group.ring.area for group in groups)
        off = sheet.margin - apart + slack  # the library keeps the whole distance to the strip's edges too
        height = sheet.height - 2 * off
        best: list[Spot] = []

        def seen(solution: dict[str, Any]) -> None:
            nonlocal best
            self._dense = area / (solution["width"] * height)
            left = [list(same) for same in alike]
            spots = []
            for at, turn, x, y in solution["items"]:
                group = left[at].pop()
                spots.append(Spot(group, number, x + off, y + off, _snapped(turn, group)))
            kept = [spot for spot in spots if _right(spot) <= sheet.width - sheet.margin]
            if not best or (_area_of(kept), -_length(kept)) > (_area_of(best), -_length(best)):
                best = kept
                if self._on_progress and kept:
                    self._on_progress(Progress(number + 1, _length(kept), self._gone(), self._seconds))

        items = [
            {"shape": _drawn(same[0]), "count": len(same), "turns": TURNS[same[0].turns]} for same in alike
        ]  # fmt: skip
        limit = max(1, ceil(seconds))
        self._watch({"items": items, "height": height, "apart": apart, "seconds": limit, "seed": self._seed}, seen)
        return best

    def _watch(self, asked: dict[str, Any], seen: Callable[[dict[str, Any]], None]) -> None:
        """Run the search in a process of its own and take what it finds: Ctrl-C reaches us and nothing is lost."""
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


def _drawn(group: Group) -> list[Point]:
    """The group's outline with few corners, nowhere inside the true one."""
    ring = group.ring
    if len(ring.exterior.coords) > _FEW:
        # Grown by more than the corners left out may stand off it.
        ring = Polygon(shapely.simplify(grown(ring, _COARSE), _COARSE * 0.9).exterior)
    return [(float(x), float(y)) for x, y in shapely.get_coordinates(ring.exterior)[:-1]]


def _snapped(turn: float, group: Group) -> float:
    """The allowed turn that single precision stands for."""
    turns = TURNS[group.turns]
    if turns is None:
        return turn
    return min(turns, key=lambda one: abs((turn - one + 180) % 360 - 180))


def _filled(groups: list[Group], able: Sequence[Group], area: float) -> list[Group]:
    """These groups and as many others, the first first, as the area holds; at least one."""
    some, taken = list(groups), {id(group) for group in groups}
    left = area - sum(group.ring.area for group in some)
    for group in able:
        size = group.ring.area
        if id(group) not in taken and (size <= left or not some):
            some.append(group)
            left -= size
    return some


def _without(groups: Sequence[Group], spots: Sequence[Spot]) -> list[Group]:
    gone = {id(spot.group) for spot in spots}
    return [group for group in groups if id(group) not in gone]


def _right(spot: Spot) -> float:
    return float(Placed(spot.group.piece, 0, spot.x, spot.y, spot.turn).shape.bounds[2])


def _length(spots: Sequence[Spot]) -> float:
    return max((_right(spot) for spot in spots), default=0.0)


def _area_of(spots: Sequence[Spot]) -> float:
    return sum(spot.group.ring.area for spot in spots)
