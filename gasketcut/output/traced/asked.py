"""What nobody has said yet of a traced part, with the flags that say it."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from gasketcut.output.text.finding import WIDTH

if TYPE_CHECKING:
    from gasketcut.capture.roles.asked import Asked
    from gasketcut.capture.roles.said import PartSaid


def asked_text(asked: Sequence[Asked], file: str) -> str:
    """Each flag with what goes into it, then all in a row; empty where everything is said."""
    if not asked:
        return f"\nAll is said. gasketcut fit {file} checks the part, and names what is still to be measured."
    rows = ["", "Not said yet; what stays open is not proven:"]
    for one in asked:
        rows.append(f"  {one.flag}")
        rows += textwrap.wrap(one.text, WIDTH, initial_indent="      ", subsequent_indent="      ")
    return "\n".join([*rows, f"Add: {' '.join(one.flag for one in asked)} --replace"])


def said_data(said: Sequence[PartSaid], asked: Sequence[Asked]) -> dict[str, Any]:
    """Roles by the names of the openings, for each part; and what is asked."""
    return {
        "roles": [{name: role.text for name, role in one.roles.items()} for one in said],
        "asked": [{"flag": one.flag, "text": one.text} for one in asked],
    }
