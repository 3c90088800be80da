r"""Names of layers that every reader takes: ASCII, and none of the characters < > / \ " : ; ? * | = ` , in them.

Source of the characters: the DXF reference's rules for names of tables.
"""

from __future__ import annotations

from collections.abc import Iterable

_REFUSED = set('<>/\\":;?*|=`,')
_LONGEST = 255  # DXF reference


def refused_in(name: str) -> str:
    """The characters of the name that programs refuse, in words; empty if there are none."""
    found = [letter for letter in dict.fromkeys(name) if letter in _REFUSED]
    words = [" ".join(found)] if found else []
    if any(ord(letter) < 32 or ord(letter) == 127 for letter in name):
        words.append("control characters")
    if len(name) > _LONGEST:
        words.append(f"{len(name)} characters, {_LONGEST} are the most")
    return " and ".join(words)


def plain_names(names: Iterable[str]) -> dict[str, str]:
    """Each name, and one like it that every reader takes; different names (but for capitals) stay different."""
    given = list(dict.fromkeys(names))
    kept = [name for name in given if _plain(name) == name]
    taken = {name.upper() for name in kept}
    found = {name: name for name in kept}
    alike: dict[str, str] = {}
    for name in given:
        if name in found:
            continue
        if name.upper() not in alike:
            base, number = _plain(name), 1
            fresh = base
            while fresh.upper() in taken:
                number += 1
                fresh = f"{base}_{number}"
            taken.add(fresh.upper())
            alike[name.upper()] = fresh
        found[name] = alike[name.upper()]
    return found


def _plain(name: str) -> str:
    letters = ("_" if letter in _REFUSED or not 32 <= ord(letter) < 127 else letter for letter in name)
    return "".join(letters).strip()[: _LONGEST - 5] or "0"
