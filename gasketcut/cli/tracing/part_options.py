"""What `trace` lets its user say of the part: its kind and sheet, and what each opening is for."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import click

from gasketcut.cli.program import bundled
from gasketcut.errors import GasketError

if TYPE_CHECKING:
    from gasketcut.capture.proposals.choice import Choice
    from gasketcut.capture.roles.role import Role
    from gasketcut.capture.roles.said import PartSaid
    from gasketcut.profile.fasteners import Fasteners

_NAMED = re.compile(r"\s*([A-Za-z]{1,2}|[Ww]\d+)\s*=\s*(.+?)\s*")


class Accepted(click.ParamType):  # type: ignore[type-arg]  # generic in newer releases only
    """A kind of proposal, `all`, or `all-but C`."""

    name = "KIND|all|all-but NAME"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> str:
        from gasketcut.capture.proposals.choice import accepting

        try:
            accepting([str(value)])
        except ValueError as error:
            self.fail(str(error), param, ctx)
        return str(value)


class AcceptsWords(click.Command):
    """Takes `--accept all-but C` as one word, as it is written in three."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        joined: list[str] = []
        for word in args:
            if joined and joined[-1] in ("all-but", "--accept=all-but"):
                joined[-1] += f" {word}"
            else:
                joined.append(word)
        return super().parse_args(ctx, joined)


_OPTIONS = (
    click.option("--kind", default="", help="What it is, e.g. intake, exhaust, base; without it the others are named."),
    click.option("--name", default="", help="Its name, and that of its files."),
    click.option("--stock", default="", help="The sheet the new one is cut from, by its name; --thickness says more."),
    click.option("--as", "roles", multiple=True, metavar="NAME=ROLE",
                 help="What an opening is for: stud:SIZE, dowel:DIAMETER, opening, port:NAME, impulse, oil, water, "
                 "drain or hole; can be repeated."),
    click.option("--face-up", default="", help="The side that lay on the glass, e.g. \"cylinder side\"."),
    click.option("--absent", metavar="a,b", default="", help="Passages this engine does not have: oil,water."),
    click.option("--face", default="", help="It is no gasket but this face of the metal, e.g. cylinder."),
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class PartWords:
    """What was said of the part, by the options' names."""

    kind: str = ""
    name: str = ""
    stock: str = ""
    roles: tuple[str, ...] = ()
    face_up: str = ""
    absent: str = ""
    face: str = ""

    def said(self, fasteners: Fasteners, thickness: float | None) -> PartSaid:
        """The same as a value; raise `GasketError` for what is no kind or no role, and for two roles of one opening."""
        from gasketcut.capture.roles.said import PartSaid, kind_of

        roles = _roles(self.roles, fasteners)
        absent = {name.lower() for name in names_in(self.absent)}
        for name, role in roles.items():
            if (role.of or role.what).lower() in absent:
                raise GasketError(f"--as {name}={role.text}, and --absent has it too: is it there, or is it not?")
        return PartSaid(
            kind=kind_of(self.kind) if self.kind else "",
            name=self.name,
            stock=self.stock,
            thickness=thickness,
            roles=roles,
            face_up=self.face_up,
            absent=names_in(self.absent),
            face=self.face,
        )


def names_in(text: str) -> tuple[str, ...]:
    """From `oil,water`."""
    return tuple(word.strip() for word in text.split(",") if word.strip())


def named_role(text: str, fasteners: Fasteners) -> tuple[str, Role]:
    """From `A=stud:M5`."""
    from gasketcut.capture.roles.role import WORDS, role_of

    found = _NAMED.fullmatch(text)
    if found is None:
        raise GasketError(f"--as {text}: write a name and what it is for, e.g. A=stud:M5 or W1=opening; roles: {WORDS}")
    return found[1].upper(), role_of(found[2], fasteners)


def _roles(words: Sequence[str], fasteners: Fasteners) -> dict[str, Role]:
    roles: dict[str, Role] = {}
    for name, role in (named_role(text, fasteners) for text in words):
        if roles.setdefault(name, role) != role:
            raise GasketError(f"--as {name}={roles[name].text} and --as {name}={role.text}: say one role of {name}")
    return roles


part_options = bundled(_OPTIONS, PartWords, "part")
"""The command with these options; what was said comes to it as `part`."""


def chosen(words: tuple[str, ...]) -> Choice:
    """The proposals that are taken without a question."""
    from gasketcut.capture.proposals.choice import accepting

    return accepting(words)
