"""A received drawing as parts of a job: exact, divided, counted, cut like any other part."""

from __future__ import annotations

import io
from math import cos, pi, radians, sin
from pathlib import Path

import ezdxf
import pyogrio.raw
import pytest
import shapely
from ezdxf.document import Drawing
from ezdxf.layouts import Modelspace

from gasketcut import evaluate, parse_job, render
from gasketcut.errors import JobError, UndecidedError
from gasketcut.job.cutting import LayoutSpec
from gasketcut.job.reading.from_drawings import Asked, job_of_drawings
from gasketcut.pages.build_sheet.data import record_data
from gasketcut.parts.part import outline_of
from gasketcut.profile.profiles import read_profiles
from gasketcut.received.inspection import inspect
from gasketcut.rendering.job_files import sheet_files
from gasketcut.shape.loop import Circle, Loop
from gasketcut.verdict import Verdict

EXACT = 1e-6  # mm2

STOCK = '[[stock]]\nname = "steel 1.0"\nthickness = 1.0\nmaterial = "steel"\nsize = [400, 300]\n'
ELL = ((0, 0), (30, 0), (30, 10), (10, 10), (10, 25), (0, 25))


def drawing(path: Path, draw, unit: int = 4) -> Path:  # type: ignore[no-untyped-def]
    document = ezdxf.new("R2000")
    document.header["$INSUNITS"] = unit
    document.header["$MEASUREMENT"] = 0 if unit == 1 else 1
    draw(document.modelspace())
    document.saveas(path)
    return path


def plate(space: Modelspace) -> None:
    """80 x 50 mm with a bow of 12 mm at the top, and six holes."""
    bow = [(0, 0, 0), (80, 0, 0), (80, 50, 0.3), (0, 50, 0)]
    space.add_lwpolyline(bow, format="xyb", close=True)
    for number in range(6):
        space.add_circle((12 + number * 11, 20), 2 + 0.3 * number)


PLATE = Loop(((0, 0), (80, 0), (80, 50), (0, 50)), (0, 0, 0.3, 0)).area - sum(
    pi * (2 + 0.3 * number) ** 2 for number in range(6)
)


def ell(space: Modelspace, x: float, y: float, turn: float, mirrored: bool = False, hole: float = 2.0) -> None:
    c, s, way = cos(radians(turn)), sin(radians(turn)), -1 if mirrored else 1

    def at(a: float, b: float) -> tuple[float, float]:
        return x + c * a * way - s * b, y + s * a * way + c * b

    space.add_lwpolyline([at(*point) for point in ELL], close=True)
    space.add_circle(at(5, 20), 2)
    space.add_circle(at(25, 5), hole)


def job_of(folder: Path, *parts: str, more: str = "") -> str:
    """The text of a job with these parts, each the rest of a table with name and kind written."""
    tables = [f'[[part]]\nkind = "received"\nstock = "steel 1.0"\n{part}\n' for part in parts]
    return "\n".join(('units = "mm"', STOCK, *tables, more))


def evaluated(folder: Path, *parts: str, more: str = ""):  # type: ignore[no-untyped-def]
    return evaluate(parse_job(job_of(folder, *parts, more=more), folder / "job.toml"))


def parts_of(folder: Path, *parts: str):  # type: ignore[no-untyped-def]
    return evaluated(folder, *parts).parts


def read(data: bytes) -> Drawing:
    return ezdxf.read(io.StringIO(data.decode().replace("\r\n", "\n")))


def gdal_area(data: bytes) -> float:
    """What another reader makes of the cut layers: its polygons, the holes taken out."""
    options = {"OGR_ARC_STEPSIZE": "0.1"}
    pyogrio.set_gdal_config_options(options)
    with_bytes = pyogrio.raw.read(io.BytesIO(data), columns=["Layer"])
    pyogrio.set_gdal_config_options(dict.fromkeys(options))
    layers = [str(name) for name in with_bytes[3][0]]
    lines = [shapely.from_wkb(row) for row, layer in zip(with_bytes[2], layers, strict=True) if layer != "MARK"]
    polygons = sorted(shapely.polygonize(lines).geoms, key=lambda one: -shapely.Polygon(one.exterior).area)
    outside = shapely.Polygon(polygons[0].exterior)
    return float(outside.area - sum(shapely.Polygon(one.exterior).area for one in polygons[1:]))


# -- one part --------------------------------------------------------------------------------------------------------


def test_one_outer_contour_is_the_part_itself_and_its_area_is_exact(tmp_path: Path) -> None:
    drawing(tmp_path / "plate.dxf", plate)
    found = evaluated(tmp_path, 'name = "x"\nfile = "plate.dxf"')
    (result,) = found.parts.values()

    assert result.name == "x"
    assert result.outline.area == pytest.approx(PLATE, abs=EXACT)
    assert result.outline.deviation == 0.0
    assert sorted(one.radius for one in result.outline.inner) == pytest.approx([2 + 0.3 * n for n in range(6)], abs=0)
    assert (result.verdict, found.verdict) == (Verdict.FITS, Verdict.FITS)


def test_its_files_hold_the_same_area_and_the_library_finds_no_error(tmp_path: Path) -> None:
    drawing(tmp_path / "plate.dxf", plate)
    files = render(evaluated(tmp_path, 'name = "x"\nfile = "plate.dxf"'))
    assert set(files) == {"x.dxf", "x.svg", "x.pdf", "report.json"}

    document = read(files["x.dxf"])
    assert document.audit().errors == []
    assert [one.dxftype() for one in document.modelspace().query('*[layer=="CUT-INSIDE"]')] == ["CIRCLE"] * 6
    (again,) = [one.contour for one in inspect(files["x.dxf"]).closed if isinstance(one.contour, Loop)]
    assert again.area - sum(pi * (2 + 0.3 * n) ** 2 for n in range(6)) == pytest.approx(PLATE, abs=EXACT * 80)
    assert gdal_area(files["x.dxf"]) == pytest.approx(PLATE, rel=1e-5)  # chords of 0.1 deg


def test_marks_stay_marks_with_their_arcs(tmp_path: Path) -> None:
    def marked(space: Modelspace) -> None:
        plate(space)
        space.add_circle((40, 40), 4, dxfattribs={"layer": "MARK"})
        space.add_arc((15, 40), 5, 10, 120, dxfattribs={"layer": "ENGRAVE"})
        space.add_line((60, 40), (70, 40), dxfattribs={"layer": "MARK"})

    drawing(tmp_path / "plate.dxf", marked)
    found = evaluated(tmp_path, 'name = "x"\nfile = "plate.dxf"', more='[cutting]\nprocess = "fibre"')
    files = render(found)
    document = read(files["x.dxf"])
    kinds = sorted(one.dxftype() for one in document.modelspace().query('*[layer=="MARK"]'))

    assert found.parts["x"].outline.area == pytest.approx(PLATE, abs=EXACT)
    assert kinds == ["CIRCLE", "LINE", "LWPOLYLINE"]
    assert found.quote.rows[0].mark == pytest.approx(8 * pi + 5 * radians(110) + 10, abs=1e-9)


def test_a_mark_beside_every_part_is_not_lost_in_silence(tmp_path: Path) -> None:
    def marked(space: Modelspace) -> None:
        plate(space)
        space.add_line((-20, 10), (5, 10), dxfattribs={"layer": "MARK"})

    drawing(tmp_path / "plate.dxf", marked)
    (result,) = evaluated(tmp_path, 'name = "x"\nfile = "plate.dxf"').parts.values()
    (said,) = [one for one in result.findings if one.text.startswith("mark: ")]
    assert (said.weight, said.at) == ("warn", (-20, 10))
    assert "begins on none of the parts" in said.text


@pytest.mark.parametrize(("unit", "word"), [(1, "in"), (5, "cm"), (4, "mm")])
def test_what_the_file_says_of_its_unit_is_believed(tmp_path: Path, unit: int, word: str) -> None:
    factor = {"in": 25.4, "cm": 10.0, "mm": 1.0}[word]

    def small(space: Modelspace) -> None:
        space.add_lwpolyline([(0, 0), (60 / factor, 0), (60 / factor, 40 / factor), (0, 40 / factor)], close=True)
        space.add_circle((20 / factor, 20 / factor), 5 / factor)

    drawing(tmp_path / "a.dxf", small, unit)
    (result,) = evaluated(tmp_path, 'name = "a"\nfile = "a.dxf"').parts.values()
    assert result.outline.area == pytest.approx(2400 - 25 * pi, abs=EXACT)


def test_the_user_says_the_unit_where_the_file_does_not(tmp_path: Path) -> None:
    drawing(tmp_path / "a.dxf", lambda space: space.add_lwpolyline([(0, 0), (2, 0), (2, 1), (0, 1)], close=True), 0)

    with pytest.raises(JobError, match="no-unit"):
        parts_of(tmp_path, 'name = "a"\nfile = "a.dxf"')
    (result,) = evaluated(tmp_path, 'name = "a"\nfile = "a.dxf"\nunits = "in"').parts.values()
    assert result.outline.area == pytest.approx(2 * 25.4**2, abs=EXACT)


def test_a_spline_that_is_an_arc_becomes_it(tmp_path: Path) -> None:
    """A rational quadratic spline over a quarter circle is that quarter exactly."""

    def rounded(space: Modelspace) -> None:
        spline = space.add_rational_spline([(20, 0), (20, 20), (0, 20)], [1, 0.5**0.5, 1], degree=2)
        assert spline.closed is False
        space.add_line((0, 20), (0, 0))
        space.add_line((0, 0), (20, 0))

    drawing(tmp_path / "q.dxf", rounded)
    (result,) = evaluated(tmp_path, 'name = "q"\nfile = "q.dxf"').parts.values()
    assert result.outline.area == pytest.approx(100 * pi, abs=EXACT)
    assert sum(1 for one in result.outline.outer.segments() if one.bulge) == 1
    assert any(one.rule == "drawing" and "spline" in one.text for one in result.findings)


def test_an_ellipse_stays_within_fit(tmp_path: Path) -> None:
    drawing(tmp_path / "e.dxf", lambda space: space.add_ellipse((0, 0), (40, 0), 0.5))
    for fit in (0.05, 0.005):
        (result,) = evaluated(tmp_path, f'name = "e"\nfile = "e.dxf"\nfit = {fit}').parts.values()
        assert abs(result.outline.area - pi * 40 * 20) < result.outline.outer.length * fit


# -- several ---------------------------------------------------------------------------------------------------------


def test_like_pieces_are_counted_and_a_mirror_image_is_another_part(tmp_path: Path) -> None:
    def several(space: Modelspace) -> None:
        ell(space, 0, 0, 0)
        ell(space, 100, 0, 63)
        ell(space, 200, 0, 17, mirrored=True)
        ell(space, 300, 0, 115)
        ell(space, 400, 0, 5, hole=2.03)

    drawing(tmp_path / "s.dxf", several)
    found = evaluated(tmp_path, 'name = "s"\nfile = "s.dxf"\ncopies = 4')
    assert sorted(one.part.count for one in found.parts.values()) == [4, 4, 12]
    assert set(found.parts) == {"s-1", "s-2", "s-3"}
    sheet = record_data(found, "2026-01-02")
    counts = {name: one.part.count for name, one in found.parts.items()}
    assert {part["name"]: part["count"] for part in sheet["parts"]} == counts
    (table,) = [one["table"] for one in sheet["sections"] if one["heading"] == "Parts cut"]
    assert {row[0]: int(row[1]) for row in table[1:]} == counts


def test_a_ring_and_the_disc_in_it_are_two_parts(tmp_path: Path) -> None:
    def ring(space: Modelspace) -> None:
        for radius in (20, 12, 8):
            space.add_circle((5, 5), radius)

    drawing(tmp_path / "r.dxf", ring)
    found = evaluated(tmp_path, 'name = "r"\nfile = "r.dxf"').parts
    areas = sorted(one.outline.area for one in found.values())
    assert areas == pytest.approx([64 * pi, (400 - 144) * pi], abs=EXACT)


def test_two_drawings_whose_parts_would_get_one_name_are_refused(tmp_path: Path) -> None:
    drawing(tmp_path / "s.dxf", lambda space: [ell(space, 0, 0, 0), ell(space, 100, 0, 0, mirrored=True)])
    drawing(tmp_path / "plate.dxf", plate)
    with pytest.raises(JobError, match=r"'S-2' would be the name of two parts"):
        parts_of(tmp_path, 'name = "s"\nfile = "s.dxf"', 'name = "S-2"\nfile = "plate.dxf"')


# -- with others, and with a kerf ------------------------------------------------------------------------------------


def test_it_lies_on_one_sheet_with_our_own_parts(tmp_path: Path) -> None:
    drawing(tmp_path / "plate.dxf", plate)
    own = '[[part]]\nkind = "flat"\nname = "own"\nstock = "steel 1.0"\noutline = { round = 30.0 }\n'
    found = evaluated(tmp_path, 'name = "x"\nfile = "plate.dxf"\ncopies = 2', more=f"{own}[layout]\nseconds = 1\n")
    (sheets,) = found.sheets
    laid = [one.piece.name for one in sheets.layout.placed]
    assert sorted(laid) == ["own", "x", "x"]

    data = render(found)["sheet-steel-1.0-1.dxf"]
    assert read(data).audit().errors == []
    areas = [one.contour.area for one in inspect(data).closed]
    assert len(areas) == 2 * 7 + 1
    assert 2 * max(areas) - 2 * sum(pi * (2 + 0.3 * n) ** 2 for n in range(6)) == pytest.approx(2 * PLATE, abs=1e-3)


def test_six_holes_go_through_quote_and_nest_with_the_area_unchanged(tmp_path: Path) -> None:
    file = drawing(tmp_path / "plate.dxf", plate)
    profiles = read_profiles(tmp_path)
    job = job_of_drawings([file], Asked(sheet="steel 1.0", layout=LayoutSpec(seconds=0.5)), profiles)
    found = evaluate(job, profiles)
    (row,) = found.quote.rows
    (data,) = [data for name, data in sheet_files(found).items() if name.endswith(".dxf")]

    assert row.area == pytest.approx(PLATE, abs=EXACT)
    assert row.cut == pytest.approx(found.parts["plate"].outline.cut_length, abs=EXACT)
    assert gdal_area(data) == pytest.approx(PLATE, rel=1e-5)
    again = sum(one.contour.area for one in inspect(data).closed if isinstance(one.contour, Circle))
    assert again == pytest.approx(sum(pi * (2 + 0.3 * n) ** 2 for n in range(6)), abs=1e-4)  # written to 1e-6 mm


def test_the_kerf_goes_to_the_scrap_and_arcs_stay_arcs(tmp_path: Path) -> None:
    drawing(tmp_path / "plate.dxf", plate)
    found = evaluated(tmp_path, 'name = "x"\nfile = "plate.dxf"', more='[cutting]\nprocess = "fibre"\nkerf = 0.2\n')
    cut = found.parts["x"].cut
    left, low, right, _ = cut.path.bounds

    assert (left, low, right) == pytest.approx((-0.1, -0.1, 80.1), abs=2e-3)
    radii = sorted(one.radius for one in cut.path.inner if isinstance(one, Circle))
    assert radii == pytest.approx([1.9 + 0.3 * n for n in range(6)], abs=1e-9)
    nominal = next(one for one in cut.nominal.outer.segments() if one.bulge)
    assert nominal.radius + 0.1 == pytest.approx(max(one.radius for one in cut.path.outer.segments() if one.bulge),
                                                 abs=1e-6)  # fmt: skip
    assert outline_of(found.parts["x"].part) is cut.nominal


# -- what is not safe ------------------------------------------------------------------------------------------------


def test_what_a_person_has_to_decide_stops_with_the_words_of_inspect(tmp_path: Path) -> None:
    def open_one(space: Modelspace) -> None:
        space.add_lwpolyline([(0, 0), (80, 0), (80, 50), (0, 50), (0, 3)])

    drawing(tmp_path / "open.dxf", open_one)
    flaw = inspect(tmp_path / "open.dxf").flaws[0]
    with pytest.raises(JobError) as caught:
        parts_of(tmp_path, 'name = "x"\nfile = "open.dxf"')
    said = str(caught.value)
    assert f"{flaw.text}; {flaw.fix}" in said
    assert "gasketcut inspect" in said
    assert "job.toml:" in said
    assert "units, join, fit or drop of this part" in said


def test_what_is_no_single_sheet_or_only_marks_is_for_a_person_too(tmp_path: Path) -> None:
    twice = [(0, 0), (80, 0), (80, 50), (40, 50), (50, 30), (30, 30), (40, 50), (0, 50)]
    drawing(tmp_path / "touch.dxf", lambda space: space.add_lwpolyline(twice, close=True))
    drawing(tmp_path / "marks.dxf", lambda space: space.add_circle((0, 0), 5, dxfattribs={"layer": "Score-board"}))
    for name in ("touch", "marks"):
        found = inspect(tmp_path / f"{name}.dxf")
        assert found.looks
        with pytest.raises(UndecidedError, match="gasketcut inspect") as caught:
            parts_of(tmp_path, f'name = "x"\nfile = "{name}.dxf"')
        assert found.looks[0].text in str(caught.value)


def test_a_look_is_a_warning_of_the_part_it_lies_on(tmp_path: Path) -> None:
    def needle(space: Modelspace) -> None:
        plate(space)
        space.add_circle((200, 20), 15)
        space.add_circle((200, 20), 0.15)

    drawing(tmp_path / "n.dxf", needle, 4)
    found = parts_of(tmp_path, 'name = "x"\nfile = "n.dxf"')
    said = {name: [one.text for one in result.findings if one.rule == "drawing" and one.weight == "warn"]
            for name, result in found.items()}  # fmt: skip
    assert said["x-1"] == []
    assert "small-hole" in said["x-2"][0]


def test_what_is_lacking_or_no_drawing_is_told_with_its_line(tmp_path: Path) -> None:
    (tmp_path / "no.dxf").write_text("not a drawing")
    drawing(tmp_path / "text.dxf", lambda space: [plate(space), space.add_text("DIN")])
    with pytest.raises(JobError) as caught:
        parts_of(
            tmp_path, 'name = "a"\nfile = "gone.dxf"', 'name = "b"\nfile = "no.dxf"', 'name = "c"\nfile = "text.dxf"'
        )
    assert [fault.key for fault in caught.value.faults] == ["part 'a'", "part 'b'", "part 'c'"]
    assert all(fault.line for fault in caught.value.faults)
    kept = evaluated(tmp_path, 'name = "c"\nfile = "text.dxf"\ndrop = ["text"]').parts["c"]
    assert kept.outline.area == pytest.approx(PLATE, abs=EXACT)


@pytest.mark.parametrize(
    ("key", "says"),
    [
        ("outline = { round = 20 }", "cut as it was drawn"),
        ("holes = { at = [[1, 1]], diameter = 2 }", "cut as it was drawn"),
        ("nick = true", "cut as it was drawn"),
        ('port = { shape = { round = 3 }, name = "inlet" }', "nothing is known of the metal"),
        ('units = "mil"', "units"),
        ("fit = 0", "fit"),
    ],
)
def test_keys_that_cannot_be_meant_are_refused(tmp_path: Path, key: str, says: str) -> None:
    with pytest.raises(JobError, match=says):
        evaluated(tmp_path, f'name = "x"\nfile = "plate.dxf"\n{key}')


def test_no_part_is_made_after_a_drawing_that_may_hold_several(tmp_path: Path) -> None:
    spacer = '[[part]]\nkind = "spacer"\nname = "y"\nof = "x"\n'
    with pytest.raises(JobError, match="no part with an outline of its own"):
        evaluated(tmp_path, 'name = "x"\nfile = "plate.dxf"', more=spacer)


def test_a_part_whose_drawing_has_not_changed_keeps_its_result(tmp_path: Path) -> None:
    drawing(tmp_path / "plate.dxf", plate)
    job = parse_job(job_of(tmp_path, 'name = "x"\nfile = "plate.dxf"'), tmp_path / "job.toml")
    first = evaluate(job)
    again = evaluate(job, previous=first)
    assert again.parts["x"].part is first.parts["x"].part

    drawing(tmp_path / "plate.dxf", lambda space: space.add_circle((0, 0), 20))
    assert evaluate(job, previous=first).parts["x"].outline.area == pytest.approx(400 * pi, abs=EXACT)


def test_a_look_at_any_of_several_like_pieces_is_told_once_of_their_part(tmp_path: Path) -> None:
    def needles(space: Modelspace) -> None:
        plate(space)
        for x in (200, 260, 320):
            space.add_circle((x, 20), 15)
            space.add_circle((x, 24), 0.15)

    drawing(tmp_path / "n.dxf", needles)
    found = parts_of(tmp_path, 'name = "x"\nfile = "n.dxf"')
    said = [one.text for one in found["x-2"].findings if one.text.startswith("small-hole")]
    assert (found["x-2"].part.count, len(said)) == (3, 1)
    assert said[0].endswith(", and 2 more like it")
    assert not [one for one in found["x-1"].findings if one.text.startswith("small-hole")]


def test_copies_is_the_word_and_count_is_not(tmp_path: Path) -> None:
    drawing(tmp_path / "s.dxf", lambda space: ell(space, 0, 0, 0))
    assert [one.part.count for one in parts_of(tmp_path, 'name = "s"\nfile = "s.dxf"\ncopies = 3').values()] == [3]
    with pytest.raises(JobError, match="count"):
        evaluated(tmp_path, 'name = "s"\nfile = "s.dxf"\ncount = 3')
