"""The mended drawing as a DXF, looked through again before anybody gets it."""

from __future__ import annotations

from pathlib import Path

from gasketcut.errors import ReadBackError
from gasketcut.output.dxf import write_contours
from gasketcut.outside import shown
from gasketcut.received.inspection import inspect
from gasketcut.received.mending import Mended


def mended_dxf(mended: Mended, name: str, fit: float) -> bytes:
    """The bytes of an R2000 file in mm; raise `ReadBackError` if it is not what was meant, or not ready."""
    comments = [f"mended: {shown(Path(name).name)}", "units: mm", f"changes: {len(mended.changes)}"]
    data = write_contours(mended.closed, [(one.segments, one.layer) for one in mended.open], comments)
    again = inspect(data, "mm", fit=mended.inspection.settings.fit)
    if again.flaws:
        flaw = again.flaws[0]
        raise ReadBackError(f"{name}: the mended file still has a fault: {flaw.kind}: {flaw.text}; draw it anew")
    before = sorted(one.contour.area for one in mended.inspection.closed)
    after = sorted((one.contour.area, one.contour.length) for one in again.closed)
    if len(before) != len(after) or any(
        abs(a - b) > length * fit + 1e-6 for a, (b, length) in zip(before, after, strict=True)
    ):
        raise ReadBackError(f"{name}: the mended file does not hold the contours of the original")
    return data
