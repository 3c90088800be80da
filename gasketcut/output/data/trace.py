"""A traced scan as plain data, and in plain words."""

from __future__ import annotations

from typing import Any

from gasketcut.capture.edges.fitted_edge import segments
from gasketcut.capture.traced import Traced
from gasketcut.capture.traced_part import TracedPart


def trace_data(traced: Traced) -> dict[str, Any]:
    """The first part's numbers, and those of every part under `parts`; lengths in mm."""
    parts = [_part(part) for part in traced.parts]
    return {
        "scale": {
            "source": traced.scale.source,
            "sx": round(traced.scale.sx, 9),
            "sy": round(traced.scale.sy, 9),
            "sigma": traced.scale.sigma,
        },
        **parts[0],
        "parts": parts,
        "proposals": [
            {"kind": one.kind, "text": one.text, "part": one.part, "accepted": one.accepted} for one in traced.proposals
        ],
        "warnings": list(traced.warnings),
    }


def _part(part: TracedPart) -> dict[str, Any]:
    return {
        "contours": 1 + len(part.rings),
        "holes": [
            {
                "name": hole.name,
                "at": [round(hole.circle.center[0], 4), round(hole.circle.center[1], 4)],
                "diameter_mm": round(2 * hole.circle.radius, 4),
                "sigma_mm": round(hole.sigma, 4),
            }
            for hole in part.holes
        ],
        "outline": _outline(part),
        "windows": [
            {
                "name": one.name,
                "at": [round(one.middle[0], 4), round(one.middle[1], 4)],
                "segments": segments(one.edge.contour),
                "deviation_mm": round(one.edge.deviation, 4),
            }
            for one in part.windows
        ],
    }


def _outline(part: TracedPart) -> dict[str, Any]:
    low, high = part.ring.min(axis=0), part.ring.max(axis=0)
    return {
        "segments": segments(part.outline.contour),
        "deviation_mm": round(part.outline.deviation, 4),
        "noise_mm": round(part.outline.noise, 4),
        "size_mm": [round(float(high[0] - low[0]), 4), round(float(high[1] - low[1]), 4)],
        "area_mm2": round(part.outline.contour.area, 3),
    }


def trace_text(traced: Traced, out: str) -> str:
    """For a screen."""
    scale = traced.scale
    rows = [f"{out}: {len(traced.parts)} part{'s' if len(traced.parts) > 1 else ''}, scale by the {scale.source}"]
    rows.append(f"a length is good to {scale.sigma * 100:.2f} %: {scale.sigma * 100:.3f} mm on 100 mm")
    for part in traced.parts:
        outline = _outline(part)
        x, y = outline["size_mm"]
        count, off = outline["segments"], outline["deviation_mm"]
        rows += ["", f"outline {x:.2f} x {y:.2f} mm, {count} lines and arcs within {off:.3f} mm"]
        for hole in part.holes:
            (u, v), width = hole.circle.center, 2 * hole.circle.radius
            rows.append(f"  {hole.name:<3} {width:8.3f} mm +- {hole.sigma:.3f}  at ({u:.2f}, {v:.2f})")
        for window in part.windows:
            (u, v), count, off = window.middle, segments(window.edge.contour), window.edge.deviation
            rows.append(
                f"  {window.name:<3} window of {count} lines and arcs within {off:.3f} mm  at ({u:.2f}, {v:.2f})"
            )
    if traced.proposals:
        rows += ["", "Perhaps meant:"]
        rows += [f"  {'done    ' if one.accepted else 'offered '} {one.kind}: {one.text}" for one in traced.proposals]
        rows.append("  --accept KIND (or all) takes them")
    rows += [f"warn  {one}" for one in traced.warnings]
    rows += ["", "Check a length along and one across with calipers before you cut."]
    return "\n".join(rows)
