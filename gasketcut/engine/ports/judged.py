"""Time-areas held against what others published: inside their range or not, and at which speed they would be."""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.engine.ports.time_area import TimeArea, together
from gasketcut.profile.ports import TimeAreaRange


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """All ports of a kind against the range that was published for them together.

    ports          whose areas are added up
    specific       what they have at the job's speed [s/m]; None without a speed
    rpm_at_middle  the speed at which they would have the middle of the range
    """

    ports: tuple[str, ...]
    range: TimeAreaRange
    specific: float | None
    rpm_at_middle: float

    @property
    def is_inside(self) -> bool | None:
        """Does it lie in the range? None without a speed."""
        return None if self.specific is None else self.range.low <= self.specific <= self.range.high


def judged_areas(areas: dict[str, TimeArea], ranges: tuple[TimeAreaRange, ...]) -> dict[str, Judged]:
    """By port, for each whose kind somebody published a range; ports of one kind have one judgement.

    Several transfers add up, each from its own opening: the range is that of all of them.
    """
    kinds: dict[str, dict[str, TimeArea]] = {}
    for name, area in areas.items():
        kinds.setdefault(area.kind, {})[name] = area
    found: dict[str, Judged] = {}
    for known in ranges:
        if of_kind := kinds.get(known.kind):
            whole = together(tuple(of_kind.values()))
            one = Judged(
                ports=tuple(of_kind), range=known, specific=whole.specific, rpm_at_middle=whole.rpm_at(known.middle)
            )
            found |= dict.fromkeys(of_kind, one)
    return {name: found[name] for name in areas if name in found}
