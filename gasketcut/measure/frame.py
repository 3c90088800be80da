"""Where a pattern lies: its own first two holes along x, or over a sketch."""

from __future__ import annotations

from math import hypot

import numpy as np

from gasketcut.arrays import Array
from gasketcut.job.model import Measure
from gasketcut.measure.network import Network


def framed(network: Network, unknowns: Array, measure: Measure) -> Array:
    """First hole at the origin, second on +x, the hole named `left` above the line; or nearest to the rough places."""
    places = unknowns[: 3 * len(network.holes)].reshape(-1, 3)[:, :2]
    rough = dict(measure.rough)
    if rough and all(name in rough for name in network.holes):
        return _onto(places, np.array([rough[name] for name in network.holes]))
    first, second = (network.holes.index(name) for name in measure.frame) if measure.frame else (0, 1)
    moved = places - places[first]
    x, y = moved[second] / hypot(*moved[second])
    turned = moved @ np.array([[x, -y], [y, x]])
    if measure.left is not None and turned[network.holes.index(measure.left)][1] < 0:
        turned = turned * (1, -1)
    turned += 0.0  # no minus zero
    result: Array = turned
    return result


def _onto(places: Array, rough: Array) -> Array:
    """Moved and turned (mirrored if that fits better) so as to lie nearest to the rough places."""
    middle, target = places.mean(axis=0), rough.mean(axis=0)
    left, _, right = np.linalg.svd((places - middle).T @ (rough - target))
    return np.asarray((places - middle) @ (left @ right) + target)
