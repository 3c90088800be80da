"""Joints: what may pass through each kind, from `profiles/joints.toml`; a user may add kinds of his own."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from gasketcut.toml.table import Table


@dataclass(frozen=True, slots=True)
class Joints:
    """The user's own names of passages by kind of part."""

    passages: tuple[tuple[str, tuple[str, ...]], ...] = ()

    def of(self, kind: str, otherwise: tuple[str, ...]) -> tuple[str, ...]:
        """What may pass through a part of that kind by the user's own file, else what the kind says of itself."""
        return dict(self.passages).get(kind, otherwise)

    def undeclared(
        self, kind: str, otherwise: tuple[str, ...], drawn: Collection[str], absent: Collection[str]
    ) -> tuple[str, ...]:
        """Of those what is neither part of a name of what is drawn, in small letters, nor declared absent."""
        wanted = self.of(kind, otherwise)
        return tuple(name for name in wanted if name not in absent and not any(name in one for one in drawn))


def read_joints(table: Table, known: Joints) -> Joints:
    """The known ones, with what the file says in their place."""
    passages = dict(known.passages)
    inner = table.table("passages")
    if inner is not None:
        for kind in inner.names:
            passages[kind] = inner.texts(kind)
    table.close()
    return Joints(tuple(passages.items()))
