"""One finding enlarged: the place itself, the sheet as it may shift, what hangs into the gas, and what to do."""

from __future__ import annotations

from collections.abc import Sequence

from gasketcut.evaluation.part_result import PartResult
from gasketcut.finding import Finding
from gasketcut.output.picture import Picture
from gasketcut.output.text.finding import place_words
from gasketcut.pages.charts.view import View
from gasketcut.pages.columns import paragraph

WIDE, HIGH = 58.0, 46.0
"""mm; of the frame of an enlarged place."""

_GAP = 5.0
_SCALES = (2.0, 5.0, 10.0, 20.0, 50.0)
_SHOWN = 4.0
"""mm on the picture that what was found should take at least."""

Numbered = tuple[int, Finding]


def details_picture(result: PartResult, said: Sequence[Numbered], width: float) -> Picture:
    """One row a finding: its place enlarged at the left, its words at the right."""
    high = len(said) * (HIGH + _GAP)
    picture = Picture(width, high, f"{result.name}: findings enlarged", result.units)
    for row, (number, finding) in enumerate(said):
        top = high - row * (HIGH + _GAP)
        scale = _scale(finding)
        _place(picture, result, finding, scale, top)
        _words(picture, result, number, finding, scale, top)
    return picture


def _scale(finding: Finding) -> float:
    """The least that shows what was found; what is no length is shown at the least."""
    found = abs(finding.found or 0.0) if finding.unit == "mm" else 0.0
    if not found:
        return _SCALES[1]
    return next((scale for scale in _SCALES if found * scale >= _SHOWN), _SCALES[-1])


def _place(picture: Picture, result: PartResult, finding: Finding, scale: float, top: float) -> None:
    frame = (0.0, top - HIGH, WIDE, top)
    x, y = finding.at or (0.0, 0.0)
    view = View(picture, (WIDE / 2 - x * scale, top - HIGH / 2 - y * scale), scale, frame)
    part, ghost = result.part, result.clearance_of(finding)
    sheet = part.solid if ghost is None or ghost.worst is None else ghost.worst.sheet
    view.filled(sheet, 0.9)
    view.outline(part.solid, 0.5)
    for window in part.flange_openings:
        view.outline(window.shape, 0.25, (0.8, 0.8))
    if sheet is not part.solid:
        view.outline(sheet, 0.3, (2.4, 1.2), 0.35)
    for window in part.flange_openings:
        view.hatched(sheet.intersection(window.shape))
    middle = (WIDE / 2, top - HIGH / 2)
    picture.line((middle[0] - 1.5, middle[1]), (middle[0] + 1.5, middle[1]), width=0.3)
    picture.line((middle[0], middle[1] - 1.5), (middle[0], middle[1] + 1.5), width=0.3)
    left, low, right, high = frame
    picture.line((left, low), (right, low), (right, high), (left, high), (left, low), width=0.2)


def _words(picture: Picture, result: PartResult, number: int, finding: Finding, scale: float, top: float) -> None:
    x, width = WIDE + _GAP, picture.width - WIDE - _GAP
    y = top - paragraph(picture, (x, top), f"{number}  {finding.rule}", width, 9, bold=True)
    stop = "" if finding.text.endswith("?") else "."
    y -= paragraph(picture, (x, y), f"{finding.text[:1].upper()}{finding.text[1:]}{stop}", width, 8)
    if finding.at is not None:
        unit = "" if result.units == "in" else " mm"
        y -= paragraph(
            picture, (x, y), f"Where: {place_words(finding.at, result.units)}{unit}, at the cross.", width, 8
        )
    y -= paragraph(picture, (x, y), f"Do: {finding.do}.", width, 8)
    lines = "grey: the sheet; solid: as drawn; short dashes: in the metal"
    lines += "; long dashes: as it may shift" if result.clearance_of(finding) is not None else ""
    paragraph(picture, (x, y - 1.0), f"Drawn {scale:g} : 1; {lines}; hatched: in the way of the gas.", width, 7)
