"""Shipped and user's own data: fasteners, sheets, papers, cutters, engines.

A profile is a TOML file of plain data in which every value names its source. An entry beside the job file
comes before one in the user's config folder, and that before the shipped one of the same name.
"""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

from gasketcut.errors import GasketError

_PACKAGE = Path(__file__).resolve().parent.parent


def shipped(name: str) -> Path:
    """The shipped profile file of that name, e.g. `fasteners`; in a checkout `profiles/` lies beside the package."""
    inside = _PACKAGE / "profiles" / f"{name}.toml"
    return inside if inside.exists() else _PACKAGE.parent / "profiles" / f"{name}.toml"


def user_folder() -> Path:
    """Where a user's own profiles live, as click and the platform have it."""
    import click

    return Path(click.get_app_dir("gasketcut"))


def load(name: str, beside: Path | None = None) -> dict[str, Any]:
    """The profile as plain data: the shipped entries, replaced by the user's and then by the job's own of that name.

    Raise `GasketError` if a user's own file cannot be read.
    """
    folders = [folder for folder in (user_folder(), beside) if folder is not None]
    files = [shipped(name), *(folder / f"{name}.toml" for folder in folders)]
    merged: dict[str, Any] = {}
    for file in files:
        if file.is_file():
            for key, value in _read(file).items():
                known = merged.get(key)
                merged[key] = {**known, **value} if isinstance(known, dict) and isinstance(value, dict) else value
    return merged


@cache
def _read(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise GasketError(f"profile {path.name}: {error}") from error
