"""Every setting worth trying with every way to reach its height, and which of them are worth showing.

Kinds     what is done, e.g. gasket and exhaust.
Nearest   of one set of kinds the candidate that misses least; of those that miss alike the one with the least metal.
Kept      where nothing meets every want: of one set of kinds the nearest that keeps one want whole.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from gasketcut.engine.ways.deed import GENTLE, DeedKind
from gasketcut.engine.ways.goals import Goals
from gasketcut.engine.ways.height import Height, Step, heights, reached_by
from gasketcut.engine.ways.kinks import kinks
from gasketcut.engine.ways.point import Angles, Point, point_at
from gasketcut.engine.ways.settings import Cuts, settings_at
from gasketcut.engine.ways.stand import Stand
from gasketcut.engine.ways.wants import Wants

ALIKE = 1e-7
"""Of what is missed, in what a builder notices: nearer is no difference."""

AS_NEAR = 0.25
"""Of what a builder notices: a way that misses so little more than another is shown beside it. Our choice."""

WORTH_KEEPING = 0.5
"""Of what a builder notices: for a want that is off by less no way of its own is shown. Our choice."""

_LOOKS = 4
"""Between two heights at which something fits, to see whether a nearer way lies between."""

Kinds = frozenset[tuple[DeedKind, str]]


@dataclass(frozen=True, slots=True, eq=False)
class Candidate:
    """A point, how its height is reached, and by how much each want is missed [what a builder notices]."""

    point: Point
    height: Height
    off: tuple[float, ...]

    @property
    def missed(self) -> float:
        return sum(self.off)

    @property
    def metal(self) -> Mapping[tuple[DeedKind, str], float]:
        """mm (mm3 of the bowl) by kind and port."""
        one, height = self.point.setting, self.height
        said: dict[tuple[DeedKind, str], float] = {
            ("base cut", ""): height.base,
            ("spacer", ""): height.spacer,
            ("band cut", ""): one.band,
            ("head cut", ""): one.head,
            ("raise", "exhaust"): one.exhaust,
            ("raise", "transfer"): one.transfer,
            ("lower", "intake"): one.intake,
            ("bowl", ""): one.bowl,
        }
        found = {kind: mm for kind, mm in said.items() if mm > 0}
        return {("gasket", ""): 0.0, **found} if height.gasket is not None else found

    @property
    def kinds(self) -> Kinds:
        return frozenset(self.metal)

    @property
    def hardness(self) -> tuple[int, ...]:
        """What cannot be taken back first."""
        return tuple(sorted((GENTLE[kind] for kind, _ in self.metal), reverse=True))

    @property
    def work(self) -> float:
        """Metal, weighed by how far it can be taken back."""
        return sum((GENTLE[kind] + 1) * mm for (kind, _), mm in self.metal.items())


@dataclass(frozen=True, slots=True, kw_only=True)
class Search:
    """What is looked through; `may` are the words of the job."""

    stand: Stand
    wants: Wants
    goals: Goals
    cuts: Cuts
    may: Sequence[str]
    steps: Sequence[Step]
    angles: Angles | None

    def all(self) -> list[Candidate]:
        """At every height where something fits, and between where that is nearer."""
        known = kinks(self.stand, self.goals, self.cuts, self.angles)
        found = [one for low in {*known, *reached_by(self.stand.present, self.steps)} for one in self.at(low)]
        nearest = min((one.missed for one in found), default=0.0)
        if nearest > ALIKE:
            found += self._between(known)
        return found

    def at(self, lowered: float) -> Iterator[Candidate]:
        """Every setting with the cylinder lowered by so much, and every way to that height."""
        ways = list(heights(lowered, self.stand.present, self.may, self.steps))
        if not ways:
            return
        for setting in settings_at(lowered, self.stand, self.goals, self.cuts, self.angles):
            point = point_at(self.stand, setting, self.angles)
            if point is not None:
                off = tuple(want.share(point.reached[want.figure]) for want in self.wants)
                yield from (Candidate(point, way, off) for way in ways)

    def _between(self, known: Sequence[float]) -> Iterator[Candidate]:
        """The nearest between each two heights, where one lies between that is nearer than both."""
        for low, high in pairwise(known):
            looks = [low + (high - low) * number / (_LOOKS + 1) for number in range(_LOOKS + 2)]
            misses = [self._least(one) for one in looks]
            at = min(range(len(looks)), key=misses.__getitem__)
            if 0 < at < len(looks) - 1:
                yield from self.at(self._shrunk(looks[at - 1], looks[at + 1]))

    def _least(self, lowered: float) -> float:
        return min((one.missed for one in self.at(lowered)), default=float("inf"))

    def _shrunk(self, low: float, high: float) -> float:
        """By the golden section."""
        share = (5**0.5 - 1) / 2
        one, other = high - share * (high - low), low + share * (high - low)
        at_one, at_other = self._least(one), self._least(other)
        while high - low > 1e-9:
            if at_one < at_other:
                high, other, at_other = other, one, at_one
                one = high - share * (high - low)
                at_one = self._least(one)
            else:
                low, one, at_one = one, other, at_other
                other = low + share * (high - low)
                at_other = self._least(other)
        return (low + high) / 2


def worth_showing(found: Iterable[Candidate]) -> list[Candidate]:
    """Nearest first, then the gentlest."""
    groups: dict[Kinds, list[Candidate]] = {}
    for one in found:
        groups.setdefault(one.kinds, []).append(one)
    nearest = [_nearest(group) for group in groups.values()]
    least = min((one.missed for one in nearest), default=0.0)
    # To do nothing is a way only where nothing else comes nearer.
    doing = [one for one in nearest if one.kinds or one.missed == least]
    shown = _not_worse(doing)
    if least > ALIKE:
        for number in range(len(nearest[0].off)):
            own = [one for first in shown for one in _keeping(groups[first.kinds], number, first)]
            if not own and all(one.off[number] for one in shown):
                own = _not_worse([one for group in groups.values() for one in _keeping(group, number)])
            shown += own
    single = list(dict.fromkeys(shown))
    left = [one for one in single if not any(other is not one and _serves(other, one) for other in single)]
    left = [one for one in left if one.kinds or one.missed == least] or left
    return sorted(left, key=lambda one: (round(one.missed, 6), one.hardness, round(one.work, 6)))


def _not_worse(found: Sequence[Candidate]) -> list[Candidate]:
    return [one for one in found if not any(_is_better(other, one) for other in found)]


def _nearest(group: Sequence[Candidate]) -> Candidate:
    least = min(one.missed for one in group)
    return min((one for one in group if one.missed <= least + ALIKE), key=lambda one: one.work)


def _keeping(group: Sequence[Candidate], number: int, nearest: Candidate | None = None) -> Iterator[Candidate]:
    """The nearest of a group that keeps a want, where the nearest of all misses it by enough to be worth it."""
    whole = [one for one in group if one.off[number] == 0.0]
    if whole and (nearest is None or nearest.off[number] > WORTH_KEEPING):
        yield _nearest(whole)


def _is_better(one: Candidate, other: Candidate) -> bool:
    """It misses less, and nothing in it is harder to take back."""
    return one.missed < other.missed - AS_NEAR and one.hardness[:1] <= other.hardness[:1]


def _serves(one: Candidate, other: Candidate) -> bool:
    """It misses nothing more, and does nothing that the other does not do as much of."""
    metal, more = one.metal, other.metal
    if not metal.keys() <= more.keys() or any(mm > more[kind] + ALIKE for kind, mm in metal.items()):
        return False
    if any(a > b + ALIKE for a, b in zip(one.off, other.off, strict=True)):
        return False
    return metal.keys() != more.keys() or one.missed < other.missed - ALIKE or one.work < other.work - ALIKE
