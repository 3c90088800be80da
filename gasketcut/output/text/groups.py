"""The groups of a received drawing in plain words: what they look like, which faults go with them, the way out."""

from __future__ import annotations

from collections import Counter

from gasketcut.received.inspection import Inspection


def group_rows(found: Inspection) -> list[str]:
    """Two lines for each group, a blank one before it."""
    total = Counter(flaw.kind for flaw in found.flaws)
    rows = []
    for group in found.groups:
        them = "them" if group.count > 1 else "it"
        x, y = group.at
        rows += ["", f"  ({x:.3f}, {y:.3f}) looks like {group.called}: {group.says}"]
        counts = Counter(flaw.kind for flaw in group.flaws)
        faults = ", ".join(
            f"{count} {kind}" if count == total[kind] else f"{count} of {total[kind]} {kind}"
            for kind, count in counts.items()
        )
        because = f"{faults}: only because of {them}; " if faults else ""
        rows.append(f"    {because}--drop {group.drop} leaves {them} out")
    return rows
