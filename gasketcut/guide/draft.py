"""A job file while it is being answered: its text, what that says, and where in it a question's answer stands.

A question names the first sheet and the first part; in a job that somebody wrote by hand these are the base gasket and
its sheet, wherever they stand.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from gasketcut.checked import Path as KeyPath
from gasketcut.errors import Fault, GasketError
from gasketcut.guide.questions import Question
from gasketcut.toml.document import data_of, text_of

HEADER = "# Begun with gasketcut new; go on with it, or by hand: gasketcut status says what is missing."

SIDES = ("left", "right", "front", "rear")
"""Where a reading of the squish may be asked for by name."""

_BOM = "\ufeff"


@dataclass(frozen=True)
class Draft:
    """The file and its text, with its own line ends and byte order mark."""

    file: Path
    text: str

    @property
    def plain(self) -> str:
        """The text without byte order mark."""
        return self.text.removeprefix(_BOM)

    @cached_property
    def data(self) -> dict[str, Any]:
        """What it says."""
        return tomllib.loads(self.plain)

    @property
    def units(self) -> str | None:
        """Of its bare numbers, if it says so."""
        units = self.data.get("units")
        return units if isinstance(units, str) else None


def read_draft(file: Path) -> Draft:
    """What the file holds so far, a line about itself if it is not there; raise `GasketError` for what is no job."""
    if not file.exists():
        return Draft(file, f"{HEADER}\n")
    found = text_of(file)
    if isinstance(found, str):
        found = _BOM + found if file.read_bytes().startswith(_BOM.encode()) else found
        data = data_of(found.removeprefix(_BOM))
        if not isinstance(data, Fault):
            return Draft(file, found)
        found = data
    raise GasketError(found.text(str(file)))


def place_of(data: Mapping[str, Any], question: Question) -> KeyPath:
    """Where in that job the answer stands, or would."""
    path = question.path
    if path[0] == "squish" and path[1] in SIDES:
        readings = list_of(data, "squish", "readings")
        at = next((n for n, one in enumerate(readings) if one.get("at") == path[1]), len(readings))
        return ("squish", "readings", at, "value")
    if path[0] == "part":
        found: KeyPath = _in_list(data, path, _base(data))
    elif path[0] == "stock":
        found = _in_list(data, path, _base_stock(data))
    else:
        found = path
    here: Any = data
    placed: KeyPath = ()
    for step in found:
        if isinstance(step, str) and isinstance(here, list):  # one table or several: `studs`
            placed, here = (*placed, 0), here[0] if here else None
        if isinstance(step, int) and isinstance(here, Mapping):  # a single table counts as a list of one
            continue
        placed = (*placed, step)
        here = _step(here, step)
    return placed


def value_at(data: Any, path: KeyPath) -> Any:
    """What stands there, or None."""
    for step in path:
        data = _step(data, step)
    return data


def list_of(data: Mapping[str, Any], *path: str) -> list[Mapping[str, Any]]:
    """The tables of a list, or a single table as a list of one; what is no table counts as an empty one."""
    found = value_at(data, path)
    rows = [found] if isinstance(found, Mapping) else found if isinstance(found, list) else []
    return [one if isinstance(one, Mapping) else {} for one in rows]


def _step(here: Any, step: str | int) -> Any:
    if isinstance(step, int):
        return here[step] if isinstance(here, list) and len(here) > step else None
    return here.get(step) if isinstance(here, Mapping) else None


def _in_list(data: Mapping[str, Any], path: KeyPath, at: int) -> KeyPath:
    return (path[0], at, *path[2:]) if isinstance(data.get(str(path[0])), list) or at else path


def _base(data: Mapping[str, Any]) -> int:
    parts = list_of(data, "part")
    return next((n for n, one in enumerate(parts) if one.get("kind") == "base"), len(parts))


def _base_stock(data: Mapping[str, Any]) -> int:
    """The base gasket's, else the first that may lie under a cylinder."""
    sheets, parts = list_of(data, "stock"), list_of(data, "part")
    name = next((one.get("stock") for one in parts if one.get("kind") == "base"), None)
    named = next((n for n, one in enumerate(sheets) if name is not None and one.get("name") == name), None)
    if named is not None:
        return named
    return next((n for n, one in enumerate(sheets) if _may_be_under(one.get("joints"))), len(sheets))


def _may_be_under(joints: object) -> bool:
    return joints is None or (isinstance(joints, list) and "base" in joints)
