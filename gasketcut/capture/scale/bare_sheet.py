"""A photograph on a bare sheet of paper: its four edges give the plane, and that they are straight gives the lens.

Second choice: paper is cut to a millimetre or two (ISO 216 allows 1.5 to 2 mm), so lengths are good to half a per cent.
"""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry import Polygon

from gasketcut.arrays import Array
from gasketcut.capture.edges.rings import PictureEdges, Silhouette
from gasketcut.capture.image.picture_file import PictureError
from gasketcut.capture.scale.camera import camera_of
from gasketcut.capture.scale.lens import mapped, straight
from gasketcut.capture.scale.photo import Photo
from gasketcut.measure.least_squares import solved

BARE = 0.007
"""Of a length: 1.5 mm on 210 mm (ISO 216)."""

_SHARE = 0.25
"""Of the picture that the paper has to fill. Our choice."""

_TRIM = 0.06
"""Of an edge at either end that belongs to a corner, which may be bent."""


def bare_photo(
    edges: PictureEdges, shape: tuple[int, int], size: tuple[float, float], focus: float | None = None
) -> tuple[Photo, tuple[Silhouette, ...]]:
    """The map by the paper's edges, and what lies on it; raise `PictureError` if no whole sheet is in the picture.

    size  : of the paper, short and long side [mm]
    focus : focal length that the file names, of the picture's longer side
    """
    paper = edges.silhouettes[0] if edges.silhouettes else None
    if paper is None or edges.dark_part or Polygon(paper.outer).area < _SHARE * shape[0] * shape[1]:
        raise PictureError("no whole sheet of paper on a darker table is in the picture; or use gasketcut target")
    unit, centre = float(max(shape)) / 2, ((shape[1] - 1) / 2, (shape[0] - 1) / 2)
    sides = _sides((paper.outer - centre) / unit)
    bend, corners, off = _straightened(sides)
    long_first = np.hypot(*(corners[1] - corners[0])) > np.hypot(*(corners[2] - corners[1]))
    width, height = size[::-1] if long_first else size
    ends = np.array([(0.0, height), (width, height), (width, 0.0), (0.0, 0.0)])
    numbers = straight(corners, ends)
    numbers[8:10] = bend
    flat = mapped(numbers, np.vstack(sides))
    # How straight the edges come out [mm]: a bowed sheet does not.
    rest = float(off * width / max(np.hypot(*(corners[1] - corners[0])), 1e-9))
    across = np.ptp(flat, axis=0) / (np.ptp(np.vstack(sides), axis=0) * unit)
    photo = Photo(
        source="sheet",
        sx=float(across[0]),
        sy=float(across[1]),
        sigma=BARE,
        numbers=tuple(numbers.tolist()),
        centre=centre,
        unit=unit,
        stretch=(1.0, 1.0),
        off=rest,
        camera=camera_of(numbers, (1.0, 1.0), BARE, focus),
    )
    silhouettes = []
    for ring in paper.inner:
        room = Polygon(ring)
        holes = tuple(one.outer for one in edges.silhouettes[1:] if room.contains(shapely.Point(one.outer[0])))
        silhouettes.append(Silhouette(ring, holes))
    return photo, tuple(sorted(silhouettes, key=lambda one: -one.area))


def _sides(ring: Array) -> list[Array]:
    """Points of the four sides, clockwise on the screen from the upper left corner, without the corners."""
    hull = shapely.get_coordinates(Polygon(ring).convex_hull)[:-1]
    ways = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)])
    middle = hull.mean(axis=0)
    ends = [int(np.argmin(np.hypot(*(ring - hull[np.argmax((hull - middle) @ way)]).T))) for way in ways]
    sides = []
    for first, last in zip(ends, [*ends[1:], ends[0]], strict=True):
        way = 1 if (last - first) % len(ring) < len(ring) / 2 else -1
        count = (last - first) % len(ring) if way == 1 else (first - last) % len(ring)
        if count < 40:
            raise PictureError("the paper's corners are not all in the picture")
        cut = int(count * _TRIM)
        sides.append(ring[(first + way * np.arange(cut, count - cut)) % len(ring)])
    return sides


def _straightened(edges: list[Array]) -> tuple[Array, Array, float]:
    """The lens that makes all edges straight; the corners, and how far off straight the edges are, root mean square."""

    def off(bend: Array) -> Array:
        # The second term is held near zero: four edges alone say little of it.
        return np.concatenate([*(_off(edge, bend) for edge in edges), [0.02 * bend[1]]])

    bend = solved(off, np.zeros(2), steps=8).numbers
    lines = [_line(_unbent(edge, bend)) for edge in edges]
    corners = np.array([_crossing(lines[n - 1], lines[n]) for n in range(4)])
    return bend, corners, float(np.sqrt(np.mean(off(bend)[:-1] ** 2)))


def _unbent(points: Array, bend: Array) -> Array:
    square = np.sum(points**2, axis=1)[:, None]
    result: Array = points * (1 + bend[0] * square + bend[1] * square**2)
    return result


def _line(points: Array) -> tuple[Array, Array]:
    middle = points.mean(axis=0)
    _, _, ways = np.linalg.svd(points - middle, full_matrices=False)
    return middle, ways[0]


def _off(edge: Array, bend: Array) -> Array:
    points = _unbent(edge, bend)
    middle, way = _line(points)
    way = way if way[np.argmax(np.abs(way))] > 0 else -way
    result: Array = (points - middle) @ np.array([-way[1], way[0]])
    return result


def _crossing(a: tuple[Array, Array], b: tuple[Array, Array]) -> Array:
    share = np.linalg.solve(np.column_stack([a[1], -b[1]]), b[0] - a[0])
    result: Array = a[0] + share[0] * a[1]
    return result
