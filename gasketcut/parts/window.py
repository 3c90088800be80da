"""What is in the metal, and what lies where.

Window    something in the metal that the sheet must not cover: a port or a passage.
Landmark  something that tells a person which way the sheet lies.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gasketcut.checked import Checked
from gasketcut.parts.words import Placed

Role = Literal["port", "passage"]


@dataclass(frozen=True, slots=True)
class Window(Checked):
    """A port or passage as it is in the metal.

    cut  True: the sheet is opened here too, by the part's set-back larger; a Placed: by that shape instead;
         False: nothing of its own is cut and the part's opening has to clear it; None: as the kind of part has it
    """

    name: str
    role: Role
    placed: Placed
    cut: bool | Placed | None = None
    face: str | None = None


@dataclass(frozen=True, slots=True)
class Landmark(Checked):
    """What lies in the direction `toward` (degrees from +x), e.g. the exhaust side."""

    name: str
    toward: float
