"""What the user says of the part in the picture, besides what each opening is for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from gasketcut.capture.roles.role import Role, RoleError
from gasketcut.parts.kinds import KINDS
from gasketcut.parts.part_spec import PartSpec
from gasketcut.toml.faults import meant

UNSAID_KIND, UNSAID_NAME = "flat", "traced"
"""What it is written as while nobody has said what it is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartSaid:
    """Empty or None where nothing was said.

    roles      by the names of the openings
    thickness  of the sheet [mm]
    absent     passages of such a joint that the engine does not have
    face       it is no gasket but this face of the metal itself, inked or on the glass
    """

    kind: str = ""
    name: str = ""
    stock: str = ""
    thickness: float | None = None
    roles: Mapping[str, Role] = field(default_factory=dict)
    face_up: str = ""
    absent: tuple[str, ...] = ()
    face: str = ""

    @property
    def spec(self) -> type[PartSpec]:
        """What its kind says of itself."""
        return KINDS[self.kind or UNSAID_KIND]

    def with_roles(self, more: Mapping[str, Role]) -> PartSaid:
        """With these too; what was said before stays."""
        return replace(self, roles={**more, **self.roles})


def instead_of_tracing(kind: type[PartSpec]) -> str:
    """What to do where no picture can become such a part; empty where one can."""
    if kind.follows is not None and not kind.own_outline:
        return f"it is made after another part; trace that one, then add this by hand with {kind.follows}"
    return kind.instead_of_tracing


def kind_of(text: str) -> str:
    """The kind that the text names; raise `RoleError` for another, or one that no picture can become."""
    if text not in KINDS:
        raise RoleError(f"{text!r} is no kind of part; {meant(text, traced_kinds())}")
    if instead := instead_of_tracing(KINDS[text]):
        raise RoleError(f"no picture becomes a part of kind {text}: {instead}")
    return text


def traced_kinds() -> tuple[str, ...]:
    """The kinds that a picture can become."""
    return tuple(name for name, kind in KINDS.items() if not instead_of_tracing(kind))
