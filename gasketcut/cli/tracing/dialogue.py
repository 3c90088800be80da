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


def kind_asked_on_terminal(said: PartSaid) -> PartSaid:
    """With the kind, if it was not said before; without it nothing can be guessed of the part."""
    from gasketcut.capture.roles.asked import KIND
    from gasketcut.capture.roles.said import kind_of

    while not said.kind:
        text = _answer(KIND.text, KIND.flag)
        if text in ("", "stop"):
            return said
        try:
            said = replace(said, kind=kind_of(text))
        except GasketError as error:
            say(f"  {error}")
    return said


def asked_on_terminal(part: TracedPart, said: PartSaid, profiles: Profiles) -> PartSaid:
    """With the answers, if its kind is known; what stays open is told at the end, as it is without a terminal."""
    from gasketcut.capture.roles.asked import asked

    left = set[str]()
    if not said.kind:
        return said
    while one := next((each for each in asked(part, said, profiles.joints) if each.flag not in left), None):
        text = _answer(f"{one.text}{'; write them with commas, or all' if one.what == 'absent' else ''}", one.flag)
        if text == "stop":
            return said
        try:
            said = _with_answer(part, said, one, text, profiles) if text else said
        except GasketError as error:
            say(f"  {error}")
            continue
        if not text:
            left.add(one.flag)
    return said


def _answer(text: str, flag: str) -> str:
    """Ctrl-C is a stop."""
    say(f"\n{text}")
    try:
        return str(click.prompt(f"  {flag}", default="", show_default=False, prompt_suffix="> ")).strip()
    except click.Abort:
        return "stop"


def _with_answer(part: TracedPart, said: PartSaid, one: Asked, text: str, profiles: Profiles) -> PartSaid:
    """Raise `GasketError` for an answer that cannot be taken."""
    from gasketcut.capture.roles.openings import check_roles, openings_of
    from gasketcut.length import parse_length

    if one.what == "role":
        name, role = named_role(f"{one.of[0]}={text}", profiles.fasteners)
        made = said.with_roles({name: role})
        check_roles(openings_of(part), made, profiles.fasteners)
        return made
    if one.what == "thickness":
        return replace(said, thickness=parse_length(f"{text} mm" if text[-1:].isdigit() else text))
    if one.what == "absent":
        return replace(said, absent=(*said.absent, *(one.of if text == "all" else names_in(text))))
    if one.what == "name":
        return replace(said, name=text)
    return replace(said, stock=text) if one.what == "stock" else replace(said, face_up=text)
