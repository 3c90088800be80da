"""Layers that are not cut because of their name."""

from __future__ import annotations

from collections.abc import Iterator

from gasketcut.received.faults.taken import MARK
from gasketcut.received.looks.look import Look
from gasketcut.received.looks.scene import Scene


def marked_layers(scene: Scene) -> Iterator[Look]:
    """One for each layer that is taken as marking; our own beside our own cuts is what we call it, and so is a lead,
    which is known by where it lies."""
    ours = scene.is_ours
    for taken in scene.taken:
        if taken.kind == "marking" and not (ours and taken.layer == MARK):
            lines = f"{taken.count} line{'' if taken.count == 1 else 's'}"
            yield Look(
                "not-cut",
                taken.at,
                f"taken as marking, not cut: layer {taken.layer}, {lines}",
                "name the layer otherwise if it is cut",
            )
