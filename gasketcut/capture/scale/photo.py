"""A photograph of a part on the target sheet: from its pixels to mm.

Points are mapped by `lens.py`; the picture is never bent.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon

from gasketcut.arrays import Array
from gasketcut.capture.edges.rings import PictureEdges, Silhouette
from gasketcut.capture.image.picture_file import PictureError
from gasketcut.capture.scale.camera import Camera, camera_of
from gasketcut.capture.scale.lens import improved, mapped, straight, unmapped
from gasketcut.capture.scale.target import FREE, PITCH, SIZE, dots
from gasketcut.capture.uncertainty.scale_spread import ScaleSpread, alike

_ROUND = 0.12
"""How far a dot's area may be off its own ellipse's. Our choice."""

_FEWEST = 40
"""Fewest dots of the target that must be in the picture. Our choice."""

PHOTO = 0.0015
"""Of a length: 0.1 to 0.2 mm on 100 mm with a printed target and measured bars (estimate of the project's notes)."""

UNMEASURED = 0.01
"""The same where nobody has measured the bars: printers are off by that much."""

_WORST = 0.5
"""mm that dots may come out from their places: a bowed sheet, or no target at all. Our choice."""

STEEPEST = 8.0
"""Degrees of tilt beyond which the sheet's thickness spoils the picture. Measured by the project."""


@dataclass(frozen=True, slots=True)
class Photo:
    """A map from pixels to mm on the sheet, and the camera over it.

    off : how far dots come out from their places, root mean square [mm]
    """

    source: str
    sx: float
    sy: float
    sigma: float
    numbers: tuple[float, ...]
    centre: tuple[float, float]
    unit: float
    stretch: tuple[float, float]
    off: float
    camera: Camera

    @property
    def spread(self) -> ScaleSpread:
        """One map for both ways."""
        return alike(self.sigma)

    def mm(self, ring: Array) -> Array:
        """Points on the sheet, y up."""
        return mapped(np.array(self.numbers), (ring - self.centre) / self.unit) * self.stretch

    def pixels(self, places: Array) -> Array:
        """Where points on the sheet are seen."""
        return unmapped(np.array(self.numbers), places / self.stretch) * self.unit + self.centre


def photo_of(
    edges: PictureEdges, shape: tuple[int, int], bars: tuple[float, float] | None, focus: float | None = None
) -> tuple[Photo, tuple[Silhouette, ...]]:
    """The map by the dots, and what lies in the middle of the sheet; raise `PictureError` if the sheet is not seen.

    shape : of the picture, rows and columns
    bars  : what the two bars of the print measure, along and across [mm]
    focus : focal length that the file names, of the picture's longer side
    """
    found = _round_ones(edges.silhouettes)
    if len(found) < _FEWEST:
        raise PictureError(
            f"only {len(found)} dots of the target are in the picture; print it with gasketcut target, and take in "
            "all of it"
        )
    places, areas = np.array([one[0] for one in found]), np.array([one[1] for one in found])
    corners = _corners(places, areas)
    unit = float(max(shape)) / 2
    centre = ((shape[1] - 1) / 2, (shape[0] - 1) / 2)
    normal = (places - centre) / unit
    wanted = np.array([dot.at for dot in dots()])
    ends = np.array([(0.0, 0.0), (SIZE[0], 0.0), (0.0, SIZE[1]), SIZE])
    numbers = straight(normal[corners], ends)
    for _ in range(12):
        flat = mapped(numbers, normal)
        near = np.argmin(np.hypot(*(flat[:, None] - wanted[None]).transpose(2, 0, 1)), axis=1)
        off = np.hypot(*(flat - wanted[near]).T)
        good = off < PITCH / 3
        if good.sum() < _FEWEST:
            raise PictureError("the dots do not lie as on the target; is it flat, whole and not mirrored?")
        numbers, step = improved(numbers, normal[good], wanted[near[good]])
        if step < 1e-12:
            break
    flat = mapped(numbers, normal[good])
    rest = float(np.sqrt(np.mean(np.sum((flat - wanted[near[good]]) ** 2, axis=1))))
    if rest > _WORST or good.mean() < 0.8:
        raise PictureError("the dots do not lie as on the target; is it flat, whole and not mirrored?")
    stretch = (bars[0] / 100.0, bars[1] / 100.0) if bars else (1.0, 1.0)
    sigma = PHOTO if bars else UNMEASURED
    across = SIZE[0] / float(np.hypot(*(places[corners[1]] - places[corners[0]])))
    up = SIZE[1] / float(np.hypot(*(places[corners[2]] - places[corners[0]])))
    photo = Photo(
        source="target",
        sx=across * stretch[0],
        sy=up * stretch[1],
        sigma=sigma,
        numbers=tuple(numbers.tolist()),
        centre=centre,
        unit=unit,
        stretch=stretch,
        off=rest,
        camera=camera_of(numbers, stretch, sigma, focus),
    )
    inside = tuple(silhouette for silhouette in edges.silhouettes if _lies_in_the_middle(photo, silhouette))
    return photo, inside


def _round_ones(silhouettes: tuple[Silhouette, ...]) -> list[tuple[Array, float]]:
    """Middle and area of every filled figure that is an ellipse."""
    found = []
    for silhouette in silhouettes:
        if silhouette.inner or len(silhouette.outer) < 12:
            continue
        polygon = Polygon(silhouette.outer)
        centred = silhouette.outer - (polygon.centroid.x, polygon.centroid.y)
        box = shapely.minimum_rotated_rectangle(polygon)
        if not isinstance(box, Polygon):
            continue
        if (
            abs(polygon.area / (np.pi / 4 * box.area) - 1) < _ROUND
            and np.ptp(np.hypot(*centred.T)) < 0.6 * polygon.area**0.5
        ):
            found.append((np.array([polygon.centroid.x, polygon.centroid.y]), float(polygon.area)))
    typical = float(np.median([area for _, area in found])) if found else 0.0
    return [one for one in found if 0.3 * typical < one[1] < 6 * typical]


def _corners(places: Array, areas: Array) -> list[int]:
    """Numbers of the corner dots: lower left, lower right, upper left, upper right, as the sheet has them.

    The four ends of the dots' hull that span the largest quadrilateral; the smallest of them is the upper right one.
    """
    hull = shapely.convex_hull(shapely.multipoints(places))
    if not isinstance(hull, Polygon):
        raise PictureError("the dots lie in one line; get the whole target into the picture")
    rim = [int(np.argmin(np.hypot(*(places - point).T))) for point in np.array(hull.exterior.coords)[:-1]]
    by_size = sorted(rim, key=lambda n: -areas[n] / _typical_near(places, areas, n))[:4]
    if len(by_size) < 4:
        raise PictureError("the target's corners are not in the picture")
    middle = places[by_size].mean(axis=0)
    # Round the sheet as it is seen with y down: clockwise on the screen is counter-clockwise there.
    order = sorted(by_size, key=lambda n: np.arctan2(places[n][1] - middle[1], places[n][0] - middle[0]))
    ratio = [areas[n] / _typical_near(places, areas, n) for n in order]
    small = int(np.argmin(ratio))
    upper_right = order[small]
    # On the screen, y down, angles grow clockwise: after the upper right comes the lower right, then the lower left.
    lower_right, lower_left, upper_left = (order[(small + step) % 4] for step in (1, 2, 3))
    return [lower_left, lower_right, upper_left, upper_right]


def _typical_near(places: Array, areas: Array, n: int) -> float:
    """Area of the plain dots about this one: perspective makes far ones smaller."""
    near = np.argsort(np.hypot(*(places - places[n]).T))[1:7]
    return float(np.median(areas[near]))


def _lies_in_the_middle(photo: Photo, silhouette: Silhouette) -> bool:
    ring = photo.mm(silhouette.outer)
    left, low, right, high = FREE
    middle = (ring.min(axis=0) + ring.max(axis=0)) / 2
    return bool(left < middle[0] < right and low < middle[1] < high and np.ptp(ring, axis=0).max() > 5.0)
