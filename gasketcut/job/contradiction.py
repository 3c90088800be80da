"""Two statements of a job that cannot both be true: shown with both readings, and nothing is decided."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gasketcut.checked import Path, dotted
from gasketcut.finding import Finding

Result = Literal["squish", "wheel", "stencil", "outlet", "pressure"]


@dataclass(frozen=True, slots=True)
class Contradiction:
    """What was said twice, differently.

    keys    the ways to them in the job file; the first is where a message points to
    values  what each says, e.g. "opens = 101 deg"
    text    both readings in one sentence, and what to do
    blocks  the results that depend on it
    """

    keys: tuple[Path, ...]
    values: tuple[str, ...]
    text: str
    blocks: tuple[Result, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        """The keys as messages name them."""
        return tuple(dotted(key) for key in self.keys)

    def finding(self) -> Finding:
        """As a warning beside what can be had all the same."""
        held = f"; until then there is no {', '.join(self.blocks)}" if self.blocks else ""
        return Finding(
            rule="contradiction",
            weight="warn",
            part=None,
            text=f"{self.names[0]}: {self.text}",
            do=f"measure again and keep the one you trust{held}",
        )
