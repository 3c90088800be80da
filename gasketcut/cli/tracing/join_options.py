"""What `trace` lets its user say of a job that the picture is to go into."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import click

from gasketcut.cli.program import bundled
from gasketcut.cli.tracing.part_options import PartWords

_OPTIONS = (
    click.option("--into", type=click.Path(path_type=Path), help="A job that it is added to, all else as it was."),
    click.option("--joint", is_flag=True, help="It is a --face of the metal: laid over the part --name by its studs."),
    click.option("--mirrored/--not-mirrored", default=None,
                 help="Are face and part mirror images? Where the studs do not tell."),
    click.option("--flow", default="", metavar="A,B", help="Two faces in the order in which the gas meets them."),
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class JoinWords:
    """What was said, by the options' names."""

    into: Path | None = None
    joint: bool = False
    mirrored: bool | None = None
    flow: str = ""

    def check(self, out: Path | None, part: PartWords) -> None:
        """Raise `click.UsageError` for what does not go together."""
        if out is None and self.into is None:
            raise click.UsageError("write --out FILE for a new job, or --into JOB to add to one")
        if self.joint and (self.into is None or not part.face):
            raise click.UsageError("--joint wants the job and the face: --into JOB --joint --face cylinder")
        if self.joint and (part.kind or part.stock or part.absent or part.face_up):
            raise click.UsageError("--kind, --stock, --absent and --face-up are said of a sheet; --joint adds a face")
        if not self.joint and (self.mirrored is not None or self.flow):
            raise click.UsageError("--mirrored and --flow are said of a face that is laid over a part: add --joint")


join_options = bundled(_OPTIONS, JoinWords, "join")
"""The command with these options; what was said comes to it as `join`."""
