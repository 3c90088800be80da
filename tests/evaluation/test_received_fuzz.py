"""Drawings as customers send them, real ones and random ones: as parts they hold what they held, or say why not."""

from __future__ import annotations

import io
from math import cos, fsum, pi, sin
from pathlib import Path

import ezdxf
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from gasketcut import evaluate, parse_job, render
from gasketcut.errors import JobError, UndecidedError
from gasketcut.evaluation.evaluation import Evaluation
from gasketcut.received.faults.flaw import NotReadableError
from gasketcut.received.mending import mend
from gasketcut.received.pieces import pieces_of
from tests.received.customers import customers

HERE = Path(__file__).parent.parent / "received"
FILES = sorted([*(HERE / "real").glob("*.dxf"), *(HERE / "faults").glob("*")])
ALIKE = 0.01  # mm by which counted pieces may differ
STEEL = '[[stock]]\nname = "s"\nthickness = 1.0\nmaterial = "steel"\nsize = [1000, 600]\n'


def job(folder: Path, more: str = "") -> Evaluation:
    part = '[[part]]\nkind = "received"\nname = "x"\nfile = "x.dxf"\nstock = "s"\n'
    return evaluate(parse_job(f'units = "mm"\n{STEEL}{part}{more}', folder / "job.toml"))


def check(data: bytes, folder: Path) -> None:
    """As `mend` would have it, or refused with its words."""
    (folder / "x.dxf").write_bytes(data)
    found = job(folder)
    try:
        mended = mend(data)
    except NotReadableError:
        with pytest.raises(JobError, match=r"x\.dxf"):
            dict(found.parts)
        return
    if mended.refused:
        with pytest.raises(UndecidedError) as caught:
            dict(found.parts)
        groups = mended.inspection.groups
        rest = [one.text for one in mended.inspection.unexplained if one in mended.refused]
        assert groups or rest
        assert all(words in str(caught.value) for words in (*(one.says for one in groups), *rest[:1]))
        return
    cut = [contour for (contour, _), one in zip(mended.closed, mended.inspection.closed, strict=True)
           if not one.is_mark]  # fmt: skip
    pieces = pieces_of(cut)
    try:
        parts = found.parts
    except UndecidedError:
        assert not pieces or any(one.kind == "self-touch" for one in mended.inspection.looks)
        return
    assert sum(one.part.count for one in parts.values()) == len(pieces)
    whole = fsum(one.area for one in pieces)
    length = fsum(contour.length for contour in cut)
    assert fsum(one.outline.area * one.part.count for one in parts.values()) == pytest.approx(
        whole, abs=1e-6 if len(parts) == len(pieces) else ALIKE * length
    )
    assert all(one.part.solid.area == pytest.approx(one.outline.area, abs=0.001 * one.outline.cut_length)
               for one in parts.values())  # fmt: skip


@pytest.mark.parametrize("one", customers(), ids=lambda one: one.name)
def test_what_customers_send(tmp_path: Path, one) -> None:  # type: ignore[no-untyped-def]
    check(one.data, tmp_path)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.name)
def test_real_and_broken_drawings(tmp_path: Path, file: Path) -> None:
    check(file.read_bytes(), tmp_path)


def ring(chance: st.DataObject, x: float, y: float, reach: float) -> list[tuple[float, float, float]]:
    """A closed line of straight and bowed sides that stays within `reach` of (x, y)."""
    count = chance.draw(st.integers(3, 9))
    radii = chance.draw(st.lists(st.floats(0.55, 0.8), min_size=count, max_size=count))
    bows = chance.draw(st.lists(st.sampled_from([0.0, 0.0, 0.2, -0.1]), min_size=count, max_size=count))
    turns = [2 * pi * n / count for n in range(count)]
    return [(x + reach * r * cos(t), y + reach * r * sin(t), b)
            for r, t, b in zip(radii, turns, bows, strict=True)]  # fmt: skip


@given(chance=st.data())
@settings(max_examples=8)
def test_random_plates_with_holes_keep_their_areas_to_the_file(tmp_path_factory: pytest.TempPathFactory,
                                                               chance: st.DataObject) -> None:  # fmt: skip
    folder = tmp_path_factory.mktemp("random")
    document = ezdxf.new("R2000")
    document.header["$INSUNITS"], document.header["$MEASUREMENT"] = 4, 1
    space = document.modelspace()
    for number in range(chance.draw(st.integers(1, 3))):
        x, y = 150.0 * number, chance.draw(st.floats(-50, 50))
        space.add_lwpolyline(ring(chance, x, y, 60.0), format="xyb", close=True)
        if chance.draw(st.booleans()):
            space.add_lwpolyline(ring(chance, x, y, 18.0), format="xyb", close=True)
        else:
            space.add_circle((x + 2, y - 1), chance.draw(st.floats(3, 12)))
    stream = io.StringIO()
    document.write(stream)
    data = stream.getvalue().encode()
    try:
        check(data, folder)
    finally:
        written = (folder / "x.dxf").read_bytes()
    assert written == data
    found = job(folder, "[cutting]\nprocess = 'fibre'\nkerf = 0.2\nlead_in = 1.0\norder = true\ntabs = 2\n")
    try:
        parts = found.parts
    except UndecidedError:
        return
    for result in parts.values():
        grown = result.cut.path.area - result.outline.area
        assert grown == pytest.approx(0.1 * result.outline.cut_length, rel=0.05, abs=0.1)
        cuts = [one for one in result.cut.tool.strokes if one.layer in ("CUT-INSIDE", "CUT-OUTSIDE", "TAB")]
        lines = shapely.union_all([shapely.LineString(one.flattened()) for one in cuts])
        assert lines.distance(result.polygon) == pytest.approx(0.1, abs=0.005)
    files = render(found)
    assert not [name for name in files if name.endswith(".dxf")
                and ezdxf.read(io.StringIO(files[name].decode().replace("\r\n", "\n"))).audit().errors]  # fmt: skip
