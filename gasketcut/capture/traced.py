"""From a picture to a part: edges, scale, true shapes, and the round or equal numbers that may be meant.

Nothing is changed unless it was accepted: a proposal says what was found and what it would become.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from shapely.geometry import Polygon

from gasketcut.capture.edges.rings import Silhouette, edges_in
from gasketcut.capture.image.edge_threshold import edges_at_own_level
from gasketcut.capture.image.flat_field import flat_field
from gasketcut.capture.image.ink import Ink, from_ink
from gasketcut.capture.image.picture_file import PictureError, Scan, read_scan
from gasketcut.capture.known_distance import KnownDistance, compared, scale_by, unequal_scales
from gasketcut.capture.proposals.offers import Proposal
from gasketcut.capture.scale.bare_sheet import bare_photo
from gasketcut.capture.scale.calipers import Moved, calipered
from gasketcut.capture.scale.card import Card, by_card
from gasketcut.capture.scale.dpi import Scale, by_dpi
from gasketcut.capture.scale.photo import STEEPEST, Photo, photo_of
from gasketcut.capture.traced_part import TracedPart, large_residuals, meant, part_of
from gasketcut.job.model import CaliperReading
from gasketcut.profile.fasteners import Fasteners
from gasketcut.profile.profiles import read_profiles

_SPECK = 0.6
"""mm across; smaller rings are dust, no hole that anybody cuts. Our choice."""

_LIKE = 0.2
"""Of the largest silhouette's area: what is that large is a part of its own."""

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


def trace(
    source: bytes | str | Path | Scan,
    *,
    dpi: float | None = None,
    card: bool = False,
    target: bool = False,
    bars: tuple[float, float] | None = None,
    sheet: tuple[float, float] | None = None,
    thick: float = 0.0,
    ink: Ink | None = None,
    along: KnownDistance | None = None,
    across: KnownDistance | None = None,
    check: KnownDistance | None = None,
    calipers: Sequence[CaliperReading] = (),
    fit: float | None = None,
    fasteners: Fasteners | None = None,
    accept: Callable[[Proposal], bool] = lambda _: False,
    on_progress: Callable[[str], None] = lambda _: None,
) -> Traced:
    """The parts in a scan or a photograph; raise `PictureError` for what is no picture, or shows no part.

    source : a PNG, TIFF or JPEG file, its bytes, or one that was read already
    dpi    : in place of what the file says
    card   : a bank card must be there
    target : it is a photograph on the target sheet, whose `bars` measure so much along and across [mm]
    thick  : of the photographed part [mm]
    sheet  : it is a photograph on a bare sheet of this size [mm]
    ink    : lines of ink in place of filled metal, and which of their edges counts
    along  : a distance mostly along x, `across` one along y, each a scale of its own; `check` one more to compare
    calipers : readings of a job, by the names of the holes; they correct the scale and are themselves tested
    fit    : tolerance of the outline [mm], else from its noise
    fasteners : whose clearance holes the holes may be meant to be; None: ours and the user's own
    accept : asked for each proposal
    """
    sizes = fasteners or read_profiles().fasteners
    scan = source if isinstance(source, Scan) else read_scan(source)
    on_progress("looking for edges")
    warnings = list(scan.warnings)
    if target or sheet:
        photo, silhouettes, dust = _from_photo(scan, bars, sheet, warnings)
        if thick > THICKEST:
            # 0.131 mm (straight) to 0.191 mm (tilted by 15 deg) on 64 mm for 0.5 mm, measured by the project.
            larger = f"{0.26 * thick:.2f} to {0.38 * thick:.2f} mm larger on 60 mm"
            warnings.append(f"a part {thick:g} mm thick looks {larger}, its holes smaller: use a scanner")
        corrected, moved = _by_calipers(photo, silhouettes, calipers, warnings)
        return _finished(corrected, silhouettes, dust, warnings, check, fit, sizes, moved, accept, on_progress)
    speck = _SPECK * ((dpi or (scan.dpi[0] if scan.dpi else 150.0)) / 25) * 0.9
    light = flat_field(scan.light, to_rim=True)
    look = partial(edges_in, light, smallest=speck)
    edges = look()
    tag = by_dpi((dpi, dpi), "dpi as given") if dpi else by_dpi(scan.dpi, "dpi of the file") if scan.dpi else None
    use_card = card or not (dpi or along or across)
    scale, room = _scale(by_card(light, edges), tag, card, warnings, use_card=use_card)
    edges = edges.without(room)
    rings = edges.silhouettes[0].rings if edges.silhouettes else ()
    edges = edges_at_own_level(light, edges, rings, lambda level: look(level=level).without(room), warnings)
    silhouettes = edges.silhouettes
    if not silhouettes:
        raise PictureError("there is a card but no part beside it")
    if scale is None and not (along or across):
        raise PictureError(
            "the scale is not known; give --dpi, --along A:B=mm and --across, or lay a bank card beside the part"
        )
    if ink is not None:
        silhouettes = from_ink(silhouettes, ink)
    if edges.cut_off:
        warnings.append("something runs out of the picture; scan it with a margin all round")
    if edges.dust:
        warnings.append(f"{edges.dust} specks of dust or fibre left out")
    if along or across:
        unit = Scale("pixels", 1.0, 1.0, 0.0)
        rough = part_of(silhouettes[0], unit, None, only_holes=True)
        by_readings = scale_by(rough, along, across)
        if scale is not None and max(abs(by_readings.sx / scale.sx - 1), abs(by_readings.sy / scale.sy - 1)) > _AGREE:
            worst = max(abs(by_readings.sx / scale.sx - 1), abs(by_readings.sy / scale.sy - 1))
            warnings.append(f"your readings and the {scale.source} contradict each other by {worst * 100:.1f} %")
        scale = by_readings
    assert scale is not None
    corrected, moved = _by_calipers(scale, silhouettes, calipers, warnings)
    return _finished(corrected, silhouettes, edges.dust, warnings, check, fit, sizes, moved, accept, on_progress)


def _by_calipers(
    scale: Scale | Photo, silhouettes: tuple[Silhouette, ...], calipers: Sequence[CaliperReading], warnings: list[str]
) -> tuple[Scale | Photo, Moved | None]:
    """The scale corrected by the readings of a job, and the hole that they put elsewhere."""
    if not calipers:
        return scale, None
    rough = part_of(silhouettes[0], scale, None, only_holes=True)
    found = calipered({hole.name: hole.circle for hole in rough.holes}, calipers, scale.sigma)
    warnings += found.words
    if isinstance(scale, Photo):
        stretch = (scale.stretch[0] * found.fx, scale.stretch[1] * found.fy)
        photo = replace(scale, stretch=stretch, sx=scale.sx * found.fx, sy=scale.sy * found.fy, sigma=found.sigma)
        return photo, found.moved
    return replace(scale, sx=scale.sx * found.fx, sy=scale.sy * found.fy, sigma=found.sigma), found.moved


def _from_photo(
    scan: Scan, bars: tuple[float, float] | None, sheet: tuple[float, float] | None, warnings: list[str]
) -> tuple[Photo, tuple[Silhouette, ...], int]:
    """Scale and silhouettes of a photograph; what the user has to know of it goes into `warnings`."""
    warnings[:] = [warning for warning in warnings if "dpi" not in warning]  # a camera knows none
    if sheet is not None:
        look = partial(edges_in, scan.light, smallest=4.0, share=2e-5)
        edges = look()
        rings = edges.silhouettes[0].inner[:1] if edges.silhouettes else ()
        edges = edges_at_own_level(scan.light, edges, rings, lambda level: look(level=level), warnings)
        photo, silhouettes = bare_photo(edges, scan.light.shape, sheet)
        warnings.append("paper is cut to a millimetre or two: gasketcut target, with its bars measured, is better")
    else:
        light = flat_field(scan.light, to_rim=False)
        look = partial(edges_in, light, smallest=4.0, on_sheet=True)
        edges = look()
        rings = edges.silhouettes[0].rings if edges.silhouettes else ()
        edges = edges_at_own_level(light, edges, rings, lambda level: look(level=level), warnings)
        photo, silhouettes = photo_of(edges, scan.light.shape, bars)
    if not silhouettes:
        raise PictureError("nothing lies in the middle of the sheet; lay the part there, clear of any dots")
    if bars is None and sheet is None:
        warnings.append(
            "nobody has measured the bars of the print: give --bars ALONGxACROSS, as printers may be 1 % off"
        )
    what = "the edges" if sheet else "the dots"
    warnings.append(
        f"{what} lie within {photo.off:.3f} mm; the sheet is tilted by about {photo.tilt:.0f} deg; "
        "0.5 mm of thickness makes an outline of 60 mm look 0.1 to 0.2 mm larger"
    )
    if photo.tilt > STEEPEST:
        warnings.append(f"tilted by more than {STEEPEST:.0f} deg: photograph it from straight above, or use a scanner")
    return photo, silhouettes, edges.dust


def _finished(
    scale: Scale | Photo,
    silhouettes: tuple[Silhouette, ...],
    dust: int,
    warnings: list[str],
    check: KnownDistance | None,
    fit: float | None,
    fasteners: Fasteners,
    moved: Moved | None,
    accept: Callable[[Proposal], bool],
    on_progress: Callable[[str], None],
) -> Traced:
    """The silhouettes as parts, what may be meant by them, and the warnings."""
    large = [one for one in silhouettes if one.area > _LIKE * silhouettes[0].area]
    on_progress("fitting circles, lines and arcs")
    parts = [part_of(one, scale, fit) for one in large]
    if len(parts) > 1:
        warnings.append(f"{len(parts)} parts in one picture: each becomes a part of its own")
    warnings += unequal_scales(parts[0], scale)
    warnings += [warning for part in parts for warning in large_residuals(part)]
    if check is not None:
        warnings.append(compared(parts[0], check))
    proposals, done = [], []
    for number, part in enumerate(parts):
        made, offered, notes = meant(part, number, scale.sigma, fit, fasteners, moved if number == 0 else None, accept)
        proposals += offered
        warnings += notes
        done.append(made)
    return Traced(scale, tuple(done), tuple(proposals), tuple(warnings), dust)


def _scale(
    found: Card | None, tag: Scale | None, asked: bool, warnings: list[str], *, use_card: bool
) -> tuple[Scale | None, Polygon | None]:
    """The scale without the user's readings, and where a card lies that is no part.

    tag      : the scale by the dpi, if any
    asked    : the user says that there is a card
    use_card : the scale is to come from it, if there is one
    """
    if found is None:
        if asked:
            raise PictureError("no bank card in the picture; lay it beside the part, not touching it, or give --dpi")
        return tag, None
    by = found.scale
    if tag is not None and max(abs(by.sx / tag.sx - 1), abs(by.sy / tag.sy - 1)) > _AGREE:
        off = max(abs(by.sx / tag.sx - 1), abs(by.sy / tag.sy - 1)) * 100
        warnings.append(f"the card and the {tag.source} contradict each other by {off:.1f} %")
        if not use_card:
            return tag, None  # perhaps it is no card
    return (by if use_card else tag), found.room


def accepting(kinds: Collection[str]) -> Callable[[Proposal], bool]:
    """Accepts the kinds named, or all."""
    return lambda one: "all" in kinds or one.kind in kinds
