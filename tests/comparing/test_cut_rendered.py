"""The cut of a part drawn by a rasteriser, with grain, JPEG, skew and dust, and found out by `compare`."""

import io
import json

import numpy as np
import pytest
from click.testing import CliRunner
from shapely.geometry import Polygon, box

from gasketcut.cli import main
from gasketcut.shape.loop import Circle, Loop
from tests.capture.rendered import Disturbed, Thing, card, picture_of
from tests.comparing.cut_parts import GASKET, JOB


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
    holes = {tuple(one["at"]): one for one in data["holes"]}
    found = {
        "offset": (data["offset_mm"], offset),
        "hole": (holes[23.5, 25.5]["moved_mm"], 0.3),
        "notch": (data["worst"][0]["mm"], -depth),
        "diameter": (holes[23.5, 25.5]["diameter_mm"], 5.5 - 2 * offset),
    }
    assert {name: round(one["value"] - true, 4) for name, (one, true) in found.items() if
            abs(one["value"] - true) > 0.03} == {}  # fmt: skip
    outside = [name for name, (one, true) in found.items() if not one["range_95"][0] <= true <= one["range_95"][1]]
    print(seed, {name: round(one["value"] - true, 4) for name, (one, true) in found.items()}, "outside:", outside)
    assert len(outside) <= 1  # 95 of 100 lie within
    assert data["scale"]["source"] == "card"
