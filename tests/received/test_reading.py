"""How received drawings are read: blocks counted before they are taken apart, heights, names of layers, solids."""

import io
import resource
import subprocess
import sys
import time
from itertools import pairwise

import numpy as np
import pytest
from ezdxf import recover

from gasketcut.output.mended import mended_dxf
from gasketcut.received.faults.layer_names import plain_names
from gasketcut.received.inspection import inspect
from gasketcut.received.mending import mend
from gasketcut.received.reading import elements
from gasketcut.received.reading.block_sizes import BlockSizes
from gasketcut.received.reading.tags import read_tags
from tests.received.drawn import circle, dxf, line, square
from tests.received.test_inspect import kinds, nested

INSERT = "0\nINSERT\n8\n0\n2\n{name}\n10\n0\n20\n0{more}"


def block(name, *entities):
    rows = [f"0\nBLOCK\n8\n0\n2\n{name}\n10\n0\n20\n0", *entities, "0\nENDBLK\n"]
    return "\n".join(rows)


def blocks(*rows):
    return "0\nSECTION\n2\nBLOCKS\n" + "".join(rows) + "0\nENDSEC\n"


def tens(depth, times=10):
    """Blocks in blocks, each `times` times the next; circles in the last."""
    rows = [block(f"B{n}", *[INSERT.format(name=f"B{n + 1}", more="")] * times) for n in range(depth - 1)]
    return blocks(*rows, block(f"B{depth - 1}", *[circle(n, 0, 0.4) for n in range(times)]))


def test_blocks_are_counted_along_their_references():
    grid = INSERT.format(name="B0", more="\n70\n4\n71\n5")
    drawing = read_tags(dxf(grid, INSERT.format(name="B1", more=""), blocks=tens(3)))
    sizes = BlockSizes(drawing)

    assert [sizes.of(f"B{n}").lines for n in range(3)] == [1110, 110, 10]  # a reference counts as well as a line
    assert [sizes.of(f"B{n}").depth for n in range(3)] == [3, 2, 1]
    assert sizes.in_all() == 4 * 5 * (1 + 1110) + 1 + 110
    assert sizes.of("NOWHERE").lines == 0


def test_blocks_that_hold_themselves_anywhere_on_the_way_are_endless():
    def put(name):
        return INSERT.format(name=name, more="")

    drawing = read_tags(
        dxf(put("A"), blocks=blocks(block("A", put("B"), put("B")), block("B", put("C")), block("C", put("B")),
                                    block("D", put("E")), block("E", circle(0, 0, 1))))
    )  # fmt: skip
    sizes = BlockSizes(drawing)

    assert [sizes.of(name).endless for name in "ABCDE"] == [True, True, True, False, False]


def test_ten_nested_blocks_of_ten_are_refused_in_words_at_once():
    data = dxf(square(0, 0, 20), INSERT.format(name="B0", more=""), blocks=tens(10))
    began = time.perf_counter()
    found = inspect(data, "mm")
    spent = time.perf_counter() - began

    (flaw,) = [one for one in found.flaws if one.kind == "crowded"]
    assert "11,111,111,110 lines and references" in flaw.text
    assert "100,000" in flaw.text
    assert len(found.closed) == 1
    assert spent < 10.0  # a hang, not a speed
    began = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    inspect(data, "mm")
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - began < 5_000  # kB


def test_empty_blocks_in_each_other_are_as_many_steps_as_full_ones():
    # Found by the long run of mutations: blocks whose circles were gone, so 0 lines, and minutes without an end.
    rows = [block(f"B{n}", *[INSERT.format(name=f"B{n + 1}", more="")] * 10) for n in range(9)]
    data = dxf(square(0, 0, 20), INSERT.format(name="B0", more=""), blocks=blocks(*rows, block("B9")))
    began = time.perf_counter()
    found = inspect(data, "mm")

    assert time.perf_counter() - began < 10.0  # a hang, not a speed
    assert [one.kind for one in found.flaws if one.kind == "crowded"] == ["crowded"]
    assert kinds(data.replace(b"2\nB9\n", b"2\nGONE\n"))["crowded"] == 1


def test_a_grid_of_blocks_counts_as_often_as_it_stands():
    put = INSERT.format(name="B0", more="\n70\n400\n71\n400\n44\n9\n45\n9")

    assert kinds(dxf(put, blocks=tens(1, times=1))) == {"block": 1, "crowded": 1, "empty": 1}
    assert kinds(dxf(put.replace("400", "20"), blocks=tens(1, times=1))) == {"block": 1}


@pytest.mark.parametrize("depth", [199, 5000])
def test_blocks_stand_in_each_other_so_deep_and_no_deeper(depth):
    found = inspect(dxf("0\nINSERT\n8\n0\n2\nB0\n10\n0\n20\n0", blocks=nested(depth)), "mm")

    if depth < 200:
        assert [flaw.kind for flaw in found.flaws] == ["block"]
    else:
        assert "5000 deep" in next(flaw.text for flaw in found.flaws if flaw.kind == "crowded")


def test_a_bad_number_within_a_block_is_said_once():
    bad = circle(0, 0, 5).replace("40\n5", "40\nnan")
    rows = blocks(block("B", bad, circle(9, 9, 1)))
    put = INSERT.format(name="B", more="\n70\n3\n44\n20")

    assert kinds(dxf(put, blocks=rows)) == {"block": 1, "bad-number": 1}


# -- heights ---------------------------------------------------------------------------------------------------------


def at(z, *corners):
    ends = [*corners[1:], corners[0]]
    return "\n".join(
        line(*map(float, a), *map(float, b)) + f"\n30\n{z!r}\n31\n{z!r}" for a, b in zip(corners, ends, strict=True)
    )


PLATE = ((0, 0), (100, 0), (100, 50), (0, 50))


@pytest.mark.parametrize("z", [0.0, 1e-9, -3e-8, 9e-5])
def test_rounding_noise_in_z_is_silent(z):
    assert kinds(dxf(at(z, *PLATE), at(-z, (10, 10), (20, 10), (20, 20)))) == {}


def test_what_lies_in_one_other_plane_is_laid_down():
    data = dxf(at(3.0, *PLATE), circle(50, 25, 5, more="\n30\n3.00000001"))
    found = inspect(data, "mm")

    assert [(flaw.kind, flaw.text) for flaw in found.flaws] == [("off-plane", "all of it lies at z = 3")]
    assert inspect(mended_dxf(mend(data, "mm"), "t", 0.05)).verdict == "ready"


def test_true_levels_are_told_apart_and_asked_about():
    inch = "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$INSUNITS\n70\n1\n0\nENDSEC\n"
    entities = (at(0.0, *PLATE), at(3.0, (10, 10), (20, 10), (20, 20)))
    found = inspect(dxf(*entities), "mm")
    inches = inspect(dxf(*entities, header=inch), "in")

    (flaw,) = found.flaws
    assert flaw.kind == "levels"
    assert flaw.text == "two levels, 3 mm apart: 4 at z = 0, 3 at z = 3: is it a solid seen from above?"
    assert "76.2 mm apart" in inches.flaws[0].text
    assert found.verdict == "ask"


def test_a_line_that_climbs_is_asked_about():
    flaws = inspect(dxf(at(0.0, *PLATE), line(10.0, 10.0, 20.0, 10.0) + "\n31\n4"), "mm").flaws

    assert [one.text for one in flaws if one.kind == "levels"] == ["a LINE climbs from z = 0 to 4: is it a solid?"]


@pytest.mark.parametrize(("more", "z"), [("", 0.0), ("\n30\n2.5", 2.5), ("\n30\n2\n43\n3", 5.0)])
def test_a_block_lifts_what_is_in_it(more, z):
    rows = blocks(block("B", circle(50, 25, 5, more=f"\n30\n{1.0 if '43' in more else 0.0}")))
    found = inspect(dxf(at(z, *PLATE), INSERT.format(name="B", more=more), blocks=rows), "mm")

    assert sorted(flaw.kind for flaw in found.flaws) == (["block", "off-plane"] if z else ["block"])


def test_what_is_drawn_from_below_lies_at_the_negative_of_its_height():
    found = inspect(dxf(at(-2.0, *PLATE), circle(-50, 25, 5, more="\n30\n2\n210\n0\n220\n0\n230\n-1")), "mm")

    assert [flaw.text for flaw in found.flaws if flaw.kind in ("off-plane", "levels")] == ["all of it lies at z = -2"]


# -- names of layers -------------------------------------------------------------------------------------------------


def audited(data):
    _, auditor = recover.read(io.BytesIO(data))
    return auditor.errors + auditor.fixes


@pytest.mark.parametrize("name", ["cut\\out", 'holes "6"', "a/b", "x;y", "1,5 mm", "a|b", "new*", "=0"])
def test_names_that_the_audit_refuses_are_renamed(name):
    row = f"0\nLAYER\n2\n{name}\n70\n0\n62\n7"
    table = f"0\nSECTION\n2\nTABLES\n0\nTABLE\n2\nLAYER\n70\n1\n{row}\n0\nENDTAB\n0\nENDSEC\n"
    data = dxf(circle(0, 0, 20, name), blocks=table)
    made = mended_dxf(mend(data, "mm"), "t", 0.05)

    assert kinds(data) == {"layer-name": 1}
    assert audited(made) == []
    assert inspect(made).verdict == "ready"


def test_an_empty_layer_with_such_a_name_is_a_fault_too():
    table = "0\nSECTION\n2\nTABLES\n0\nTABLE\n2\nLAYER\n70\n1\n0\nLAYER\n2\nA/B\n70\n0\n62\n7\n0\nENDTAB\n0\nENDSEC\n"

    assert kinds(dxf(circle(0, 0, 20), blocks=table)) == {"layer-name": 1}


def test_different_layers_stay_different():
    names = plain_names(["a/b", "a\\b", "A_B", "孔", "外", "plain", "A/B"])

    assert names["plain"] == "plain"
    assert names["A_B"] == "A_B"
    assert names["a/b"] == names["A/B"]
    assert len({name.upper() for name in names.values()}) == 6
    assert all(name.isascii() for name in names.values())


# -- what has no lines -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["REGION", "3DSOLID", "BODY", "ACAD_PROXY_ENTITY"])
def test_a_region_may_be_the_part(kind):
    region = f"0\n{kind}\n8\nPART"
    found = inspect(dxf(circle(0, 0, 20), region), "mm")
    alone = inspect(dxf(region), "mm")

    (flaw,) = [one for one in found.flaws if one.kind == "region"]
    assert "which may be the part" in flaw.text
    assert "exploded" in flaw.fix
    assert found.verdict == "ask"
    assert "empty" not in [one.kind for one in alone.flaws]
    assert mend(dxf(circle(0, 0, 20), region), "mm", drop=("region",)).refused[1:] == ()


# -- gaps ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("gap", "join"), [(0.06, "0.10mm"), (0.2, "0.25mm"), (0.97, "1.00mm"), (1.4, None)])
def test_a_wider_gap_is_offered_to_be_joined_where_only_two_ends_are_near(gap, join):
    data = dxf(line(0.0, 0.0, 20.0, 0.0), line(20.0, 0.0, 20.0, 20.0), line(20.0, 20.0, 0.0, gap))
    flaws = [one for one in inspect(data, "mm").flaws if one.kind == "open"]

    assert len(flaws) == 2
    for flaw in flaws:
        assert ("--join" in flaw.fix) == (join is not None)
    if join:
        assert f"--join {join}" in flaws[0].fix
        assert mend(data, "mm", join=float(join[:-2])).refused == ()


def test_a_wider_gap_is_not_offered_where_a_third_end_is_near():
    data = dxf(line(0.0, 0.0, 20.0, 0.0), line(20.0, 0.0, 20.0, 20.0), line(20.0, 20.0, 0.0, 0.2),
               line(-0.3, 0.0, -20.0, 0.0))  # fmt: skip

    assert [one.fix for one in inspect(data, "mm").flaws if "--join" in one.fix] == []


# -- long drawings ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("strip", [7, 50, 333, 5000])
def test_pairs_are_the_same_in_strips_of_any_width(monkeypatch, strip):
    rng = np.random.default_rng(strip)
    start = rng.uniform(0, 300, (400, 2))
    end = start + rng.normal(0, 12, (400, 2))
    end[:9, 0] += 250
    found = elements.elements_between(start, end, np.zeros(400), np.arange(400))
    monkeypatch.setattr(elements, "_STRIP", strip)
    i, j, whole = elements.near_pairs(found)
    low, high = np.minimum(start, end) - elements.NEAR, np.maximum(start, end) + elements.NEAR
    meets = (low[:, None] <= high[None]).all(axis=2)

    assert whole
    pairs = sorted([a, b] for a, b in zip(i.tolist(), j.tolist(), strict=True))
    assert pairs == np.argwhere(np.triu(meets & meets.T, 1)).tolist()


CHILD = """
import resource, sys
from gasketcut.received.inspection import inspect
inspect(sys.argv[1])
first = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
found = inspect(sys.argv[2])
print(len(found.closed), found.verdict, (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - first) * 1024)
"""


@pytest.mark.slow
def test_a_long_drawing_takes_some_twenty_times_its_bytes(tmp_path):
    """100,000 lines, 6 MB: it took 36 times as much when every tag was a text of its own."""
    corners = [((k % 500) * 4.003, k // 500 * 4.007) for k in range(25_000)]
    rows = [line(*map(float, a), *map(float, b)) for x, y in corners
            for a, b in pairwise([(x, y), (x + 3, y), (x + 3, y + 3), (x, y + 3), (x, y)])]  # fmt: skip
    (tmp_path / "long.dxf").write_bytes(dxf(*rows))
    (tmp_path / "short.dxf").write_bytes(dxf(square(0, 0, 20)))
    words = [sys.executable, "-c", CHILD, str(tmp_path / "short.dxf"), str(tmp_path / "long.dxf")]
    said = subprocess.run(words, capture_output=True, text=True, check=True).stdout.split()

    assert said[0] == "25000"
    assert int(said[-1]) < 27 * (tmp_path / "long.dxf").stat().st_size


def test_a_version_with_raised_digits_is_no_version():
    # Found by the long run of mutations: a raised 1 counts as a digit and is no number.
    data = dxf(square(0, 0, 20)).replace(b"AC1015", "AC10\u00b95".encode())

    assert inspect(data, "mm").verdict == inspect(data.replace("\u00b9".encode(), b"x"), "mm").verdict
