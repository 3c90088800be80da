"""A job that something traced, which is in mm, may go into."""

from __future__ import annotations

import tomllib
from typing import Any

from gasketcut.errors import GasketError


def data_in_mm(job: str) -> dict[str, Any]:
    """The job's text as data; raise `GasketError` where a bare number in it is not mm."""
    data = tomllib.loads(job.removeprefix("\ufeff"))
    if data.get("units") != "mm":
        has = f'has units = "{data["units"]}"' if "units" in data else "has no units"
        raise GasketError(
            f'what is traced is written in mm, and the job {has}: write units = "mm" at its top and a unit with each '
            'number that is none, e.g. "1.5 in"; or leave --into out and write --out FILE for a job of its own'
        )
    return data
