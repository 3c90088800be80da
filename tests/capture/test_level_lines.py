"""Level lines of a picture looked at in bands are those of the whole."""

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from gasketcut.capture.edges import level_lines

pytest.importorskip("contourpy")


def lengths(lines):
    return sorted(float(np.hypot(*np.diff(line, axis=0).T).sum()) for line in lines)


def test_a_picture_in_bands_has_the_same_lines(monkeypatch):
    """Clouds: rings within rings, some over many bands, and lines from rim to rim."""
    values = gaussian_filter(np.random.default_rng(4).normal(0, 1, (240, 150)), 4.0).astype(np.float32)
    whole = level_lines.level_lines(values, 0.01)
    monkeypatch.setattr(level_lines, "_AT_ONCE", 150 * 17)
    banded = level_lines.level_lines(values, 0.01)

    assert len(whole) > 20
    assert sum(level_lines.is_closed(line) for line in banded) == sum(level_lines.is_closed(line) for line in whole)
    assert lengths(banded) == pytest.approx(lengths(whole), abs=1e-6)
