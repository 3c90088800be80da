"""What was found, kind by kind, with a number for each place, so that picture and words name the same place alike.

Item   all of one kind: `ask` what a person has to decide, `look` what is seldom meant so, `mend` what we put right.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from gasketcut.output.text.received.plain import QUESTIONS
from gasketcut.plane import Point
from gasketcut.received.faults.flaw import MENDED, Flaw
from gasketcut.received.groups.group import Group
from gasketcut.received.inspection import Inspection
from gasketcut.received.looks.look import Look

Form = Literal["ask", "look", "mend"]
MOST = 60
"""Numbers in a picture: more would hide the drawing. Ours."""

_MOST_EACH = 12
"""Of one kind, where there are more than MOST in all."""


@dataclass(frozen=True, slots=True)
class Place:
    """One numbered place, in the file's own coordinates; `text` says what is there in a cutter's words."""

    number: int
    at: Point
    text: str


@dataclass(frozen=True, slots=True)
class Item:
    """`count` of all there are; `places` are those with a number, one after the other; `texts` those of all."""

    kind: str
    form: Form
    count: int
    places: tuple[Place, ...]
    texts: tuple[str, ...]

    @property
    def where(self) -> str:
        """The numbers in words; "" where nothing has one.

        >>> Item("gap", "mend", 5, (Place(3, (0, 0), ""), Place(4, (1, 1), "")), ()).where
        'places 3 and 4, and 3 more'
        """
        if not self.places:
            return ""
        first, last = self.places[0].number, self.places[-1].number
        more = f", and {self.count - len(self.places)} more" if self.count > len(self.places) else ""
        if first == last:
            return f"place {first}{more}"
        return f"places {first} {'and' if last == first + 1 else 'to'} {last}{more}"


def items_of(found: Inspection) -> tuple[Item, ...]:
    """Questions first, then what looks odd, then what is put right; faults that a group explains are the group's."""
    kinds: dict[tuple[Form, str], list[Flaw | Look | Group]] = defaultdict(list)
    seen = {look.kind for look in found.looks}
    for group in found.groups:
        if group.flaws or group.kind not in seen:
            kinds["ask" if group.flaws else "look", group.kind].append(group)
    for flaw in found.unexplained:
        kinds["mend" if flaw.kind in MENDED else "ask", flaw.kind].append(flaw)
    for look in found.looks:
        kinds["look", look.kind].append(look)
    drawn = bool(found.closed or found.open)  # else there is no picture for the numbers
    most = MOST if sum(map(len, kinds.values())) <= MOST else _MOST_EACH
    order: dict[Form, int] = {"ask": 0, "look": 1, "mend": 2}
    words = list(QUESTIONS)
    items: list[Item] = []
    next_number = 1
    for form, kind in sorted(kinds, key=lambda key: (order[key[0]], words.index(key[1]) if key[1] in words else -1)):
        places = _places(kinds[form, kind], min(most, MOST + 1 - next_number) if drawn else 0, next_number)
        next_number += len(places)
        texts = tuple(_text(one) for one in kinds[form, kind])
        items.append(Item(kind, form, _count(kinds[form, kind]), places, texts))
    return tuple(items)


def _places(these: Iterable[Flaw | Look | Group], most: int, first: int) -> tuple[Place, ...]:
    placed = [(one.at, _text(one)) for one in these if one.at is not None][: max(0, most)]
    return tuple(Place(number, at, text) for number, (at, text) in enumerate(placed, first))


def _count(these: Sequence[Flaw | Look | Group]) -> int:
    return sum(one.count if isinstance(one, Group) else 1 for one in these)


def _text(one: Flaw | Look | Group) -> str:
    return f"looks like {one.called}: {one.says}" if isinstance(one, Group) else one.text
