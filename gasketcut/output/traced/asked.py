"""What nobody has said yet of a traced part, with the flags that say it."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from gasketcut.output.text.finding import WIDTH

if TYPE_CHECKING:
    from gasketcut.capture.roles.asked import Asked
    from gasketcut.capture.roles.said import PartSaid


def asked_text(asked: Sequence[Sequence[Asked]], file: str, *, is_added: bool) -> str:
    """Each flag with what goes into it, then all of a part in a row.

    asked    : of each part
    is_added : to a job that was there, where it stands by its name already
    """
    if not any(asked):
        return f"\nAll is said. gasketcut fit {file} checks the part, and names what is still to be measured."
    rows = ["", "Not said yet; what stays open is not proven:"]
    several = len(asked) > 1
    for number, of_part in enumerate(asked, 1):
        if several and of_part:
            rows.append(f"part {number}")
        for one in of_part:
            rows.append(f"  {one.flag}")
            rows += textwrap.wrap(one.text, WIDTH, initial_indent="      ", subsequent_indent="      ")
    first = "Add"
    if is_added:
        rows.append(f"Take {'these parts' if several else 'this part'} out of {file} before it is added again.")
    elif several:
        first = "Add, with an --out of its own for each part"
    for number, of_part in enumerate(asked, 1):
        if not of_part:
            continue
        flags = [*([f"--pick {number}"] if several else []), *(one.flag for one in of_part)]
        rows.append(f"{first}: {' '.join(flags)}{'' if is_added or several else ' --replace'}")
    return "\n".join(rows)


def said_data(said: Sequence[PartSaid], asked: Sequence[Sequence[Asked]]) -> dict[str, Any]:
    """Roles by the names of the openings, for each part; and what is asked of each, by the part's place."""
    return {
        "roles": [{name: role.text for name, role in one.roles.items()} for one in said],
        "asked": [
            {"part": number, "flag": one.flag, "text": one.text} for number, of_it in enumerate(asked) for one in of_it
        ],
    }
