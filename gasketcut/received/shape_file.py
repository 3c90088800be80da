"""The one closed line of a drawing that a job file names as a shape."""

from __future__ import annotations

import shlex
from pathlib import Path

from shapely.geometry import Polygon

from gasketcut.errors import DrawingError, GasketError
from gasketcut.received.inspection import inspect
from gasketcut.received.settings import mend_command


def closed_line(file: Path) -> Polygon:
    """Return it in mm; raise `DrawingError` if the drawing has a fault, or not exactly one closed line."""
    try:
        found = inspect(file)
    except DrawingError as error:
        raise DrawingError(f"{file.name}: {error}") from error
    except GasketError as error:
        raise DrawingError(str(error)) from error
    if found.flaws:
        flaw = next((one for one in found.flaws if one.at is not None), found.flaws[0])
        mends = found.verdict == "mend"
        command = mend_command(file.name, found.settings) if mends else shlex.join(["gasketcut", "inspect", file.name])
        raise DrawingError(f"{file.name}: {flaw.text} ({flaw.kind}); {command} says more")
    lines = [one for one in found.closed if not one.is_mark]
    if len(lines) != 1:
        raise DrawingError(f"{file.name}: holds {len(lines)} closed lines; a shape is exactly one")
    return Polygon(lines[0].contour.flattened())
