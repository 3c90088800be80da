"""Clearance holes by size and fit, from `profiles/fasteners.toml`."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from gasketcut.profile.loading import load

FITS = ("fine", "medium", "coarse")
"""The fits of ISO 273; ASME B18.2.8 calls them close, normal and loose."""


def sizes(beside: Path | None = None) -> tuple[str, ...]:
    """The sizes that the profile knows, smallest first."""
    return tuple(_table(beside))


def clearance_hole(size: str, fit: str, beside: Path | None = None) -> float:
    """Diameter of the clearance hole [mm].

    Source: ISO 273 for M sizes, ASME B18.2.8 for inch sizes, as given in the profile.

    >>> clearance_hole("M5", "medium")
    5.5
    """
    return float(_table(beside)[size][fit])


def stud_diameter(size: str, beside: Path | None = None) -> float:
    """Nominal diameter of the fastener [mm]."""
    return float(_table(beside)[size]["diameter"])


def _table(beside: Path | None) -> dict[str, Any]:
    sizes: dict[str, Any] = load("fasteners", beside)["size"]
    return sizes
