"""What a traced picture is written as: a job of its own, one part more of a job, or a face over a job's part."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from gasketcut.cli.tracing.part_options import names_in

if TYPE_CHECKING:
    from gasketcut.capture.roles.said import PartSaid
    from gasketcut.capture.traced import Traced
    from gasketcut.capture.traced_part import TracedPart
    from gasketcut.cli.tracing.join_options import JoinWords
    from gasketcut.profile.profiles import Profiles

    Ask = Callable[[TracedPart, PartSaid], PartSaid]


@dataclass(frozen=True, slots=True)
class Written:
    """The job's text; what is to be said of it, in words and as data."""

    text: str
    words: str
    data: dict[str, Any]


def as_part(
    traced: Traced, said: tuple[PartSaid, ...], image: Path, join: JoinWords, out: Path, profiles: Profiles, ask: Ask
) -> Written:
    """A job of its own, or the job with the parts added; raise `GasketError` for what cannot be."""
    from gasketcut.capture.job_text import added_text, job_text
    from gasketcut.capture.roles.asked import asked
    from gasketcut.capture.roles.openings import check_face
    from gasketcut.job.reading.reader import parse_job
    from gasketcut.output.traced.asked import asked_text, said_data

    if len(said) == 1:
        said = (ask(traced.parts[0], said[0]),)
    for one, of_it in zip(traced.parts, said, strict=True):
        check_face(one, of_it)
    open_ = [
        asked(part, of_it, profiles.joints, [one for one in traced.proposals if one.part == number])
        for number, (part, of_it) in enumerate(zip(traced.parts, said, strict=True))
    ]
    text = job_text(traced, image.stem, said) if join.into is None else added_text(_text(join.into), traced, said)
    parse_job(text, out)  # what was said of the part cannot be: told before anything is written
    return Written(text, asked_text(open_, str(out), is_added=join.into is not None), said_data(said, open_))


def as_face(traced: Traced, said: tuple[PartSaid, ...], join: JoinWords, out: Path, profiles: Profiles) -> Written:
    """The job with the face laid over its part; raise `GasketError` where it cannot be laid, or is not all known."""
    from gasketcut.capture.joining.onto_part import onto_part
    from gasketcut.capture.roles.role import RoleError
    from gasketcut.flow import evaluate
    from gasketcut.job.reading.reader import parse_job
    from gasketcut.output.traced.joined import joined_data, joined_text

    assert join.into is not None
    if len(traced.parts) > 1:
        raise RoleError(f"there are {len(traced.parts)} parts in the picture; --pick 1 takes the first")
    text = _text(join.into)
    job = evaluate(parse_job(text, join.into), profiles)
    found = onto_part(
        text,
        job.specs,
        job.drawings,
        traced.parts[0],
        said[0],
        mirrored=join.mirrored,
        flow=names_in(join.flow),
    )
    parse_job(found.text, out)
    return Written(found.text, joined_text(found, str(out)), joined_data(found))


def _text(job: Path) -> str:
    from gasketcut.errors import Fault, GasketError
    from gasketcut.toml.document import text_of

    found = text_of(job)
    if isinstance(found, Fault):
        raise GasketError(found.text(str(job)))
    return found
