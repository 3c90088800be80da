"""From a picture to parts: edges, scale, true shapes, and the round or equal numbers that may be meant.

Nothing is changed unless it was accepted: a proposal says what was found and what it would become.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from gasketcut.capture.image.picture_file import Scan, read_scan
from gasketcut.capture.known_distance import compared, unequal_scales
from gasketcut.capture.proposals.offers import Proposal
from gasketcut.capture.scale.dpi import Scale
from gasketcut.capture.scale.photo import Photo
from gasketcut.capture.seeing.in_photo import seen_in_photo
from gasketcut.capture.seeing.in_scan import seen_in_scan
from gasketcut.capture.seeing.seen import Seen, with_calipers
from gasketcut.capture.settings import TraceSettings
from gasketcut.capture.torn.missing import mended
from gasketcut.capture.torn.on_part import in_turn, numbered, questions_on, with_bridges
from gasketcut.capture.torn.question import Question
from gasketcut.capture.traced_part import TracedPart, large_residuals, meant, part_of
from gasketcut.profile.fasteners import Fasteners
from gasketcut.profile.profiles import read_profiles

_NOTHING_SAID = TraceSettings()


@dataclass(frozen=True, slots=True)
class Traced:
    """All parts of the picture with the scale they were measured by."""

    scale: Scale | Photo
    parts: tuple[TracedPart, ...]
    proposals: tuple[Proposal, ...]
    warnings: tuple[str, ...]
    dust: int
    questions: tuple[Question, ...] = ()


def trace(
    source: bytes | str | Path | Scan,
    settings: TraceSettings = _NOTHING_SAID,
    *,
    fasteners: Fasteners | None = None,
    accept: Callable[[Proposal], bool] = lambda _: False,
    on_progress: Callable[[str], None] = lambda _: None,
) -> Traced:
    """The parts in a scan or a photograph; raise `PictureError` for what is no picture, or shows no part.

    source    : a file that `read_scan` reads, its bytes, or one that was read already
    fasteners : whose clearance holes the holes may be meant to be; None: ours and the user's own
    accept    : asked for each proposal
    """
    scan = source if isinstance(source, Scan) else read_scan(source, settings.page)
    on_progress("looking for edges")
    seen = seen_in(scan, settings)
    on_progress("fitting circles, lines and arcs")
    return _fitted(seen, settings, fasteners or read_profiles().fasteners, accept)


def seen_in(scan: Scan, settings: TraceSettings) -> Seen:
    """Scale and silhouettes; raise `PictureError` for no part, or no scale."""
    return with_calipers(seen_in_photo(scan, settings) if settings.is_photo else seen_in_scan(scan, settings), settings)


def _fitted(seen: Seen, settings: TraceSettings, fasteners: Fasteners, accept: Callable[[Proposal], bool]) -> Traced:
    """The silhouettes as parts, what may be meant by them, and the warnings."""
    scale, warnings = seen.scale, list(seen.warnings)
    larger = [part_of(one, scale, settings.fit) for one in seen.before]
    as_seen = numbered([*larger, *seen.parts(settings.fit)])[len(larger) :]
    questions = questions_on(as_seen, settings.bridges)
    parts = with_bridges(as_seen, settings.bridges)
    if len(parts) > 1:
        warnings.append(f"{len(parts)} parts in one picture: each becomes a part of its own; --pick 1 takes the first")
    warnings += unequal_scales(parts[0], scale)
    warnings += [warning for part in parts for warning in large_residuals(part)]
    if settings.check is not None:
        warnings.append(compared(parts[0], settings.check))
    proposals, done = [], []
    for number, part in enumerate(parts):
        moved = seen.moved if number == 0 else None
        whole, symmetry, fills, questions = mended(part, number, settings.fit, questions, accept)
        made, offered = meant(whole, number, scale.sigma, settings.fit, fasteners, moved, symmetry, accept)
        proposals += [*fills, *offered]
        done.append(made)
    return Traced(scale, tuple(done), tuple(proposals), tuple(warnings), seen.dust, in_turn(questions))
