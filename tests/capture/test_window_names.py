"""Every opening that is not round has a name, the same in text, JSON, overlay and job."""

import json

import numpy as np
import pytest
from click.testing import CliRunner

from gasketcut.cli import main
from tests.scans import rounded, scan

pytest.importorskip("contourpy")


def plate(u, v):
    """Two windows, the larger one on the right, and a round hole between them."""
    windows = np.minimum(rounded(u + 20.0, v + 3.0, 6.0, 12.0, 1.5), rounded(u - 18.0, v - 2.0, 10.0, 20.0, 2.0))
    return np.maximum(rounded(u, v, 64.0, 40.0, 6.0), -np.minimum(windows, np.hypot(u, v) - 3.0))


def test_windows_are_named_from_the_left_wherever_they_are_spoken_of(tmp_path):
    scan(shapes=((plate, 0.0, 0.0),), turn=0.0, dpi=150).save(tmp_path / "old.png", dpi=(150, 150))
    words = [str(tmp_path / "old.png"), "--out", str(tmp_path / "old.toml"), "--overlay", str(tmp_path / "old.svg")]
    data = json.loads(CliRunner().invoke(main, ["trace", *words, "--json"], catch_exceptions=False).stdout)
    said = CliRunner().invoke(main, ["trace", *words], catch_exceptions=False).stdout

    assert [one["name"] for one in data["windows"]] == ["W1", "W2"]
    assert [one["value"] for one in data["windows"][0]["at"]] == pytest.approx([-20.0, -3.0], abs=0.05)
    assert [one["value"] for one in data["windows"][1]["at"]] == pytest.approx([18.0, 2.0], abs=0.05)
    assert [line.split()[0] for line in said.splitlines() if " window of " in line] == ["W1", "W2"]
    drawn = (tmp_path / "old.svg").read_text(encoding="utf-8")
    assert drawn.count(">A</text>") == drawn.count(">W1</text>") == drawn.count(">W2</text>") == 2  # drawn, and listed
