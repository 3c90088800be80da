"""What a half-filled job goes without, in one line a table: said, and nothing else held back for it."""

from __future__ import annotations

from collections.abc import Iterator

from gasketcut.errors import Fault, Lack
from gasketcut.finding import Finding, Weight
from gasketcut.job.model import Job

_WITHOUT: dict[str, tuple[Weight, str]] = {
    "squish": ("note", "the thickness was not checked"),
    "part": ("warn", "it is not drawn"),
    "stock": ("warn", "it is not among the sheets"),
    "measure": ("warn", "no hole places follow from it"),
    "work": ("warn", "it is left out of what is new"),
    "clamp": ("note", "how hard the joint is clamped was not worked out"),
    "cost": ("warn", "it is not in the sum"),
    "trial": ("warn", "it is not among the trials"),
    "record": ("warn", "it is left off the build sheet"),
}


def not_yet(job: Job) -> Iterator[Finding]:
    """One finding for each table that lacks something: a warning where a part is not drawn or a sum is too small."""
    rows: dict[str, list[Fault]] = {}
    for fault in job.lacking():
        rows.setdefault(fault.key, []).append(fault)
    for key, faults in rows.items():
        section = key.partition(".")[0]
        weight, without = _WITHOUT.get(section, ("note", "nothing was worked out from it"))
        names = [fault.message.key for fault in faults if isinstance(fault.message, Lack)]
        wanted = f"{' and '.join(names)} {'is' if len(names) == 1 else 'are'}"
        yield Finding(
            rule="not yet",
            weight=weight,
            part=None,
            text=f"{key or 'job'}: {wanted} not there yet, so {without}",
            do="; ".join(dict.fromkeys(str(fault.message) for fault in faults)),
        )
