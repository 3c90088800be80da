"""A user's own profile files, as texts; and where ours lie.

A file in the job's folder comes before one in the user's config folder, and that before the shipped one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from gasketcut.errors import Fault
from gasketcut.toml.document import data_of, text_of

PACKAGE = Path(__file__).resolve().parent.parent
WHAT = "profile"

_A_JOBS = ("units", "engine", "part", "stock")
"""Keys of a job and of no profile: a job may be called `outlet.toml` and lie where a profile would."""


@dataclass(frozen=True, slots=True)
class OwnFile:
    """`name` is that of the profile, `path` that of the file as messages show it; `text` may be a fault of the file."""

    name: str
    path: str
    text: str | Fault


def shipped(name: str) -> Path:
    """The shipped profile of that name, e.g. `fasteners`; in a checkout `profiles/` lies beside the package."""
    inside = PACKAGE / "profiles" / f"{name}.toml"
    return inside if inside.exists() else PACKAGE.parent / "profiles" / f"{name}.toml"


@cache
def shipped_data(name: str) -> dict[str, Any]:
    """The shipped profile as plain data; it is a part of the program and does not change while that runs."""
    data = data_of(shipped(name).read_text(encoding="utf-8"), WHAT)
    assert not isinstance(data, Fault), data
    return data


def user_folder() -> Path:
    """Where a user's own profiles live, as click and the platform have it."""
    import click

    return Path(click.get_app_dir("gasketcut"))


def own_files(names: tuple[str, ...], job_folder: Path | None) -> Iterator[OwnFile]:
    """The files of those names in the user's folder, and then in the job's.

    The shipped example lies beside the shipped profiles: those are nobody's own.
    """
    for folder in (user_folder(), job_folder):
        if folder is None or folder.resolve() == shipped("demo").parent:
            continue
        for name in names:
            path = folder / f"{name}.toml"
            if path.is_file():
                text = text_of(path, WHAT)
                data = data_of(text, WHAT) if isinstance(text, str) else None
                if not (isinstance(data, dict) and any(key in data for key in _A_JOBS)):
                    yield OwnFile(name, str(path), text)
