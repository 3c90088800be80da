"""The same part scanned twice, turned on the glass: what differs is the scanner's doing."""

from __future__ import annotations

from dataclasses import replace
from math import hypot, sqrt

from gasketcut.capture.measured import Measured
from gasketcut.capture.scale.photo import Photo
from gasketcut.capture.traced import Traced
from gasketcut.capture.traced_part import TracedPart
from gasketcut.capture.uncertainty.figures import diameter, distances


def with_second(first: Traced, second: Traced) -> Traced:
    """The first scan, less sure if a second one of the same part, turned on the glass, differs by more than both state.

    Widths of holes and distances between them do not turn with the part: what differs is the scanner's doing.
    """
    own = [f"the second scan: {text}" for text in second.warnings if text not in first.warnings]
    first = replace(first, warnings=(*first.warnings, *own))
    mine, other = _lengths(first.parts[0]), _lengths(second.parts[0])
    if not mine and not other:
        text = "the part has no round hole by which two scans are compared: the second one changes nothing"
        return replace(first, warnings=(*first.warnings, text))
    if len(mine) != len(other):
        counts = f"{len(second.parts[0].holes)} holes, the first {len(first.parts[0].holes)}"
        text = f"the second scan shows {counts}: is it the same part?"
        return replace(first, warnings=(*first.warnings, text))
    pairs = list(zip(mine, other, strict=True))
    off, a, b = max((abs(a.value - b.value) / a.value, a.value, b.value) for a, b in pairs)
    text = f"the two scans differ by {off * 100:.2f} % at most ({a:.3f} and {b:.3f} mm)"
    # Against what is stated of a difference; all of them go by few scales, so less than that proves nothing better.
    times = sqrt(sum(((a.value - b.value) / hypot(a.sigma, b.sigma)) ** 2 for a, b in pairs) / len(pairs))
    if times > 1:
        text += f", {times:.1f} times what was to be expected: all ranges are that much wider"
        first = _wider(first, times)
    return replace(first, warnings=(*first.warnings, text))


def _wider(traced: Traced, times: float) -> Traced:
    scale = traced.scale
    wider = (
        replace(scale, sigma=scale.sigma * times)
        if isinstance(scale, Photo)
        else replace(scale, spread=scale.spread.wider(times))
    )
    parts = tuple(replace(part, uncertainty=part.uncertainty.wider(times)) for part in traced.parts)
    return replace(traced, scale=wider, parts=parts)


def _lengths(part: TracedPart) -> list[Measured]:
    """Widths, then distances between centres, each sorted, so that it does not matter how the part lies."""
    widths = sorted((diameter(part, hole) for hole in part.holes), key=lambda one: one.value)
    return widths + sorted((apart for _, _, apart in distances(part)), key=lambda one: one.value)
