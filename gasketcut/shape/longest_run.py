"""How far a run of points goes on, asking for few of its ends."""

from __future__ import annotations

from collections.abc import Callable


def longest_run(good: int, limit: int, fits: Callable[[int], bool]) -> int:
    """The last end that fits, from one that does: doubling, then halving, so that all runs together cost n log n.

    good  : an end that fits, counted from the run's start
    limit : the last end there is
    fits  : whether the points up to an end are one run
    """
    step = max(good, 1)
    while good < limit:
        ahead = min(good + step, limit)
        if not fits(ahead):
            break
        good, step = ahead, step * 2
    else:
        return good
    bad = ahead
    while bad - good > 1:
        middle = (good + bad) // 2
        if fits(middle):
            good = middle
        else:
            bad = middle
    return good
