"""Printers: what their bars measured, by name in the user's own `printers.toml`; the one profile that is written."""

from __future__ import annotations

import json
from pathlib import Path

from gasketcut.errors import Fault, ProfileError
from gasketcut.profile.own import WHAT, user_folder
from gasketcut.toml.document import data_of, text_of
from gasketcut.toml.faults import Faults
from gasketcut.toml.table import Table

HEADING = "# What the two 100 mm bars measured, short edge of the paper first.\n[printer]\n"


def printers_file() -> Path:
    """Where they are kept; it need not be there yet."""
    return user_folder() / "printers.toml"


def read_printers() -> dict[str, str]:
    """What was kept of each printer; raise `ProfileError` with every fault of the file."""
    file = printers_file()
    if not file.is_file():
        return {}
    text = text_of(file, WHAT)
    data = data_of(text, WHAT) if isinstance(text, str) else text
    if isinstance(text, Fault) or isinstance(data, Fault):
        raise ProfileError({str(file): tuple(one for one in (data,) if isinstance(one, Fault))})
    faults = Faults(text)
    top = Table(data, (), faults, None)
    inner = top.table("printer")
    found = {name: inner.text(name) or "" for name in inner.names} if inner else {}
    top.close()
    if wrong := faults.sorted():
        raise ProfileError({str(file): wrong})
    return found


def keep_printer(name: str, printed: str) -> Path:
    """Keep what a printer's bars measured among the others; return the file."""
    known = {**read_printers(), name: printed}
    file = printers_file()
    file.parent.mkdir(parents=True, exist_ok=True)
    # A name that its owner wrote in quotes goes back in quotes; what JSON quotes is quoted for TOML as well.
    quoted = {_quoted(one): _quoted(value) for one, value in sorted(known.items())}
    rows = "".join(f"{one} = {value}\n" for one, value in quoted.items())
    file.write_text(HEADING + rows, encoding="utf-8")
    return file


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)
