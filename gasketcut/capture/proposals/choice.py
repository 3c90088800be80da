"""Which proposals are taken: some kinds, all, or all but what a hole or a kind concerns."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from gasketcut.capture.lettering import letter
from gasketcut.capture.proposals.kinds import KINDS, OF_HOLES
from gasketcut.capture.proposals.offers import Proposal


@dataclass(frozen=True, slots=True)
class Choice:
    """`kinds` that are taken, or `"all"`; nothing of what is `spared`: kinds, and holes or windows by their names."""

    kinds: Collection[str]
    spared: Collection[str] = ()

    def __call__(self, one: Proposal) -> bool:
        if one.kind in self.spared or any(concerns(one, name) for name in self.spared):
            return False
        return "all" in self.kinds or one.kind in self.kinds


def concerns(one: Proposal, name: str) -> bool:
    """Would it move or change the opening of that name, or say what it is for?"""
    holes = [letter(number) for number in one.holes] if one.kind in OF_HOLES else []
    return bool(one.images) or name in holes or any(name == opening for opening, _ in one.roles)


def accepting(words: Collection[str]) -> Choice:
    """From the words of `--accept`: kinds, `all`, and `all-but` with names; raise `ValueError` for another word."""
    kinds, spared = set[str](), set[str]()
    for word in words:
        first, *rest = word.split(None, 1)
        if first == "all-but":
            names = [name.strip() for part in rest for name in part.split(",") if name.strip()]
            if not names:
                raise ValueError("write what is left out: all-but C, or all-but moved-hole")
            kinds.add("all")
            spared |= {name if name in KINDS else _name(name) for name in names}
        elif word in (*KINDS, "all"):
            kinds.add(word)
        else:
            raise ValueError(f"{word!r} is no kind of proposal; write one of {', '.join(KINDS)}, all, or all-but NAME")
    return Choice(frozenset(kinds), frozenset(spared))


def _name(name: str) -> str:
    """Of a hole or window."""
    made = name.upper()
    if not (made.isalpha() and len(made) <= 2) and not (made[0] == "W" and made[1:].isdigit()):
        raise ValueError(f"{name!r} is neither a hole, a window nor a kind of proposal; write e.g. all-but C, W1")
    return made
