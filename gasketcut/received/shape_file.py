"""The one closed line of a drawing that a job file names as a shape."""

from __future__ import annotations

from pathlib import Path

from shapely.geometry import Polygon

from gasketcut.errors import DrawingError
from gasketcut.received.inspection import inspect


def closed_line(file: Path) -> Polygon:
    """Return it in mm; raise `DrawingError` if the drawing has a fault, or not exactly one closed line."""
    try:
        data = file.read_bytes()
    except OSError as error:
        raise DrawingError(f"{file.name}: cannot be read: {error.strerror or error}") from error
    try:
        found = inspect(data)
    except DrawingError as error:
        raise DrawingError(f"{file.name}: {error}") from error
    if found.flaws:
        flaw = next((one for one in found.flaws if one.at is not None), found.flaws[0])
        way = (
            f"gasketcut mend {file.name} -o mended.dxf" if found.verdict == "mend" else f"gasketcut inspect {file.name}"
        )
        raise DrawingError(f"{file.name}: {flaw.text} ({flaw.kind}); {way} says more")
    lines = [one for one in found.closed if not one.is_mark]
    if len(lines) != 1:
        raise DrawingError(f"{file.name}: holds {len(lines)} closed lines; a shape is exactly one")
    return Polygon(lines[0].contour.flattened())
