"""A photograph from above: the part on the target sheet, or on a bare sheet of paper."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from math import hypot

from gasketcut.capture.edges.rings import PictureEdges, Silhouette, edges_in
from gasketcut.capture.image.edge_threshold import edges_at_own_level
from gasketcut.capture.image.flat_field import flat_field
from gasketcut.capture.image.picture_file import Light, PictureError, Scan
from gasketcut.capture.scale.bare_sheet import bare_photo
from gasketcut.capture.scale.camera import Camera
from gasketcut.capture.scale.parallax import flattened, share_unsure
from gasketcut.capture.scale.photo import STEEPEST, Photo, photo_of
from gasketcut.capture.scale.walls import without_walls
from gasketcut.capture.seeing.picked import parts_among, smaller, too_small, with_picked
from gasketcut.capture.seeing.seen import Seen
from gasketcut.capture.settings import TraceSettings
from gasketcut.capture.uncertainty.edge_shift import edge_shift


def seen_in_photo(scan: Scan, settings: TraceSettings) -> Seen:
    """The map by the sheet, and what lies on it; raise `PictureError` if the sheet or the part is not seen."""
    warnings = [warning for warning in scan.warnings if "dpi" not in warning]  # a camera knows none
    photo, silhouettes, edges, light = (_on_bare_sheet if settings.sheet else _on_target)(scan, settings, warnings)
    if not silhouettes:
        raise PictureError("nothing lies in the middle of the sheet; lay the part there, clear of any dots")
    camera = photo.camera
    what = "the edges" if settings.sheet else "the dots"
    warnings.append(f"{what} lie within {photo.off:.3f} mm; the sheet is tilted by about {camera.tilt:.0f} deg")
    if camera.tilt > STEEPEST:
        warnings.append(f"tilted by more than {STEEPEST:.0f} deg: photograph it from straight above, or use a scanner")
    warnings += too_small(smaller(silhouettes), photo, scan.light.shape)
    silhouettes = parts_among(silhouettes)
    shifts = tuple(edge_shift(scan.light, one.rings) for one in silhouettes)  # where the picture shows them
    if settings.thickness > 0:
        walls = without_walls(light, edges.level, photo, silhouettes, settings.thickness)
        if walls.why:
            shifts = tuple(replace(one, sigma=hypot(one.sigma, walls.unsure)) for one in shifts)
            warnings.append(_as_seen(walls.why, walls.unsure * photo.sx))
        silhouettes = flattened(photo, walls.silhouettes, settings.thickness)
        unsure = share_unsure(camera, settings.thickness)
        warnings.append(_corrected(camera, settings.thickness, unsure))
        photo = replace(photo, sigma=hypot(photo.sigma, unsure))
    else:
        larger = 0.5 / camera.at[2] * 100  # of an upper edge half a millimetre over the sheet, mm on 100 mm
        warnings.append(
            f"how thick the part is was not said: for each 0.5 mm its outline looks {larger:.2f} mm larger on 100 mm; "
            "give --thickness"
        )
    before, silhouettes = with_picked(silhouettes, settings.pick, warnings)
    shifts = shifts[len(before) :][: len(silhouettes)]
    return Seen(photo, silhouettes, edges.dust, tuple(warnings), shifts, before)


def _as_seen(why: str, unsure: float) -> str:
    """Of lower edges that were not put right, and by how much [mm] they may be off."""
    return (
        f"{why}, so edges that show a wall stay where they are seen, +- {2 * unsure:.2f} mm, and the ranges are "
        "wider by that: use a scanner, or lay the part where the camera is straight above it"
    )


def _corrected(camera: Camera, thickness: float, unsure: float) -> str:
    """What was done about the thickness, how sure that is, and by what."""
    known = (
        "as the file and the sheet say (if nothing was cut off the picture)"
        if camera.stated
        else "as the sheet says, and a usual lens"
    )
    advice = "" if camera.stated else "; a file as the camera wrote it names its focal length, which makes that surer"
    height = camera.at[2]
    return (
        f"the camera was {height:.0f} mm over the sheet, +- {2 * camera.sigma * height:.0f}, {known}: an upper edge "
        f"{thickness:g} mm over the sheet is drawn {thickness / height * 100:.2f} mm smaller on 100 mm, "
        f"+- {2 * unsure * 100:.2f}{advice}"
    )


def _on_bare_sheet(
    scan: Scan, settings: TraceSettings, warnings: list[str]
) -> tuple[Photo, tuple[Silhouette, ...], PictureEdges, Light]:
    assert settings.sheet is not None
    look = partial(edges_in, scan.light, smallest=4.0, share=2e-5)
    edges = look()
    rings = edges.silhouettes[0].inner[:1] if edges.silhouettes else ()
    edges = edges_at_own_level(scan.light, edges, rings, lambda level: look(level=level), warnings)
    photo, silhouettes = bare_photo(edges, scan.light.shape, settings.sheet, scan.focus)
    warnings.append("paper is cut to a millimetre or two: gasketcut target, with its bars measured, is better")
    return photo, silhouettes, edges, scan.light


def _on_target(
    scan: Scan, settings: TraceSettings, warnings: list[str]
) -> tuple[Photo, tuple[Silhouette, ...], PictureEdges, Light]:
    light = flat_field(scan.light, to_rim=False)
    look = partial(edges_in, light, smallest=4.0, on_sheet=True)
    edges = look()
    rings = edges.silhouettes[0].rings if edges.silhouettes else ()
    edges = edges_at_own_level(light, edges, rings, lambda level: look(level=level), warnings)
    photo, silhouettes = photo_of(edges, scan.light.shape, settings.bars, scan.focus)
    if settings.bars is None:
        warnings.append(
            "nobody has measured the bars of the print: give --bars ALONGxACROSS, as printers may be 1 % off"
        )
    return photo, silhouettes, edges, light
