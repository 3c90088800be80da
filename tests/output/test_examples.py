from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from tests.regenerate import EXAMPLES, PICTURES, page_picture, regenerate


def test_the_examples_are_what_the_program_makes(tmp_path: Path):
    regenerate(tmp_path)
    fresh = {path.relative_to(tmp_path): path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    kept = {path.relative_to(EXAMPLES): path.read_bytes() for path in EXAMPLES.rglob("*") if path.is_file()}
    kept = {name: data for name, data in kept.items() if name.suffix != ".png" and name != Path("README.md")}

    assert sorted(fresh) == sorted(kept)
    assert [str(name) for name in sorted(fresh) if fresh[name] != kept[name]] == []


@pytest.mark.parametrize("name", PICTURES)
def test_the_readmes_pictures_show_the_pages_as_they_are(name: str):
    # A renderer's newer release may shade an edge otherwise, so pixels are compared by their mean, not as bytes.
    kept = np.asarray(Image.open(EXAMPLES / "pictures" / f"{name}.png").convert("L"), dtype=float)
    fresh = np.asarray(page_picture(name, EXAMPLES), dtype=float)

    assert kept.shape == fresh.shape
    assert np.abs(kept - fresh).mean() < 3.0
    assert fresh.std() > 5.0  # not an empty page
