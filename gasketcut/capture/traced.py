"""A scan to a part: rings, scale, true shapes, and what numbers may be meant that are nearly round or equal.

Nothing is changed unless it was accepted: a proposal says what was found and what it would become.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from math import hypot

import numpy as np
from shapely.geometry import Polygon

from gasketcut.capture.edges.rings import Figure, seen_in
from gasketcut.capture.image.edge_threshold import seen_at_own_level
from gasketcut.capture.image.flat_field import flat_fielded
from gasketcut.capture.image.ink import Ink, from_ink
from gasketcut.capture.image.picture_file import PictureError, Scan
from gasketcut.capture.proposals.offers import Proposal
from gasketcut.capture.scale.bare_sheet import bare_photo
from gasketcut.capture.scale.calipers import Moved, calipered
from gasketcut.capture.scale.card import Card, by_card
from gasketcut.capture.scale.dpi import CALIBRATED, Scale, by_dpi
from gasketcut.capture.scale.photo import STEEPEST, Photo, photo_of
from gasketcut.capture.traced_part import TracedPart, large_residuals, meant, part_of
from gasketcut.job.model import Distance as Reading
from gasketcut.plane import Point
from gasketcut.profile.fasteners import Fasteners
from gasketcut.profile.profiles import read_profiles

_SPECK = 0.6
"""mm across; smaller rings are dust, no hole that anybody cuts. Our choice."""

_LIKE = 0.2
"""Of the largest figure's area: what is that large is a part of its own."""

THICKEST = 0.5
"""mm; a thicker part shows its upper edge too far out in a photograph. Measured by the project."""

_AGREE = 0.01
"""Two scales that differ by more than this contradict each other."""


@dataclass(frozen=True, slots=True)
class Traced:
    """All parts of the picture with the scale they were measured by."""

    scale: Scale | Photo
    parts: tuple[TracedPart, ...]
    proposals: tuple[Proposal, ...]
    warnings: tuple[str, ...]
    dust: int


@dataclass(frozen=True, slots=True)
class Distance:
    """What the user measured: between two holes, or `left:right`, `bottom:top` of the outline [mm]."""

    first: str
    second: str
    mm: float


def trace_scan(
    scan: Scan,
    *,
    dpi: float | None = None,
    card: bool = False,
    target: bool = False,
    bars: tuple[float, float] | None = None,
    sheet: tuple[float, float] | None = None,
    thick: float = 0.0,
    ink: Ink | None = None,
    along: Distance | None = None,
    across: Distance | None = None,
    check: Distance | None = None,
    calipers: Sequence[Reading] = (),
    fit: float | None = None,
    fasteners: Fasteners | None = None,
    accept: Callable[[Proposal], bool] = lambda _: False,
    on_progress: Callable[[str], None] = lambda _: None,
) -> Traced:
    """Find the parts in the scan.

    dpi    : in place of what the file says
    card   : a bank card must be there
    target : it is a photograph on the target sheet, whose `bars` measure so much along and across [mm]
    thick  : of the photographed part [mm]
    sheet  : it is a photograph on a bare sheet of this size [mm]
    ink    : lines of ink in place of filled metal, and which of their edges counts
    along  : a distance mostly along x, `across` one along y, each a scale of its own; `check` one more to compare
    calipers : readings of a job, by the names of the holes; they put the scale right and are themselves tested
    fit    : tolerance of the outline [mm], else from its noise
    fasteners : whose clearance holes the holes may be meant to be; None: ours and the user's own
    accept : asked for each proposal
    """
    sizes = fasteners or read_profiles().fasteners
    on_progress("looking for edges")
    warnings = list(scan.warnings)
    if target or sheet:
        photo, figures, dust = _from_photo(scan, bars, sheet, warnings)
        if thick > THICKEST:
            # 0.131 mm (straight) to 0.191 mm (tilted by 15 deg) on 64 mm for 0.5 mm, measured by the project.
            said = f"a part {thick:g} mm thick looks {0.26 * thick:.2f} to {0.38 * thick:.2f} mm larger on 60 mm"
            warnings.append(f"{said}, its holes smaller: use a scanner")
        right, moved = _by_calipers(photo, figures, calipers, warnings)
        return _finished(right, figures, dust, warnings, check, fit, sizes, moved, accept, on_progress)
    speck = _SPECK * ((dpi or (scan.dpi[0] if scan.dpi else 150.0)) / 25) * 0.9
    light = flat_fielded(scan.light, to_rim=True)
    look = partial(seen_in, light, smallest=speck)
    seen = look()
    tag = by_dpi((dpi, dpi), "dpi as given") if dpi else by_dpi(scan.dpi, "dpi of the file") if scan.dpi else None
    wants_card = card or not (dpi or along or across)
    scale, room = _scale(by_card(light, seen), tag, card, warnings, wants_card=wants_card)
    seen = seen.without(room)
    edges = seen.figures[0].rings if seen.figures else ()
    seen = seen_at_own_level(light, seen, edges, lambda level: look(level=level).without(room), warnings)
    figures = seen.figures
    if not figures:
        raise PictureError("there is a card but no part beside it")
    if scale is None and not (along or across):
        raise PictureError(
            "the scale is not known; give --dpi, --along A:B=mm and --across, or lay a bank card beside the part"
        )
    if ink is not None:
        figures = from_ink(figures, ink)
    if seen.cut_off:
        warnings.append("something runs out of the picture; scan it with a margin all round")
    if seen.dust:
        warnings.append(f"{seen.dust} specks of dust or fibre left out")
    if along or across:
        unit = Scale("pixels", 1.0, 1.0, 0.0)
        rough = part_of(figures[0], unit, None, only_holes=True)
        told = _by_distances(rough, along, across)
        if scale is not None and max(abs(told.sx / scale.sx - 1), abs(told.sy / scale.sy - 1)) > _AGREE:
            worst = max(abs(told.sx / scale.sx - 1), abs(told.sy / scale.sy - 1))
            warnings.append(f"your readings and the {scale.source} contradict each other by {worst * 100:.1f} %")
        scale = told
    assert scale is not None
    right, moved = _by_calipers(scale, figures, calipers, warnings)
    return _finished(right, figures, seen.dust, warnings, check, fit, sizes, moved, accept, on_progress)


def _by_calipers(
    scale: Scale | Photo, figures: tuple[Figure, ...], calipers: Sequence[Reading], warnings: list[str]
) -> tuple[Scale | Photo, Moved | None]:
    """The scale put right by the readings of a job, and the hole that they put elsewhere."""
    if not calipers:
        return scale, None
    rough = part_of(figures[0], scale, None, only_holes=True)
    found = calipered({hole.name: hole.circle for hole in rough.holes}, calipers, scale.sigma)
    warnings += found.words
    if isinstance(scale, Photo):
        stretch = (scale.stretch[0] * found.fx, scale.stretch[1] * found.fy)
        photo = replace(scale, stretch=stretch, sx=scale.sx * found.fx, sy=scale.sy * found.fy, sigma=found.sigma)
        return photo, found.moved
    return replace(scale, sx=scale.sx * found.fx, sy=scale.sy * found.fy, sigma=found.sigma), found.moved


def _from_photo(
    scan: Scan, bars: tuple[float, float] | None, sheet: tuple[float, float] | None, warnings: list[str]
) -> tuple[Photo, tuple[Figure, ...], int]:
    """Scale and figures of a photograph, with what is to be said of it."""
    warnings[:] = [warning for warning in warnings if "dpi" not in warning]  # a camera knows none
    if sheet is not None:
        look = partial(seen_in, scan.light, smallest=4.0, share=2e-5)
        seen = look()
        edges = seen.figures[0].inner[:1] if seen.figures else ()
        seen = seen_at_own_level(scan.light, seen, edges, lambda level: look(level=level), warnings)
        photo, figures = bare_photo(seen, scan.light.shape, sheet)
        warnings.append("paper is cut to a millimetre or two: gasketcut target, with its bars measured, is better")
    else:
        light = flat_fielded(scan.light, to_rim=False)
        look = partial(seen_in, light, smallest=4.0, on_sheet=True)
        seen = look()
        edges = seen.figures[0].rings if seen.figures else ()
        seen = seen_at_own_level(light, seen, edges, lambda level: look(level=level), warnings)
        photo, figures = photo_of(seen, scan.light.shape, bars)
    if not figures:
        raise PictureError("nothing lies in the middle of the sheet; lay the part there, clear of any dots")
    if bars is None and sheet is None:
        warnings.append("nobody has measured the bars of the print: give --bars ALONGxACROSS, printers lie by 1 %")
    what = "the edges" if sheet else "the dots"
    warnings.append(
        f"{what} come out within {photo.off:.3f} mm; the sheet is tilted by about {photo.tilt:.0f} deg; "
        "0.5 mm of thickness makes an outline of 60 mm look 0.1 to 0.2 mm larger"
    )
    if photo.tilt > STEEPEST:
        warnings.append(f"tilted by more than {STEEPEST:.0f} deg: photograph it from straight above, or use a scanner")
    return photo, figures, seen.dust


def _finished(
    scale: Scale | Photo,
    figures: tuple[Figure, ...],
    dust: int,
    warnings: list[str],
    check: Distance | None,
    fit: float | None,
    fasteners: Fasteners,
    moved: Moved | None,
    accept: Callable[[Proposal], bool],
    on_progress: Callable[[str], None],
) -> Traced:
    """The figures as parts, what might be meant, and what is to be said."""
    large = [one for one in figures if one.area > _LIKE * figures[0].area]
    on_progress("fitting circles, lines and arcs")
    parts = [part_of(one, scale, fit) for one in large]
    if len(parts) > 1:
        warnings.append(f"{len(parts)} parts in one picture: each becomes a part of its own")
    warnings += _bore_check(parts[0], scale)
    warnings += [warning for part in parts for warning in large_residuals(part)]
    if check is not None:
        warnings.append(_checked(parts[0], check))
    proposals, done = [], []
    for number, part in enumerate(parts):
        made, said, words = meant(part, number, scale.sigma, fit, fasteners, moved if number == 0 else None, accept)
        proposals += said
        warnings += words
        done.append(made)
    return Traced(scale, tuple(done), tuple(proposals), tuple(warnings), dust)


def _scale(
    found: Card | None, tag: Scale | None, wanted: bool, warnings: list[str], *, wants_card: bool
) -> tuple[Scale | None, Polygon | None]:
    """The scale without the user's readings, and where a card lies that is no part.

    tag    : the scale by the dpi, if any
    wanted : the user says that there is a card
    """
    if found is None:
        if wanted:
            raise PictureError("no bank card is to be seen; lay it beside the part, not touching it, or give --dpi")
        return tag, None
    by = found.scale
    if tag is not None and max(abs(by.sx / tag.sx - 1), abs(by.sy / tag.sy - 1)) > _AGREE:
        off = max(abs(by.sx / tag.sx - 1), abs(by.sy / tag.sy - 1)) * 100
        warnings.append(f"the card and the {tag.source} contradict each other by {off:.1f} %")
        if not wants_card:
            return tag, None  # perhaps it is no card
    return (by if wants_card else tag), found.room


def _span(part: TracedPart, distance: Distance) -> Point:
    """From the first to the second, along x and y."""
    left, low, right, high = Polygon(part.ring).bounds
    if (distance.first, distance.second) == ("left", "right"):
        return right - left, 0.0
    if (distance.first, distance.second) == ("bottom", "top"):
        return 0.0, high - low
    known: Mapping[str, Point] = {hole.name: hole.circle.center for hole in part.holes}
    for name in (distance.first, distance.second):
        if name not in known:
            names = ", ".join(known) or "none"
            raise PictureError(f"there is no hole {name}; known are {names}, and left:right and bottom:top")
    (x, y), (u, v) = known[distance.first], known[distance.second]
    return u - x, v - y


def _by_distances(part: TracedPart, along: Distance | None, across: Distance | None) -> Scale:
    """Two readings give both scales: (sx dx)^2 + (sy dy)^2 = d^2 for each."""
    rows = [(*_span(part, one), one.mm) for one in (along, across) if one is not None]
    if any(hypot(dx, dy) == 0 for dx, dy, _ in rows):
        raise PictureError("a distance from a hole to itself is no scale")
    if len(rows) == 1:
        dx, dy, mm = rows[0]
        s = mm / hypot(dx, dy)
        return Scale("calipers", s, s, CALIBRATED)
    matrix = np.array([[dx * dx, dy * dy] for dx, dy, _ in rows])
    if abs(np.linalg.det(matrix)) < 0.05 * float(np.prod(np.linalg.norm(matrix, axis=1))):
        raise PictureError("both distances lie the same way; take one along the picture and one across")
    squares = np.linalg.solve(matrix, np.array([mm * mm for _, _, mm in rows]))
    if (squares <= 0).any() or not 0.8 < (squares[0] / squares[1]) ** 0.5 < 1.25:
        raise PictureError("the two distances contradict each other: no scanner stretches that much; measure again")
    sx, sy = np.sqrt(squares)
    return Scale("calipers", float(sx), float(sy), CALIBRATED)


def _bore_check(part: TracedPart, scale: Scale | Photo) -> list[str]:
    """A large hole that is wider one way tells of unequal scales, if it is round."""
    if not part.holes or isinstance(scale, Photo) or scale.source == "calipers":
        return []
    largest = max(range(len(part.holes)), key=lambda n: part.holes[n].circle.radius)
    points, circle = part.rings[largest], part.holes[largest].circle
    spokes = points - circle.center
    turn = np.arctan2(spokes[:, 1], spokes[:, 0])
    off = np.hypot(*spokes.T) - circle.radius
    wider = 4 * float(np.mean(off * np.cos(2 * turn))) / (2 * circle.radius)
    if circle.radius < 8 or abs(wider) < 0.0008:
        return []
    name, way = part.holes[largest].name, "x" if wider > 0 else "y"
    return [
        f"hole {name} is {abs(wider) * 100:.2f} % wider along {way}; if it is round, the scanner is not: "
        "give --along and --across"
    ]


def _checked(part: TracedPart, check: Distance) -> str:
    found = hypot(*_span(part, check))
    said = f"{found:.3f} mm in the picture, {check.mm:.3f} by caliper, {found - check.mm:+.3f}"
    return f"check {check.first}:{check.second}: {said}"


def accepting(kinds: Collection[str]) -> Callable[[Proposal], bool]:
    """Accepts the kinds named, or all."""
    return lambda one: "all" in kinds or one.kind in kinds
