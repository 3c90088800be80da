"""The outline rules, one a file; a new one is registered by one line here."""

from __future__ import annotations

from gasketcut.parts.rules.grow import Grow
from gasketcut.parts.rules.hull import Hull
from gasketcut.parts.rules.lobes import Lobes
from gasketcut.parts.rules.rule import Inside, OutlineRule
from gasketcut.parts.words import Placed

RULES: dict[str, type[OutlineRule]] = {rule.word: rule for rule in (Hull, Lobes, Grow)}

Outline = Placed | OutlineRule
"""How far a sheet reaches: a shape, or a rule that follows what is inside it."""

__all__ = ["RULES", "Grow", "Hull", "Inside", "Lobes", "Outline", "OutlineRule"]
