"""The traced parts as a job file that a person can go on with."""

from __future__ import annotations

from math import hypot

from gasketcut.capture.proposals.shape_words import cut_rows, shape_words
from gasketcut.capture.scale.photo import Photo
from gasketcut.capture.traced import Traced
from gasketcut.capture.traced_part import TracedHole, TracedPart
from gasketcut.capture.uncertainty.figures import diameter, place, scales


def job_text(traced: Traced, title: str) -> str:
    """TOML; each part of kind flat, its outline about the middle."""
    side = "that faced the camera" if isinstance(traced.scale, Photo) else "that lay on the glass"
    rows = [
        f"# Seen from the side {side}.",
        f"# Traced by the {traced.scale.source}; 100 mm are good to +- {_unsure(traced):.2f} mm.",
        "# +- is what the true figure lies within 95 times in 100, the scale's own share in it.",
        "# Check at least one length along and one across with calipers before you cut.",
        f'title = "{_plain(title)}"',
        'units = "mm"',
    ]
    for number, part in enumerate(traced.parts):
        name = "traced" if len(traced.parts) == 1 else f"traced-{number + 1}"
        bolts = {
            n: one.bolt
            for one in traced.proposals
            if one.accepted and one.bolt and one.part == number
            for n in one.holes
        }
        rows += ["", *_part(part, name, {part.holes[n].name: bolt for n, bolt in bolts.items()})]
    return "\n".join(rows) + "\n"


def _unsure(traced: Traced) -> float:
    """mm on 100 mm along the less sure way."""
    return max(100 * one.half_range / one.value for one in scales(traced.scale))


def _part(part: TracedPart, name: str, bolts: dict[str, str]) -> list[str]:
    """bolts : size and fit of each hole accepted as a bolt's clearance hole, by name: it becomes a stud."""
    bore = _bore(part)
    holes = [hole for hole in part.holes if hole is not bore and hole.name not in bolts]
    studs = [hole for hole in part.holes if hole is not bore and hole.name in bolts]
    rows = ["[[part]]", f'name = "{name}"', 'kind = "flat"']
    rows.append(f"outline = {shape_words(part.outline.contour)}  # within {part.outline.deviation:.3f} mm")
    if bore is not None:
        rows.append(f"opening = {shape_words(bore.circle)}  # {bore.name}, +- {diameter(part, bore).half_range:.3f}")
    if studs:
        rows.append("studs = [")
        for hole in studs:
            (x, y), (size, fit) = hole.circle.center, bolts[hole.name].rsplit(" ", 1)
            uncertainty = hypot(*(one.half_range for one in place(part, hole)))
            at = f"at = [[{x:.3f}, {y:.3f}]]"
            rows.append(f'  {{ {at}, size = "{size}", fit = "{fit}", tolerance = {uncertainty:.3f} }},  # {hole.name}')
        rows.append("]")
    if holes:
        rows.append("holes = [")
        for hole in holes:
            x, y = hole.circle.center
            rows.append(f"  {{ at = [[{x:.3f}, {y:.3f}]], diameter = {2 * hole.circle.radius:.3f} }},"
                        f"  # {hole.name}, +- {diameter(part, hole).half_range:.3f}")  # fmt: skip
        rows.append("]")
    for window in part.windows:
        rows += ["", "[[part.port]]", f'name = "{window.name}"']
        rows += [
            *cut_rows(window.edge.contour),
            f"# within {window.edge.deviation:.3f} mm; the sheet's opening, not the metal's:",
        ]
        rows.append("# when the port is measured in the metal, add it here: shape = { ... }, at and turn are the same")
    return rows


def _bore(part: TracedPart) -> TracedHole | None:
    """The largest round hole, if it is the part's opening: much larger than the next."""
    by_size = sorted(part.holes, key=lambda hole: -hole.circle.radius)
    if not by_size or part.windows:
        return None
    if len(by_size) > 1 and by_size[0].circle.radius < 1.4 * by_size[1].circle.radius:
        return None
    return by_size[0]


def _plain(text: str) -> str:
    return (
        "".join(letter if letter.isprintable() and letter not in '"\\' else " " for letter in text)[:100].strip()
        or "Traced"
    )
