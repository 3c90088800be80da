"""A traced scan as plain data, and in plain words."""

from __future__ import annotations

from typing import Any

from gasketcut.capture.edges.fitted_edge import segments
from gasketcut.capture.measured import Measured
from gasketcut.capture.traced import Traced
from gasketcut.capture.traced_part import TracedPart
from gasketcut.capture.uncertainty.figures import (
    area,
    diameter,
    distances,
    place,
    scales,
    size,
    window_place,
    window_size,
)
from gasketcut.output.data.number import figure_data
from gasketcut.output.traced.edges import edges_data, numbers_of, questions_data, torn_rows

_HOLES = 40
"""Most holes of a part between which every distance is written: 780 of them. Our choice."""


def trace_data(traced: Traced) -> dict[str, Any]:
    """The first part's numbers, and those of every part under `parts`; lengths in mm."""
    parts = [_part(part) for part in traced.parts]
    scale_x, scale_y = scales(traced.scale)
    return {
        "scale": {
            "source": traced.scale.source,
            "sx": figure_data(scale_x, 9),
            "sy": figure_data(scale_y, 9),
        },
        **parts[0],
        "parts": parts,
        "proposals": [
            {"kind": one.kind, "text": one.text, "part": one.part, "accepted": one.accepted} for one in traced.proposals
        ],
        "questions": questions_data(traced),
        "warnings": list(traced.warnings),
    }


def _part(part: TracedPart) -> dict[str, Any]:
    return {
        "contours": 1 + len(part.rings),
        "holes": [
            {
                "name": hole.name,
                "at": [figure_data(one) for one in place(part, hole)],
                "diameter_mm": figure_data(diameter(part, hole)),
            }
            for hole in part.holes
        ],
        "distances": [
            {"from": one.name, "to": other.name, "distance_mm": figure_data(apart)}
            for one, other, apart in (distances(part) if len(part.holes) <= _HOLES else ())
        ],
        "outline": _outline(part),
        "windows": [
            {
                "name": one.name,
                "at": [figure_data(figure) for figure in window_place(part, one)],
                "size_mm": [figure_data(figure) for figure in window_size(part, one)],
                "segments": segments(one.edge.contour),
                "deviation_mm": round(one.edge.deviation, 4),
            }
            for one in part.windows
        ],
        **edges_data(part),
    }


def _outline(part: TracedPart) -> dict[str, Any]:
    return {
        "segments": segments(part.outline.contour),
        "deviation_mm": round(part.outline.deviation, 4),
        "noise_mm": round(part.outline.noise, 4),
        "size_mm": [figure_data(one) for one in size(part)],
        "area_mm2": figure_data(area(part, part.outline.contour), 3),
    }


def trace_text(traced: Traced, out: str) -> str:
    """For a screen."""
    scale = traced.scale
    rows = [f"{out}: {len(traced.parts)} part{'s' if len(traced.parts) > 1 else ''}, scale by the {scale.source}"]
    along, across = (100 * one.half_range / one.value for one in scales(scale))
    rows.append(f"100 mm are good to +- {along:.2f} mm along the picture and +- {across:.2f} mm across it")
    rows.append("the true figure lies within the +- 95 times in 100; the scale's own share is in it")
    for number, part in enumerate(traced.parts, 1):
        x, y = size(part)
        count, off = segments(part.outline.contour), part.outline.deviation
        which = f"part {number}, " if len(traced.parts) > 1 else ""
        rows += ["", f"{which}outline {_stated(x)} x {_stated(y)} mm, {count} lines and arcs within {off:.3f} mm"
                 f"{numbers_of(part)}"]  # fmt: skip
        for hole in part.holes:
            wide, (u, v) = diameter(part, hole), place(part, hole)
            rows.append(f"  {hole.name:<3} {_stated(wide):>18} mm  at ({_stated(u)}, {_stated(v)})")
        for window in part.windows:
            (x, y), (u, v) = window_size(part, window), window_place(part, window)
            count, off = segments(window.edge.contour), window.edge.deviation
            rows.append(f"  {window.name:<3} window of {count} lines and arcs within {off:.3f} mm, {_stated(x)} x "
                        f"{_stated(y)} mm  at ({_stated(u)}, {_stated(v)})")  # fmt: skip
    rows += torn_rows(traced)
    if traced.proposals:
        rows += ["", "Perhaps meant:"]
        rows += [f"  {'done    ' if one.accepted else 'offered '} {one.kind}: {one.text}" for one in traced.proposals]
        rows.append("  --accept KIND (or all) takes them")
    rows += [f"warn  {one}" for one in traced.warnings]
    rows += ["", "Check a length along and one across with calipers before you cut."]
    return "\n".join(rows)


def _stated(one: Measured) -> str:
    return f"{one.value:.3f} +- {one.half_range:.3f}"
