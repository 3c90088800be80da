"""What is said of each part of a picture: by the user, and by the proposals that were taken."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from gasketcut.capture.lettering import letter
from gasketcut.capture.proposals.offers import Proposal
from gasketcut.capture.roles.guesses import guesses
from gasketcut.capture.roles.openings import check_roles, openings_of
from gasketcut.capture.roles.role import Role, RoleError, role_of
from gasketcut.capture.roles.said import PartSaid
from gasketcut.capture.traced import Traced
from gasketcut.profile.fasteners import Fasteners


def said_of_each(
    traced: Traced, said: PartSaid, fasteners: Fasteners, accept: Callable[[Proposal], bool]
) -> tuple[Traced, tuple[PartSaid, ...]]:
    """The picture with what its openings may be for among the proposals, and what then is said of each part.

    Raise `RoleError` for what cannot be, and for roles said of a picture with several parts.
    """
    if said.roles and len(traced.parts) > 1:
        raise RoleError(f"there are {len(traced.parts)} parts in the picture, each with an A; --pick 1 takes the first")
    offered: list[Proposal] = []
    each = []
    for number, part in enumerate(traced.parts):
        mine = said.with_roles(_bolts(traced, number))
        check_roles(openings_of(part), mine, fasteners)
        for one in guesses(part, number, mine, fasteners):
            decided = replace(one, accepted=accept(one))
            offered.append(decided)
            if decided.accepted:
                mine = mine.with_roles({name: role_of(text, fasteners) for name, text in one.roles})
        each.append(mine)
    return replace(traced, proposals=(*traced.proposals, *offered)), tuple(each)


def _bolts(traced: Traced, number: int) -> dict[str, Role]:
    """A hole that was taken to be a bolt's clearance hole is a stud's."""
    taken = [one for one in traced.proposals if one.accepted and one.bolt and one.part == number]
    return {letter(hole): Role("stud", one.bolt.rsplit(" ", 1)[0]) for one in taken for hole in one.holes if one.bolt}
