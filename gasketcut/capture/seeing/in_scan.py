"""A scan from a flat bed: dark or bright things on an even ground, the scale by a card, calipers or the dpi."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from shapely.geometry import Polygon

from gasketcut.capture.edges.rings import Silhouette, edges_in
from gasketcut.capture.image.edge_threshold import edges_at_own_level
from gasketcut.capture.image.flat_field import flat_field
from gasketcut.capture.image.ink import from_ink
from gasketcut.capture.image.picture_file import PictureError, Scan
from gasketcut.capture.known_distance import scale_by
from gasketcut.capture.scale.card import Card, by_card
from gasketcut.capture.scale.dpi import Scale, by_dpi
from gasketcut.capture.seeing.lettered import lettered
from gasketcut.capture.seeing.seen import Seen
from gasketcut.capture.settings import TraceSettings
from gasketcut.capture.traced_part import TracedPart
from gasketcut.capture.uncertainty.edge_shift import edge_shift

_SPECK = 0.6
"""mm across; smaller rings are dust, no hole that anybody cuts. Our choice."""

_AGREE = 0.01
"""Two scales that differ by more than this contradict each other."""

_GUESS = by_dpi((300.0, 300.0), "a guess")
"""By which a part is lettered where readings are all there is: what scanners are mostly set to."""


def seen_in_scan(scan: Scan, settings: TraceSettings) -> Seen:
    """Scale and silhouettes; raise `PictureError` for no part, or no scale."""
    warnings = list(scan.warnings)
    dpi = settings.dpi
    speck = _SPECK * ((dpi or (scan.dpi[0] if scan.dpi else 150.0)) / 25) * 0.9
    light = flat_field(scan.light, to_rim=True)
    look = partial(edges_in, light, smallest=speck)
    edges = look()
    tag = by_dpi((dpi, dpi), "dpi as given") if dpi else by_dpi(scan.dpi, "dpi of the file") if scan.dpi else None
    scale, room = _scale(by_card(light, edges), tag, settings, warnings)
    edges = edges.without(room)
    rings = edges.silhouettes[0].rings if edges.silhouettes else ()
    edges = edges_at_own_level(light, edges, rings, lambda level: look(level=level).without(room), warnings)
    silhouettes = edges.silhouettes
    if not silhouettes:
        raise PictureError("there is a card but no part beside it")
    if scale is None and not (settings.along or settings.across):
        raise PictureError(
            "the scale is not known; give --dpi, --along A:B=mm and --across, or lay a bank card beside the part"
        )
    if settings.ink is not None:
        silhouettes = from_ink(silhouettes, settings.ink)
    if edges.cut_off:
        warnings.append("something runs out of the picture; scan it with a margin all round")
    if edges.dust:
        warnings.append(f"{edges.dust} specks of dust or fibre left out")
    if settings.along or settings.across:
        scale = _by_readings(silhouettes[0], scale, settings, warnings)
    assert scale is not None
    return Seen(scale, silhouettes, edges.dust, tuple(warnings), edge_shift(light, silhouettes[0].rings))


def _by_readings(silhouette: Silhouette, before: Scale | None, settings: TraceSettings, warnings: list[str]) -> Scale:
    """The scale by the user's own distances; what contradicts them goes into `warnings`."""

    def corrected(part: TracedPart, so_far: Scale) -> Scale:
        by = scale_by(part, settings.along, settings.across)
        return replace(by, sx=so_far.sx * by.sx, sy=so_far.sy * by.sy)

    scale = lettered(silhouette, before or _GUESS, corrected)
    if before is not None:
        worst = max(abs(scale.sx / before.sx - 1), abs(scale.sy / before.sy - 1))
        if worst > _AGREE:
            warnings.append(f"your readings and the {before.source} contradict each other by {worst * 100:.1f} %")
    return scale


def _scale(
    found: Card | None, tag: Scale | None, settings: TraceSettings, warnings: list[str]
) -> tuple[Scale | None, Polygon | None]:
    """The scale without the user's readings, and where a card lies that is no part.

    tag : the scale by the dpi, if any
    """
    if found is None:
        if settings.card:
            raise PictureError("no bank card in the picture; lay it beside the part, not touching it, or give --dpi")
        return tag, None
    use_card = settings.card or not (settings.dpi or settings.along or settings.across)
    by = found.scale
    if tag is not None and max(abs(by.sx / tag.sx - 1), abs(by.sy / tag.sy - 1)) > _AGREE:
        off = max(abs(by.sx / tag.sx - 1), abs(by.sy / tag.sy - 1)) * 100
        warnings.append(f"the card and the {tag.source} contradict each other by {off:.1f} %")
        if not use_card:
            return tag, None  # perhaps it is no card
    return (by if use_card else tag), found.room
