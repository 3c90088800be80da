"""At what heights a drawing lies: in the plane z = 0, in another one, or in several, which may be several things.

Rounding noise is silent. All on one height is laid down; several are asked about: the edges of a solid seen from above
are both faces, a pocket is no hole, and views may hang above each other.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from gasketcut.received.faults.flaw import Flaw
from gasketcut.received.reading.drawn_lines import DrawnLine

NOISE = 1e-6
"""Of the drawing's size: less is rounding. Our choice; what a drawing program's sums leave is a thousandth of it."""

_SHOWN = 4


def level_flaws(lines: Sequence[DrawnLine], size: float, factor: float) -> list[Flaw]:
    """size : of the drawing, in the file's own numbers, as the heights are; factor : mm for one of them."""
    noise = NOISE * size
    spans = Counter(line.heights for line in lines)
    if all(abs(z) <= noise for span in spans for z in span):
        return []
    climbing = next((line for line in lines if line.heights[1] - line.heights[0] > noise), None)
    levels = _levels(spans, noise)
    if climbing is None and len(levels) == 1:
        text = f"all of it lies at z = {_number(levels[0][0])}"
        return [Flaw("off-plane", None, text, "draw it in the plane z = 0")]
    where = ", ".join(f"{count} at z = {_number(z)}" for z, count in levels[:_SHOWN])
    more = f" and {len(levels) - _SHOWN} more" if len(levels) > _SHOWN else ""
    apart = f", {(levels[-1][0] - levels[0][0]) * factor:.3g} mm apart"
    if climbing is not None:
        text = f"a {climbing.type} climbs from z = {_number(climbing.heights[0])} to {_number(climbing.heights[1])}"
        return [Flaw("levels", None, f"{text}: is it a solid?", _FIX)]
    count = "two" if len(levels) == 2 else f"{len(levels)}"
    return [Flaw("levels", None, f"{count} levels{apart}: {where}{more}: is it a solid seen from above?", _FIX)]


_FIX = "ask for the outline to be cut, all of it in the plane z = 0"


def _levels(spans: Counter[tuple[float, float]], noise: float) -> list[tuple[float, int]]:
    """Heights that are farther apart than noise, lowest first, and how many lines lie at each."""
    found: list[list[float]] = []
    for (low, _), count in sorted(spans.items()):
        if found and low - found[-1][1] <= noise:
            found[-1][1] = low
            found[-1][2] += count
        else:
            found.append([low, low, count])
    return [(low, int(count)) for low, _, count in found]


def _number(z: float) -> str:
    return f"{z:.6g}"
