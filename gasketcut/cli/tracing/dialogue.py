"""On a terminal `trace` asks for what was not said of the part; Enter leaves a question open, "stop" all of them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import click

from gasketcut.cli.program import say
from gasketcut.cli.tracing.part_options import named_role, names_in
from gasketcut.errors import GasketError

if TYPE_CHECKING:
    from gasketcut.capture.roles.asked import Asked
    from gasketcut.capture.roles.said import PartSaid
    from gasketcut.capture.traced_part import TracedPart
    from gasketcut.profile.profiles import Profiles


def asked_on_terminal(part: TracedPart, said: PartSaid, profiles: Profiles) -> PartSaid:
    """With the answers; what stays open is told at the end, as it is without a terminal."""
    from gasketcut.capture.roles.asked import asked

    left = set[str]()
    while one := next((each for each in asked(part, said, profiles.joints) if each.flag not in left), None):
        say(f"\n{one.text}{'; write them with commas, or all' if one.what == 'absent' else ''}")
        try:
            text = str(click.prompt(f"  {one.flag}", default="", show_default=False, prompt_suffix="> ")).strip()
        except click.Abort:
            return said
        if text == "stop" or (not text and one.what == "kind"):
            return said
        try:
            said = _with_answer(part, said, one, text, profiles) if text else said
        except GasketError as error:
            say(f"  {error}")
            continue
        if not text:
            left.add(one.flag)
    return said


def _with_answer(part: TracedPart, said: PartSaid, one: Asked, text: str, profiles: Profiles) -> PartSaid:
    """Raise `GasketError` for an answer that cannot be taken."""
    from gasketcut.capture.roles.openings import check_roles, openings_of
    from gasketcut.capture.roles.said import kind_of
    from gasketcut.length import parse_length

    if one.what == "role":
        name, role = named_role(f"{one.of[0]}={text}", profiles.fasteners)
        made = said.with_roles({name: role})
        check_roles(openings_of(part), made, profiles.fasteners)
        return made
    if one.what == "kind":
        return replace(said, kind=kind_of(text))
    if one.what == "thickness":
        return replace(said, thickness=parse_length(f"{text} mm" if text[-1:].isdigit() else text))
    if one.what == "absent":
        return replace(said, absent=(*said.absent, *(one.of if text == "all" else names_in(text))))
    if one.what == "name":
        return replace(said, name=text)
    return replace(said, stock=text) if one.what == "stock" else replace(said, face_up=text)
