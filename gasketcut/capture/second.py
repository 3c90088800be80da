"""The same part scanned twice, turned on the glass: what differs is the scanner's doing."""

from __future__ import annotations

from dataclasses import replace
from math import hypot

from gasketcut.capture.traced import Traced
from gasketcut.capture.traced_part import TracedHole


def with_second(first: Traced, second: Traced) -> Traced:
    """The first scan with its uncertainty by a second one of the same part, turned on the glass.

    Widths of holes and distances between them do not turn with the part: what differs is the scanner's doing.
    """
    mine, other = first.parts[0].holes, second.parts[0].holes
    if len(mine) != len(other) or not mine:
        text = f"the second scan shows {len(other)} holes, the first {len(mine)}: is it the same part?"
        return replace(first, warnings=(*first.warnings, text))
    pairs = zip(_lengths(mine), _lengths(other), strict=True)
    worst = max((abs(a - b) / a, a, b) for a, b in pairs)
    text = f"the two scans differ by {worst[0] * 100:.2f} % at most ({worst[1]:.3f} and {worst[2]:.3f} mm)"
    sigma = max(first.scale.sigma, worst[0] / 2)
    return replace(first, scale=replace(first.scale, sigma=sigma), warnings=(*first.warnings, text))


def _lengths(holes: tuple[TracedHole, ...]) -> list[float]:
    """Widths, then distances between centres, each sorted, so that it does not matter how the part lies."""
    centres = [hole.circle.center for hole in holes]
    apart = [hypot(a[0] - b[0], a[1] - b[1]) for n, a in enumerate(centres) for b in centres[:n]]
    return sorted(2 * hole.circle.radius for hole in holes) + sorted(apart)
