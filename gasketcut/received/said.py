"""What a fault, a place to look at, a group say: the same words in a report and in a refusal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Protocol, TypeVar

from gasketcut.plane import Point
from gasketcut.received.faults.flaw import KINDS, Flaw
from gasketcut.received.groups.group import Group
from gasketcut.received.looks.look import Look


class _OfAKind(Protocol):
    @property
    def kind(self) -> str: ...


T = TypeVar("T", bound=_OfAKind)


def by_kind(found: Sequence[T]) -> Iterator[tuple[str, list[T]]]:
    """Each kind, in the order in which it first comes, with all that is of it."""
    for kind in dict.fromkeys(one.kind for one in found):
        yield kind, [one for one in found if one.kind == kind]


def flaws_said(kind: str, these: Sequence[Flaw]) -> str:
    """A kind of fault and how often it is there."""
    return f"{kind}{f' x {len(these)}' if len(these) > 1 else ''}: {KINDS[kind]}"


def flaw_said(flaw: Flaw) -> str:
    """Where it is, what, and what to do; not again what its kind says."""
    text = "" if flaw.text == KINDS[flaw.kind] else f"{flaw.text}; "
    return f"{at_said(flaw.at)}{text}{flaw.fix}"


def look_said(look: Look) -> str:
    """What sort of place, where, what is there, and what to do."""
    return f"{look.kind}: {at_said(look.at)}{look.text}; {look.do}"


def group_said(group: Group) -> str:
    """Where it is, what it looks like, and what speaks for it."""
    return f"{at_said(group.at)}looks like {group.called}: {group.says}"


def offer_said(group: Group) -> str:
    """How it is left out."""
    return f"--drop {group.drop} leaves {them(group)} out"


def them(group: Group) -> str:
    """The pronoun."""
    return "them" if group.count > 1 else "it"


def at_said(place: Point | None) -> str:
    """Where, with a blank behind it; nothing for what has no place."""
    return f"({place[0]:.3f}, {place[1]:.3f}) " if place else ""
