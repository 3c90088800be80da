"""The traced parts as a job file that a person can go on with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from gasketcut.capture.joining.in_mm import data_in_mm
from gasketcut.capture.roles.rows import part_rows, stock_rows
from gasketcut.capture.roles.said import PartSaid
from gasketcut.capture.scale.photo import Photo
from gasketcut.capture.traced import Traced
from gasketcut.capture.uncertainty.figures import scales
from gasketcut.errors import GasketError
from gasketcut.length import parse_length
from gasketcut.toml.rendered import value_text

_SAME = 0.001
"""mm by which two thicknesses may differ and be one: inches are written with so many places. Our choice."""


def job_text(traced: Traced, title: str, said: Sequence[PartSaid]) -> str:
    """TOML; outlines about the middle.

    said : of each part
    """
    side = "that faced the camera" if isinstance(traced.scale, Photo) else "that lay on the glass"
    face = said[0].face
    rows = [
        f"# The face {face} of the metal, as one looks at it." if face else f"# Seen from the side {side}.",
        f"# Traced by the {traced.scale.source}; 100 mm are good to +- {_unsure(traced):.2f} mm.",
        "# The true figure lies within the +- 95 times in 100; the scale's own share is in it.",
        "# Check at least one length along and one across with calipers before you cut.",
        *(f"# {one.text}" for part in traced.parts for one in part.bridges),
        f"title = {value_text(_plain(title))}",
        'units = "mm"',
        *stock_rows(said[0]),
    ]
    several = len(traced.parts) > 1
    for number, (part, of_it) in enumerate(zip(traced.parts, said, strict=True), 1):
        rows += part_rows(part, of_it, number if several else None)
    return "\n".join(rows) + "\n"


def added_text(job: str, traced: Traced, said: Sequence[PartSaid]) -> str:
    """A job's text with the parts after all that it has, and with their sheet where it has none of that name.

    Raise `GasketError` for a job that is not in mm.
    """
    known = data_in_mm(job).get("stock", [])
    sheets = {sheet.get("name"): sheet.get("thickness") for sheet in (known if isinstance(known, list) else [known])}
    if said[0].stock in sheets:
        said = [_of_sheet(one, sheets[one.stock]) for one in said]
        rows = []
    else:
        rows = stock_rows(said[0])
    several = len(traced.parts) > 1
    for number, (part, of_it) in enumerate(zip(traced.parts, said, strict=True), 1):
        rows += part_rows(part, of_it, number if several else None)
    newline = "\r\n" if "\r\n" in job else "\n"
    return job.rstrip() + newline + newline.join(rows) + newline


def _of_sheet(said: PartSaid, written: object) -> PartSaid:
    """With the thickness that the job gives its sheet; raise `GasketError` where another one was said."""
    if written is None:
        return said
    thickness = parse_length(str(written), "mm")
    if said.thickness is not None and abs(said.thickness - thickness) > _SAME:
        raise GasketError(
            f"--thickness {said.thickness:g}: the job's sheet {said.stock!r} has {thickness:g} mm; leave "
            "--thickness out, or write another --stock"
        )
    return replace(said, thickness=thickness)


def _unsure(traced: Traced) -> float:
    """mm on 100 mm along the less sure way."""
    return max(100 * one.half_range / one.value for one in scales(traced.scale))


def _plain(text: str) -> str:
    return "".join(letter if letter.isprintable() else " " for letter in text)[:100].strip() or "Traced"
