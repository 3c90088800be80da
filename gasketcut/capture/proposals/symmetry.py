"""A worn or torn gasket that was once its own image, mirrored or turned: how far halves differ, their mean, what one
lacks that the others have."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, degrees, pi, sin

import numpy as np
import shapely
from shapely.geometry import LinearRing, Polygon

from gasketcut.arrays import Array
from gasketcut.capture.edges.rings import nearest_on
from gasketcut.capture.proposals.offers import Proposal
from gasketcut.capture.proposals.settling import settled
from gasketcut.capture.scale.isometry import Isometry
from gasketcut.capture.torn.fill import SAME, Fill, filled
from gasketcut.plane import Point

_ALIKE = 0.8
"""mm by which halves may differ that are offered as one another's image. Our choice."""

_FEWEST = 300
"""Points of the ring that are compared."""

_FOLDS = {8: "eighth", 6: "sixth", 5: "fifth", 4: "quarter", 3: "third", 2: "half"}

_MOSTLY = 0.65
"""Of the outline that must agree with its image for the rest to be called missing. Our choice."""

_NEARLY = 0.5
"""The same before the image is settled on the edge."""

_TURNS = 12
"""Steps in which a turn's middle is found: each halves what it is off, at the least."""


@dataclass(frozen=True, slots=True)
class Symmetry:
    """What the outline is the image of itself by; and what it lacks to be one."""

    proposals: tuple[Proposal, ...] = ()
    lacks: Fill | None = None
    share: float = 1.0
    """Of the outline that agrees with its image."""


def symmetry_of(ring: Array, number: int, openings: Sequence[Array] = ()) -> Symmetry:
    """Mirrors, the better first, and the most turns that leave it alike; else what may be torn off.

    ring     : shape (n, 2), the first point not repeated [mm]
    number   : of the part in its picture
    openings : their rings; where the outline has several images, what is missing is of one that closes none of them
    """
    points = ring[:: max(1, len(ring) // _FEWEST)]
    centre = Polygon(ring).centroid
    middle = (float(centre.x), float(centre.y))
    mirrors = _mirrors(points, middle)
    offs = [_apart(points, points, one) for one in mirrors]
    found = []
    for image, worst in sorted(zip(mirrors, (float(off.max()) for off in offs), strict=True), key=lambda one: one[1]):
        if worst < _ALIKE:
            turn = degrees(image.angle) % 180
            text = f"the halves on either side of a line at {turn:.1f} deg differ by {worst:.3f} mm at most: their mean"
            found.append(Proposal("mirror", text, part=number, images=(image,)))
    for count, share in _FOLDS.items():
        images = _turns(count, middle)
        worst = float(_apart(points, points, images[0]).max())
        if worst < _ALIKE and not (count == 2 and len(found) == 2):  # two mirrors at right angles say it already
            text = f"turned by a {share} of a turn it differs by {worst:.3f} mm at most: the mean of all {count}"
            found.append(Proposal("turn", text, part=number, images=images))
            break
    if len(found) > 1 or any(one.kind == "turn" for one in found):
        return Symmetry(tuple(found))
    return _lacking(ring, openings, points, middle, [] if found else mirrors, found)


def _lacking(
    ring: Array,
    openings: Sequence[Array],
    points: Array,
    middle: Point,
    mirrors: list[Isometry],
    found: list[Proposal],
) -> Symmetry:
    """Where the outline lacks what most of its images have, if they agree everywhere else.

    A part that is its own mirror image already lacks only what three or more turns agree on, and what is its own
    mirror image, too: a part with one ear is no part with an ear torn off.
    """
    some = points[::2]
    turns = [_centred(some, count, middle) for count in _FOLDS if count > 2 or not found]
    ways = [*((one, 2) for one in mirrors), *turns]
    shares = [_share(some, image) for image, _ in ways]
    closed = _closed(ring, openings, [image for image, _ in ways])
    for n in sorted(range(len(ways)), key=lambda n: closed[n] - shares[n]):
        if shares[n] < _NEARLY:
            continue
        image, count = ways[n]
        image = settled(image, points, SAME)
        share = _share(points, image)
        lacks = filled(ring, (image,) if image.mirror else _turns(count, image.middle)) if share >= _MOSTLY else None
        if lacks is not None and all(_worst(lacks.ring, one.images[0]) < _ALIKE for one in found):
            return Symmetry(tuple(found), lacks, share)
    return Symmetry(tuple(found))


def _closed(ring: Array, openings: Sequence[Array], images: Sequence[Isometry]) -> list[float]:
    """Of the openings' edges, by each image: what it puts well into metal that was seen."""
    if not openings:
        return [0.0] * len(images)
    metal = shapely.make_valid(Polygon(ring, openings))
    shapely.prepare(metal)
    edges = np.vstack(openings)[::4]
    shares = []
    for image in images:
        taken = image.of(edges)
        inside = taken[shapely.contains_xy(metal, taken)]
        off = shapely.distance(shapely.points(inside), metal.boundary)
        shares.append(float(np.sum(off > _ALIKE)) / len(edges))
    return shares


def _share(points: Array, image: Isometry) -> float:
    """Of the outline that agrees with its image."""
    return float(np.mean(_apart(points, points, image) < SAME))


def _worst(ring: Array, image: Isometry) -> float:
    some = ring[:: max(1, len(ring) // _FEWEST)]
    return float(_apart(some, some, image).max())


def _turns(count: int, middle: Point) -> tuple[Isometry, ...]:
    """All but the one that turns nothing."""
    return tuple(Isometry(2 * pi * n / count, middle, mirror=False) for n in range(1, count))


def _centred(points: Array, count: int, start: Point) -> tuple[Isometry, int]:
    """One of so many turns, about the point about which most of the outline is most alike, whatever is torn off."""
    angle = 2 * pi / count
    c, s = cos(angle), sin(angle)
    back = np.linalg.inv(np.array([[1 - c, s], [-s, 1 - c]]))
    best = np.array(start)
    for _ in range(_TURNS):
        taken = Isometry(angle, (float(best[0]), float(best[1])), mirror=False).of(points)
        way = nearest_on(points, taken) - taken
        far = np.hypot(*way.T)
        best = best + back @ way[far <= np.quantile(far, _MOSTLY)].mean(axis=0)
    return Isometry(angle, (float(best[0]), float(best[1])), mirror=False), count


def mean_of(ring: Array, images: tuple[Isometry, ...], others: list[Array]) -> Array:
    """Each point of the ring with the nearest one of each image's ring, all weighing alike.

    others : for each image the ring that it takes onto this one, which may be the ring itself
    """
    result: Array = sum((nearest_on(one.of(other), ring) for one, other in zip(images, others, strict=True)), ring)
    return result / (1 + len(images))


def _apart(points: Array, ring: Array, image: Isometry) -> Array:
    return np.asarray(shapely.distance(shapely.points(points), LinearRing(image.of(ring))), dtype=float)


def _cost(points: Array, image: Isometry) -> float:
    """Mean square of what is apart; what is farther apart may be torn off and counts no more than that."""
    return float(np.mean(np.minimum(_apart(points, points, image), _ALIKE) ** 2))


def _mirrors(points: Array, middle: tuple[float, float]) -> list[Isometry]:
    """The two best, each refined from the likeliest angles of a coarse search."""
    some = points[:: max(1, len(points) // 100)]
    angles = [pi * n / 90 for n in range(90)]
    # Here far ones count in full, as a mirror 2 deg off is apart nearly everywhere.
    costs = [float(np.median(_apart(some, some, Isometry(angle, middle, mirror=True)))) for angle in angles]
    lows = [n for n in range(90) if costs[n] <= costs[n - 1] and costs[n] <= costs[(n + 1) % 90]]
    likely = sorted(lows, key=lambda n: costs[n])[:5]
    refined = [_refined(points[::2], Isometry(angles[n], middle, mirror=True)) for n in likely]
    refined.sort(key=lambda image: _cost(points, image))
    best = refined[0]
    others = [one for one in refined[1:] if abs(sin(one.angle - best.angle)) > 0.3]
    return [best, *others[:1]]


def _refined(points: Array, start: Isometry) -> Isometry:
    """The line near `start` about which most of the outline is most alike, by narrowing down its turn and place."""
    best, reach, slack = start, 0.1, float(np.ptp(points, axis=0).max()) * 0.03
    for _ in range(6):
        turned = [
            Isometry(best.angle + share * reach, best.middle, mirror=True) for share in np.linspace(-1, 1, 9).tolist()
        ]
        best = min(turned, key=lambda image: _cost(points, image))
        across = (-sin(best.angle), cos(best.angle))
        steps = np.linspace(-slack, slack, 9).tolist()
        places = [(best.middle[0] + step * across[0], best.middle[1] + step * across[1]) for step in steps]
        moved = [Isometry(best.angle, place, mirror=True) for place in places]
        best = min(moved, key=lambda image: _cost(points, image))
        reach, slack = reach / 3, slack / 3
    return best
