"""A scan from a flat bed: things in any shade on an even ground, the scale by a card, calipers or the dpi."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from gasketcut.arrays import Array
from gasketcut.capture.edges.part_edges import edges_of
from gasketcut.capture.edges.rings import Silhouette
from gasketcut.capture.edges.things import Thing, things_on
from gasketcut.capture.image.flat_field import flat_field
from gasketcut.capture.image.ground import Ground, ground_of
from gasketcut.capture.image.ink import from_ink
from gasketcut.capture.image.picture_file import Light, Scan
from gasketcut.capture.known_distance import scale_by
from gasketcut.capture.scale.card import cards_among
from gasketcut.capture.scale.dpi import Scale, by_dpi
from gasketcut.capture.seeing.amiss import no_part, things_to_trace, unknown_scale
from gasketcut.capture.seeing.by_card import AGREE, by_card
from gasketcut.capture.seeing.lettered import lettered
from gasketcut.capture.seeing.picked import parts_among, smaller, too_small, with_picked
from gasketcut.capture.seeing.seen import Seen
from gasketcut.capture.settings import TraceSettings
from gasketcut.capture.traced_part import TracedPart
from gasketcut.capture.uncertainty.edge_shift import edge_shift

_SPECK = 0.6
"""mm across; smaller rings are dust, no hole that anybody cuts. Our choice."""

_GUESS = by_dpi((300.0, 300.0), "a guess")
"""By which a part is lettered where readings are all there is: what scanners are mostly set to."""


def seen_in_scan(scan: Scan, settings: TraceSettings) -> Seen:
    """Scale and silhouettes; raise `PictureError` for no part, or no scale."""
    warnings = list(scan.warnings)
    dpi = settings.dpi
    tag = by_dpi((dpi, dpi), "dpi as given") if dpi else by_dpi(scan.dpi, "dpi of the file") if scan.dpi else None
    light = flat_field(scan.light, to_rim=True)
    ground = ground_of(light)
    things = things_on(light, ground)
    cards = () if settings.card is False else cards_among(light, ground, things)
    scale, left_out = by_card(cards, tag, settings, light.shape, warnings)
    others = [one for one in things if one not in left_out]
    parts, small = things_to_trace(others, left_out, light.shape, settings, warnings)
    if scale is None and not (settings.along or settings.across):
        raise unknown_scale(things, is_photo=scan.focus is not None)
    speck = _SPECK * ((dpi or (scan.dpi[0] if scan.dpi else 150.0)) / 25) * 0.9
    found, specks = _edges(light, ground, parts, left_out, speck, warnings)
    if settings.ink is not None:
        found = from_ink(found, settings.ink)
    if not found:
        raise no_part(bool(left_out))
    if len(specks):
        warnings.append(f"{len(specks)} specks of dust or fibre left out")
    before, silhouettes = with_picked(parts_among(found), settings.pick, warnings)
    if settings.along or settings.across:
        scale = _by_readings(silhouettes[0], scale, settings, warnings)
    assert scale is not None
    warnings += too_small([*(one.outline for one in small), *smaller(found)], scale, light.shape)
    shifts = tuple(edge_shift(light, one.rings) for one in silhouettes)
    return Seen(scale, silhouettes, len(specks), tuple(warnings), shifts, before)


def _edges(
    light: Light,
    ground: Ground,
    parts: list[Thing],
    left_out: list[Thing],
    speck: float,
    warnings: list[str],
) -> tuple[tuple[Silhouette, ...], Array]:
    """Silhouettes of all parts, largest first, and the specks between them."""
    rooms = [one.outline for one in left_out]
    silhouettes: list[Silhouette] = []
    specks = [np.empty((0, 2))]
    said: list[str] = []
    for part in parts:
        found = edges_of(light, ground, part, rooms, speck, said)
        silhouettes += found.silhouettes
        specks.append(found.specks)
    warnings += dict.fromkeys(said)
    return tuple(sorted(silhouettes, key=lambda one: -one.area)), np.unique(np.vstack(specks).round(1), axis=0)


def _by_readings(silhouette: Silhouette, before: Scale | None, settings: TraceSettings, warnings: list[str]) -> Scale:
    """The scale by the user's own distances; what contradicts them goes into `warnings`."""

    def corrected(part: TracedPart, so_far: Scale) -> Scale:
        by = scale_by(part, settings.along, settings.across)
        return replace(by, sx=so_far.sx * by.sx, sy=so_far.sy * by.sy)

    scale = lettered(silhouette, before or _GUESS, corrected)
    if before is not None:
        worst = max(abs(scale.sx / before.sx - 1), abs(scale.sy / before.sy - 1))
        if worst > AGREE:
            warnings.append(f"your readings and the {before.source} contradict each other by {worst * 100:.1f} %")
    return scale
