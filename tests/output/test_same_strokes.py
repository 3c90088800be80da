"""DXF and SVG of a part, and of a whole sheet, hold the very same strokes: ezdxf reads one, svgelements the other."""

import ezdxf
import numpy as np
import pytest
import shapely
import svgelements
from ezdxf.path import make_path

from gasketcut import parse_job
from tests.making import make

STRAY = 0.003  # mm; what either file may lie off the part
LAYERS = ("MARK", "CUT-INSIDE", "CUT-OUTSIDE", "LEAD", "OVERCUT", "TAB")
JOB = """title = "Ferry winch"\nunits = "mm"
[cutting]\nprocess = "{process}"\n{asked}
[[stock]]\nname = "paper"\nthickness = 0.5\nmaterial = "cellulose-nbr"\nsize = [180, 140]
[[part]]\nname = "plate"\nkind = "flat"\nstock = "paper"\ncount = 2
outline = {{ rectangle = [60.0, 40.0], corner = 9.0 }}\nopening = {{ slot = [20.0, 10.0] }}
holes = {{ at = [[-22, 12], [22, -12]], diameter = 5.0 }}\n"""
SHEET = "[layout]\nspacing = 6\nmargin = 6\nseconds = 1\n"
ASKED = {
    "leads and tabs": ("co2", "order = true\nlead_in = 1.5\ntabs = 3", {"LEAD", "TAB"}),
    "tabs, unsorted, with a kerf": ("co2", "tabs = 2\nkerf = 0.2", {"TAB"}),
    "overcut": ("knife", "overcut = 1.0", {"OVERCUT"}),
    "nothing": ("co2", "", set()),
}


def by_ezdxf(path):
    """Layer and line of every entity, in the file's order."""
    drawn = ezdxf.readfile(path).modelspace()
    lines = [[(at.x, at.y) for at in make_path(one).flattening(1e-4, segments=16)] for one in drawn]
    return [(one.dxf.layer, np.array(line)) for one, line in zip(drawn, lines, strict=True)]


def by_svgelements(path):
    """The same with y up; only what stands in a group that is named for a layer."""
    svg = svgelements.SVG.parse(path, ppi=25.4)  # a path or an open file
    groups = [one for one in svg if isinstance(one, svgelements.Group) and one.id in LAYERS]
    assert len({group.id for group in groups}) == len(groups)
    found = []
    for group in groups:
        for shape in group:
            steps = [
                one.npoint(np.linspace(0, 1, 400)) for one in svgelements.Path(shape).segments()[1:] if one.length()
            ]
            found.append((group.id, np.vstack(steps) * (1, -1)))
    return found


def at_the_origin(found):
    corner = np.min([line.min(axis=0) for _, line in found], axis=0)
    return [(layer, line - corner) for layer, line in found]


def assert_same_strokes(dxf, svg):
    """Of each layer the same strokes in the same order."""
    one, other = at_the_origin(by_ezdxf(dxf)), at_the_origin(by_svgelements(svg))
    for layer in LAYERS:
        ours, theirs = ([line for name, line in found if name == layer] for found in (one, other))
        assert len(ours) == len(theirs), layer
        for a, b in zip(ours, theirs, strict=True):
            assert shapely.hausdorff_distance(shapely.LineString(a), shapely.LineString(b)) < STRAY, layer
    return {layer for layer, _ in other}


@pytest.mark.parametrize("asked", ASKED)
def test_the_svg_of_a_part_holds_the_strokes_of_its_dxf(tmp_path, asked):
    process, words, more = ASKED[asked]
    make(parse_job(JOB.format(process=process, asked=words)), tmp_path)
    (dxf,), (svg,) = tmp_path.glob("plate*.dxf"), tmp_path.glob("plate*.svg")

    assert assert_same_strokes(dxf, svg) == {"CUT-INSIDE", "CUT-OUTSIDE"} | more


@pytest.mark.parametrize("asked", ASKED)
def test_the_svg_of_a_sheet_holds_the_strokes_of_its_dxf(tmp_path, asked):
    process, words, more = ASKED[asked]
    make(parse_job(JOB.format(process=process, asked=words) + SHEET), tmp_path)

    layers = assert_same_strokes(tmp_path / "sheet-paper-1.dxf", tmp_path / "sheet-paper-1.svg")
    assert layers == {"CUT-INSIDE", "CUT-OUTSIDE"} | more


def test_what_stays_uncut_is_told_by_its_dashes_too(tmp_path):
    make(parse_job(JOB.format(process="co2", asked="lead_in = 1.5\ntabs = 3")), tmp_path)
    groups = [one for one in svgelements.SVG.parse(tmp_path / "plate.svg") if isinstance(one, svgelements.Group)]
    dashed = {one.id for one in groups if one.values.get("stroke-dasharray")}

    assert dashed == {"TAB"}
