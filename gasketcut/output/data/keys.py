"""The keys of a job file, for other programs."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from gasketcut.described import Described
from gasketcut.job.reference import Section
from gasketcut.output.text.keys import default_text, written_text


def keys_data(sections: Iterable[Section]) -> dict[str, Any]:
    """Every table with its keys."""
    return {
        "sections": [
            {"name": one.name, "head": one.head, "what": one.what, "keys": [_key(each) for each in one.keys]}
            for one in sections
        ]
    }


def _key(each: Described) -> dict[str, Any]:
    key = each.key
    return {
        "name": each.name,
        "what": key.what,
        "form": each.form.takes,
        "written": written_text(each),
        "unit": each.unit or None,
        "words": list(each.form.words),
        "required": each.is_required,
        "left_out": default_text(each) or None,
        "usual": [{"of": one.of or None, "low": one.low, "high": one.high, "source": one.source} for one in key.usual],
        "rule": key.rule or None,
        "how": key.how or None,
        "example": key.example,
        "needed": list(key.needed),
        "helps": list(key.helps),
        "agrees": list(key.agrees),
    }
