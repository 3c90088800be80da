"""What has to be said before a traced part is a whole one, each with the flag that says it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from gasketcut.capture.proposals.offers import Proposal
from gasketcut.capture.roles.openings import openings_of
from gasketcut.capture.roles.role import WORDS
from gasketcut.capture.roles.said import PartSaid, traced_kinds
from gasketcut.capture.traced_part import TracedPart
from gasketcut.profile.joints import Joints

What = Literal["kind", "name", "role", "stock", "thickness", "absent", "face_up"]


@dataclass(frozen=True, slots=True)
class Asked:
    """`flag` as it is to be added; `text` what goes into it; `of` the opening, or the passages, it is about."""

    what: What
    flag: str
    text: str
    of: tuple[str, ...] = ()


KIND = Asked("kind", "--kind KIND", f"what it is: {', '.join(traced_kinds())}")


def asked(part: TracedPart, said: PartSaid, joints: Joints, offered: Sequence[Proposal] = ()) -> tuple[Asked, ...]:
    """All that nobody has said of the part, in the order in which it is best said.

    offered : what may be meant; a guess of a role stands in the flag
    """
    guessed = {name: text for one in offered for name, text in one.roles}
    return tuple(_asked(part, said, joints, guessed))


def _asked(part: TracedPart, said: PartSaid, joints: Joints, guessed: Mapping[str, str]) -> Iterator[Asked]:
    if not said.kind:
        yield KIND
    if not said.name:
        yield Asked("name", "--name NAME", "a name for it and for its files, e.g. carb-gasket")
    yield from _roles(part, said, guessed)
    if not said.spec.seals:
        return
    if not said.stock:
        yield Asked("stock", '--stock "NAME"', 'the sheet that the new one is cut from, e.g. --stock "paper 0.5"')
    if said.thickness is None:
        yield Asked("thickness", "--thickness MM", "of that sheet, by micrometer, e.g. --thickness 0.5")
    named = [(role.of or role.what).lower() for role in said.roles.values()]
    named += [
        text.rpartition(":")[2].lower() for text in guessed.values()
    ]  # what one flag names is not absent in another
    if any(name in ("opening", *said.spec.opening_is) for name in named):
        named += said.spec.opening_is
    if open_ := joints.undeclared(said.spec.kind, said.spec.passages, named, said.absent):
        words = f"of {', '.join(open_)} those that this engine does not have; for the others --as names the hole"
        flag = ",".join([*said.absent, *open_])
        yield Asked("absent", f"--absent {flag}", words, open_)
    if not said.face_up:
        yield Asked("face_up", '--face-up "SIDE"', 'which side lay on the glass, e.g. --face-up "cylinder side"')


def _roles(part: TracedPart, said: PartSaid, guessed: Mapping[str, str]) -> Iterator[Asked]:
    """Of a flat part only what is not round: its other holes are holes."""
    if said.kind and not said.spec.seals and not said.face and said.spec.opening_key == "opening":
        return
    for one in openings_of(part):
        if one.name not in said.roles:
            guess = guessed.get(one.name)
            words = f"; {guess} is a guess from size and place" if guess else ""
            yield Asked("role", f"--as {one.name}={guess or 'ROLE'}", f"{one.says}: {WORDS}{words}", (one.name,))
