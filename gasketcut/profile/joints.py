"""Joints: what may pass through each kind, from `profiles/joints.toml`; a user may add kinds of his own."""

from __future__ import annotations

from dataclasses import dataclass

from gasketcut.toml.table import Table


@dataclass(frozen=True, slots=True)
class Joints:
    """Names of passages by kind of part."""

    passages: tuple[tuple[str, tuple[str, ...]], ...] = ()

    def of(self, kind: str) -> tuple[str, ...]:
        """What may pass through a part of that kind; nothing is known of one that is not there."""
        return dict(self.passages).get(kind, ())


def read_joints(table: Table, known: Joints) -> Joints:
    """The known ones, with what the file says in their place."""
    passages = dict(known.passages)
    inner = table.table("passages")
    if inner is not None:
        for kind in inner.names:
            passages[kind] = inner.texts(kind)
    table.close()
    return Joints(tuple(passages.items()))
