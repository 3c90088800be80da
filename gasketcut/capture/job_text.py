"""The traced parts as a job file that a person can go on with."""

from __future__ import annotations

from math import hypot

from gasketcut.capture.fitted import Fitted
from gasketcut.capture.traced import Traced
from gasketcut.capture.traced_part import Hole, TracedPart
from gasketcut.shape.loop import Circle, Loop


def job_text(traced: Traced, title: str) -> str:
    """TOML; each part of kind flat, its outline about the middle."""
    rows = [
        f"# Traced by the {traced.scale.source}; a length is good to {traced.scale.sigma * 100:.2f} %.",
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
        rows += ["", *_part(part, name, {part.holes[n].name: bolt for n, bolt in bolts.items()}, traced.scale.sigma)]
    return "\n".join(rows) + "\n"


def _part(part: TracedPart, name: str, bolts: dict[str, str], sigma: float) -> list[str]:
    """bolts : size and fit of each hole that was taken for a bolt's clearance, by name: it becomes a stud."""
    bore = _bore(part)
    holes = [hole for hole in part.holes if hole is not bore and hole.name not in bolts]
    studs = [hole for hole in part.holes if hole is not bore and hole.name in bolts]
    rows = ["[[part]]", f'name = "{name}"', 'kind = "flat"', "set_back = 0"]
    rows.append(f"outline = {_shape(part.outline)}  # within {part.outline.deviation:.3f} mm")
    if bore is not None:
        rows.append(f"opening = {_round(bore.circle)}  # {bore.name}, +- {bore.sigma:.3f}")
    if studs:
        rows.append("studs = [")
        for hole in studs:
            (x, y), (size, fit) = hole.circle.center, bolts[hole.name].rsplit(" ", 1)
            doubt = 2 * hypot(hypot(x, y) * sigma, 0.005)
            at = f"at = [[{x:.3f}, {y:.3f}]]"
            rows.append(f'  {{ {at}, size = "{size}", fit = "{fit}", tolerance = {doubt:.3f} }},  # {hole.name}')
        rows.append("]")
    if holes:
        rows.append("holes = [")
        for hole in holes:
            x, y = hole.circle.center
            rows.append(f"  {{ at = [[{x:.3f}, {y:.3f}]], diameter = {2 * hole.circle.radius:.3f} }},"
                        f"  # {hole.name}, +- {hole.sigma:.3f}")  # fmt: skip
        rows.append("]")
    for number, opening in enumerate(part.openings):
        rows += ["", "[[part.port]]", f'name = "opening-{number + 1}"']
        rows.append(f"shape = {_shape(opening)}  # within {opening.deviation:.3f} mm")
    return rows


def _bore(part: TracedPart) -> Hole | None:
    """The largest round hole, if it is the part's opening: much larger than the next."""
    by_size = sorted(part.holes, key=lambda hole: -hole.circle.radius)
    if not by_size or part.openings:
        return None
    if len(by_size) > 1 and by_size[0].circle.radius < 1.4 * by_size[1].circle.radius:
        return None
    return by_size[0]


def _shape(fitted: Fitted) -> str:
    if isinstance(fitted.contour, Circle):
        return _round(fitted.contour)
    return _points(fitted.contour)


def _round(circle: Circle) -> str:
    x, y = circle.center
    at = f", at = [{x:.3f}, {y:.3f}]" if abs(x) > 0.0005 or abs(y) > 0.0005 else ""
    return f"{{ round = {2 * circle.radius:.3f}{at} }}"


def _points(loop: Loop) -> str:
    """Points, and a bulge for the arc behind each, 0 for a line."""
    places = [f"[{x:.4f}, {y:.4f}]" for x, y in loop.points]
    bulges = [f"{bulge:.6f}" if bulge else "0" for bulge in loop.bulges]
    lines = [",\n    ".join(", ".join(words[n : n + 5]) for n in range(0, len(words), 5)) for words in (places, bulges)]
    return f"{{ points = [\n    {lines[0]},\n  ], bulges = [\n    {lines[1]},\n  ] }}"


def _plain(text: str) -> str:
    return (
        "".join(letter if letter.isprintable() and letter not in '"\\' else " " for letter in text)[:100].strip()
        or "Traced"
    )
