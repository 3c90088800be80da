"""A photograph from above: the part on the target sheet, or on a bare sheet of paper."""

from __future__ import annotations

from functools import partial

from gasketcut.capture.edges.rings import PictureEdges, Silhouette, edges_in
from gasketcut.capture.image.edge_threshold import edges_at_own_level
from gasketcut.capture.image.flat_field import flat_field
from gasketcut.capture.image.picture_file import PictureError, Scan
from gasketcut.capture.scale.bare_sheet import bare_photo
from gasketcut.capture.scale.photo import STEEPEST, Photo, photo_of
from gasketcut.capture.seeing.seen import Seen
from gasketcut.capture.settings import TraceSettings

THICKEST = 0.5
"""mm; a thicker part shows its upper edge too far out in a photograph. Measured by the project."""


def seen_in_photo(scan: Scan, settings: TraceSettings) -> Seen:
    """The map by the sheet, and what lies on it; raise `PictureError` if the sheet or the part is not seen."""
    warnings = [warning for warning in scan.warnings if "dpi" not in warning]  # a camera knows none
    photo, silhouettes, edges = (_on_bare_sheet if settings.sheet else _on_target)(scan, settings, warnings)
    if not silhouettes:
        raise PictureError("nothing lies in the middle of the sheet; lay the part there, clear of any dots")
    what = "the edges" if settings.sheet else "the dots"
    warnings.append(
        f"{what} lie within {photo.off:.3f} mm; the sheet is tilted by about {photo.tilt:.0f} deg; "
        "0.5 mm of thickness makes an outline of 60 mm look 0.1 to 0.2 mm larger"
    )
    if photo.tilt > STEEPEST:
        warnings.append(f"tilted by more than {STEEPEST:.0f} deg: photograph it from straight above, or use a scanner")
    if settings.thickness > THICKEST:
        # 0.131 mm (straight) to 0.191 mm (tilted by 15 deg) on 64 mm for 0.5 mm, measured by the project.
        larger = f"{0.26 * settings.thickness:.2f} to {0.38 * settings.thickness:.2f} mm larger on 60 mm"
        warnings.append(f"a part {settings.thickness:g} mm thick looks {larger}, its holes smaller: use a scanner")
    return Seen(photo, silhouettes, edges.dust, tuple(warnings))


def _on_bare_sheet(
    scan: Scan, settings: TraceSettings, warnings: list[str]
) -> tuple[Photo, tuple[Silhouette, ...], PictureEdges]:
    assert settings.sheet is not None
    look = partial(edges_in, scan.light, smallest=4.0, share=2e-5)
    edges = look()
    rings = edges.silhouettes[0].inner[:1] if edges.silhouettes else ()
    edges = edges_at_own_level(scan.light, edges, rings, lambda level: look(level=level), warnings)
    photo, silhouettes = bare_photo(edges, scan.light.shape, settings.sheet)
    warnings.append("paper is cut to a millimetre or two: gasketcut target, with its bars measured, is better")
    return photo, silhouettes, edges


def _on_target(
    scan: Scan, settings: TraceSettings, warnings: list[str]
) -> tuple[Photo, tuple[Silhouette, ...], PictureEdges]:
    light = flat_field(scan.light, to_rim=False)
    look = partial(edges_in, light, smallest=4.0, on_sheet=True)
    edges = look()
    rings = edges.silhouettes[0].rings if edges.silhouettes else ()
    edges = edges_at_own_level(light, edges, rings, lambda level: look(level=level), warnings)
    photo, silhouettes = photo_of(edges, scan.light.shape, settings.bars)
    if settings.bars is None:
        warnings.append(
            "nobody has measured the bars of the print: give --bars ALONGxACROSS, as printers may be 1 % off"
        )
    return photo, silhouettes, edges
