"""What an answer rests on, as rows of words: each key with what was assumed in its place."""

from __future__ import annotations

from gasketcut.engine.squish.result import SquishResult

NO_KEY = "(no key)"


def assumed_rows(answer: SquishResult) -> list[tuple[str, str]]:
    """The key that replaces it, and what was assumed; the many keys of one table below `engine` in one row."""
    rows: dict[str, list[str]] = {}
    for one in answer.assumed:
        table, _, name = (one.key or NO_KEY).rpartition(".")
        if table.count("."):
            rows.setdefault(f"{table}", []).append(f"{name} {one.value}")
        else:
            rows.setdefault(one.key or NO_KEY, []).append(f"{one.what}: {one.value}")
    return [(key, "; ".join(words)) for key, words in rows.items()]
