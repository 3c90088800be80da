"""A spoilt DXF of ours, and a spoilt path, are never called written: each way of spoiling is tried on a sound one."""

import io
from dataclasses import replace

import ezdxf
import numpy as np
import pytest

from gasketcut import parse_job, read_job
from gasketcut.cutting.cut_part import cut_part
from gasketcut.errors import ReadBackError
from gasketcut.output.dxf import write_dxf, write_strokes
from gasketcut.output.proof.dxf import prove_dxf, prove_path
from gasketcut.output.proof.lines import prove_strokes, stray
from gasketcut.parts.part import outline_of
from gasketcut.profile.profiles import Profiles
from tests.making import built
from tests.output.test_same_strokes import JOB

BOX = (0.0, 0.0, 0.0, 0.0)  # so that strokes keep their places


@pytest.fixture(scope="module")
def plate():
    job = parse_job(JOB.format(process="co2", asked="order = true\nlead_in = 1.5\ntabs = 3"))
    return cut_part(built(job)[0], job.cutting, Profiles().cutters)


def spoilt(data, change):
    document = ezdxf.read(io.StringIO(data.decode().replace("\r\n", "\n")))
    change(document.modelspace())
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode()


def moved(space):
    line = space.query("LWPOLYLINE")[0]
    x, y, *more = line[0]
    line[0] = (x + 0.01, y + 0.01, *more)


SPOILT = {
    "a vertex moved": moved,
    "a cut less": lambda space: space.delete_entity(space[0]),
    "a cut more": lambda space: space.add_line((0, 0), (1, 1), {"layer": "CUT-INSIDE"}),
    "another layer": lambda space: space[-1].dxf.set("layer", "CUT-ELSEWHERE"),
    "another kind": lambda space: space.add_point((0, 0), {"layer": "CUT-INSIDE"}),
    "no number": lambda space: (
        setattr(space.query("CIRCLE LWPOLYLINE")[0].dxf, "elevation", 0.0)
        or space.query("LWPOLYLINE")[0].__setitem__(0, (float("nan"), 0.0))
    ),
}


@pytest.mark.parametrize("what", SPOILT)
def test_a_spoilt_path_is_found(plate, what):
    data = write_strokes(plate.tool.strokes, BOX, [])
    lines = [(stroke.layer, np.array(stroke.flattened())) for stroke in plate.tool.strokes]
    prove_path(spoilt(data, len), lines, "plate", "mm")

    with pytest.raises(ReadBackError, match="plate"):
        prove_path(spoilt(data, SPOILT[what]), lines, "plate", "mm")


@pytest.mark.parametrize("what", SPOILT)
def test_a_spoilt_outline_is_found(what):
    part = built(read_job("demo"))[0]
    outline = outline_of(part)
    data = write_dxf(part, outline)
    prove_dxf(spoilt(data, len), part, outline, "mm")

    with pytest.raises(ReadBackError, match=part.name):
        prove_dxf(spoilt(data, SPOILT[what]), part, outline, "mm")


def test_layers_of_inside_and_outside_exchanged_are_found():
    part = built(read_job("demo"))[0]
    outline = outline_of(part)
    other = {"CUT-INSIDE": "CUT-OUTSIDE", "CUT-OUTSIDE": "CUT-INSIDE"}
    data = spoilt(write_dxf(part, outline), lambda space: [one.dxf.set("layer", other[one.dxf.layer]) for one in space])
    with pytest.raises(ReadBackError, match="layer"):
        prove_dxf(data, part, outline, "mm")


def beside(point):
    return point[0] + 0.01, point[1] + 0.01


def test_a_path_is_the_parts_edge_and_all_of_it(plate):
    strokes, solid = plate.tool.strokes, plate.cut.solid
    prove_strokes(strokes, solid, "plate")
    for number, one in enumerate(strokes):
        rest = (*strokes[:number], *strokes[number + 1 :])
        off = replace(one, segments=tuple(replace(each, start=beside(each.start), end=beside(each.end))
                                          for each in one.segments))  # fmt: skip
        if one.layer == "LEAD":  # in the scrap
            prove_strokes(rest, solid, "plate")
            continue
        for path in (rest, (*rest, off), (*strokes, one)):
            with pytest.raises(ReadBackError, match="plate"):
                prove_strokes(path, solid, "plate")
    with pytest.raises(ReadBackError, match="cuts nothing"):
        prove_strokes([], solid, "plate")


def test_a_line_is_as_far_off_as_it_is_whichever_way_it_is_divided():
    turns = np.linspace(0, 2 * np.pi, 400)
    ring = 20 * np.column_stack([np.cos(turns), np.sin(turns)])
    finer = 20 * np.column_stack([np.cos(np.linspace(0, 2 * np.pi, 517)), np.sin(np.linspace(0, 2 * np.pi, 517))])
    chord = 20 * (1 - np.cos(np.pi / 399))

    assert stray(finer, ring) == pytest.approx(chord, rel=0.02)
    assert stray(finer[::-1], ring) == pytest.approx(chord, rel=0.02)
    assert stray(ring + np.array([0.01, 0]), ring) == pytest.approx(0.01, abs=chord)
    assert stray(ring[:-40], ring) > 1
    assert stray(ring[:1], ring) == float("inf")
    assert stray(np.where(ring > 19.99, np.nan, ring), ring) == float("inf")
