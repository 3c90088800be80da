"""The cut of a part drawn by a rasteriser, with grain, JPEG, skew and dust, and found out by `compare`."""

import io
import json

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image
from shapely.geometry import Polygon, box

from gasketcut.cli import main
from gasketcut.shape.loop import Circle, Loop
from tests.capture import slab
from tests.capture.rendered import Disturbed, Thing, card, picture_of
from tests.comparing.cut_parts import GASKET, JOB
from tests.scans import srgb


def wrongly_cut(offset, moved, depth):
    """All edges outwards, the hole at the upper right moved, and a notch so deep in the right side, 1.2 mm wide."""
    outer = Polygon(GASKET.outer.flattened(0.0005)).buffer(offset, quad_segs=128)
    outer = outer.difference(box(30.0 - depth, 4.4, 31.0, 5.6))
    points = [(float(x), float(y)) for x, y in np.array(outer.exterior.coords)[:-1]]
    holes = [
        Circle((one.center[0] + moved[0], one.center[1] + moved[1]) if n == 3 else one.center, one.radius - offset)
        for n, one in enumerate(GASKET.inner)
    ]
    return Loop(tuple(points), (0.0,) * len(points)), *holes


@pytest.mark.slow
@pytest.mark.parametrize(
    ("seed", "offset", "moved", "depth", "turn"),
    [(11, 0.15, (0.18, 0.24), 0.8, 3.0), (12, -0.15, (-0.3, 0.0), 1.1, 101.0), (13, 0.05, (0.0, 0.3), 0.6, 200.0)],
)
def test_an_offset_a_hole_and_a_notch_within_three_hundredths(tmp_path, seed, offset, moved, depth, turn):
    part = Thing(wrongly_cut(offset, moved, depth), 0.25, (48.0, 52.0), turn)
    how = Disturbed(jpeg=85, skew=0.0004, dust=20, grain=2.5, seed=seed)
    picture = picture_of((part, card((130.0, 52.0), 0.5)), (162.0, 104.0), 300, how=how)
    stream = io.BytesIO()
    picture.save(stream, "JPEG", quality=85, dpi=(300, 300))
    (tmp_path / "scan.jpg").write_bytes(stream.getvalue())
    (tmp_path / "job.toml").write_text(JOB)
    said = CliRunner().invoke(main, ["compare", str(tmp_path / "scan.jpg"), str(tmp_path / "job.toml"), "--json"])
    assert said.exit_code == 1, said.output
    data = json.loads(said.output)
    (hole,) = (one for one in data["holes"] if one["at"] == [23.5, 25.5])
    found = {
        "offset": (data["offset_mm"], data["offset_range_95"], offset),
        "hole": (hole["moved_mm"], hole["moved_range_95"], 0.3),
        "notch": (data["worst"][0]["mm"], data["worst"][0]["range_95"], -depth),
        "diameter": (hole["diameter_mm"], hole["diameter_range_95"], 5.5 - 2 * offset),
    }
    errors = {name: round(value - true, 4) for name, (value, _, true) in found.items()}
    outside = [name for name, (_, (low, high), true) in found.items() if not low <= true <= high]
    print(seed, errors, "outside:", outside)
    assert max(map(abs, errors.values())) <= 0.03
    assert len(outside) <= 1  # 95 of 100 lie within
    assert data["scale"]["source"] == "card"


@pytest.mark.slow
def test_a_thick_part_photographed_on_the_target_sheet(tmp_path):
    # The stock says how thick it is: uncorrected its outline would be 0.4 mm too wide.
    pose = slab.Pose(thickness=2.0, tilt=3.0, about=40.0, turn=10.0, part_turn=5.0)
    light = np.clip(slab.pictured(pose).light, 0, 1)
    Image.fromarray(np.clip(np.round(srgb(light) * 255), 0, 255).astype(np.uint8)).save(tmp_path / "photo.png")
    holes = ", ".join(f"{{ at = [[{x}, {y}]], diameter = {width} }}" for x, y, width in slab.HOLES)
    (tmp_path / "job.toml").write_text(
        f"""title = "a plate"
units = "mm"
[[stock]]
name = "sheet"
thickness = 2.0
[[part]]
name = "plate"
kind = "flat"
stock = "sheet"
outline = {{ rectangle = [80.0, 70.0], corner = 9.0 }}
opening = {{ round = {slab.BORE} }}
holes = [{holes}]
"""
    )
    words = (
        "compare",
        str(tmp_path / "photo.png"),
        str(tmp_path / "job.toml"),
        "--target",
        "--bars",
        "100x100",
        "--json",
    )
    data = json.loads(CliRunner().invoke(main, words).output)
    assert data["scale"]["source"] == "target"
    assert data["offset_mm"] == pytest.approx(0, abs=0.03)
    assert [one["moved_mm"] for one in data["holes"]] == pytest.approx([0.0] * 5, abs=0.03)
    assert [one["diameter_mm"] - one["drawn_mm"] for one in data["holes"]] == pytest.approx([0.0] * 5, abs=0.05)
    (window,) = data["extra"]  # which the job leaves out
    assert window["at"] == pytest.approx(slab.WINDOW[:2], abs=0.1)
