"""A traced scan as plain data, in plain words, and as a picture with what was fitted laid over it."""

from __future__ import annotations

import base64
import io
from typing import Any
from xml.sax.saxutils import escape

import numpy as np
from PIL import Image

from gasketcut.capture.edges.fitted_edge import segments
from gasketcut.capture.edges.rings import nearest_on
from gasketcut.capture.image.picture_file import Scan
from gasketcut.capture.scale.photo import Photo
from gasketcut.capture.scale.target import SIZE
from gasketcut.capture.traced import Traced
from gasketcut.capture.traced_part import TracedPart
from gasketcut.shape.loop import Contour

_MAGNIFIED = 50.0
_WIDEST = 1600  # pixels of the picture under the lines


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


def overlay_svg(scan: Scan, traced: Traced, title: str) -> bytes:
    """The scan, what was fitted over it, and how far the edge seen is off that, 50 times as large."""
    is_photo = isinstance(traced.scale, Photo)  # bent: its pixels do not lie where its parts do
    width, height = SIZE if is_photo else (scan.light.shape[1] * traced.scale.sx, scan.light.shape[0] * traced.scale.sy)
    rows = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="{width:.2f}mm" '
        f'height="{height:.2f}mm" viewBox="0 0 {width:.2f} {height:.2f}" '
        'font-family="DejaVu Sans, Verdana, sans-serif">',
        f"<title>{escape(title)}</title>",
        "" if is_photo else _image(scan, width, height),
    ]
    for part in traced.parts:
        x, y = part.middle[0], part.middle[1] + (height if is_photo else 0.0)
        rows.append(f'<g transform="translate({x:.4f} {y:.4f}) scale(1 -1)" fill="none" stroke-width="0.12">')
        for ring, contour in zip((part.ring, *part.rings), part.contours, strict=True):
            rows.append(_path([*contour.flattened(0.01)], '#b03000" stroke-width="0.25'))
            rows.append(_path(_residual(ring, contour), "#004a8f"))
        rows.append("</g>")
        names = [(hole.name, hole.circle.center) for hole in part.holes]
        names += [(one.name, one.middle) for one in part.windows]
        for name, (right, up) in names:
            u, v = x + right, y - up
            rows.append(f'<text x="{u:.2f}" y="{v + 1.2:.2f}" font-size="3.5" text-anchor="middle">{name}</text>')
    words = f"thick, red: fitted; thin, blue: the edge seen, its distance x{_MAGNIFIED:.0f}"
    rows.append(f'<text x="2" y="{height - 2:.2f}" font-size="3">{words}</text>')
    return ("\n".join([*rows, "</svg>"]) + "\n").encode()


def _image(scan: Scan, width: float, height: float) -> str:
    light = scan.light
    step = max(1, int(np.ceil(max(light.shape) / _WIDEST)))
    grey = (np.clip(light[::step, ::step], 0, 1) ** (1 / 2.2) * 255).astype(np.uint8)
    stream = io.BytesIO()
    Image.fromarray(grey).save(stream, "PNG")
    return (
        f'<image width="{width:.2f}" height="{height:.2f}" opacity="0.45" preserveAspectRatio="none" '
        f'xlink:href="data:image/png;base64,{base64.b64encode(stream.getvalue()).decode()}"/>'
    )


def _path(points: list[tuple[float, float]], colour: str) -> str:
    return f'<path stroke="{colour}" d="M{" L".join(f"{x:.3f} {y:.3f}" for x, y in points)} Z"/>'


def _residual(ring: Any, contour: Contour) -> list[tuple[float, float]]:
    """The ring with its distance from the contour magnified."""
    points = ring[:: max(1, len(ring) // 800)]
    feet = nearest_on(np.array(contour.flattened(0.002)), points)
    return [(float(x), float(y)) for x, y in feet + (points - feet) * _MAGNIFIED]
