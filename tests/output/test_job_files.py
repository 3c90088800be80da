"""An evaluation to files in memory: which there are, what they are called, and that none goes out unproved."""

import io
import json
from dataclasses import replace

import ezdxf
import pypdfium2
import pytest

from gasketcut import GasketError, evaluate, parse_job
from gasketcut.errors import ReadBackError
from gasketcut.evaluation import work_out
from gasketcut.output import sheet_files
from gasketcut.rendering import job_files
from gasketcut.rendering.job_files import Options, render
from tests.output.test_same_strokes import JOB, SHEET

PLAIN = JOB.format(process="co2", asked="")
TABS = JOB.format(process="co2", asked="tabs = 2")
BAD = """[[part]]\nname = "bad"\nkind = "exhaust"\noutline = { rectangle = [60.0, 40.0] }\nopening = { round = 20.0 }
absent = ["water", "dowel"]\nstuds = { at = [[-22, 0], [22, 0]], size = "M5" }
[[part.port]]\nname = "exhaust"\nshape = { round = 26.0 }\n"""


def files_of(text, **options):
    return render(evaluate(parse_job(text)), Options(**options))


def without_a_cut(data):
    document = ezdxf.read(io.StringIO(data.decode().replace("\r\n", "\n")))
    document.modelspace().delete_entity(document.modelspace()[0])
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode()


def page_count(data):
    document = pypdfium2.PdfDocument(data)
    count = len(document)
    document.close()
    return count


@pytest.mark.parametrize(
    ("name", "value", "known"),
    [("dxf", "r14", "r2000, r2010, r12"), ("form", "spline", "polyline, segments"), ("units", "cm", "mm, in")],
)
def test_a_choice_that_is_not_there_is_refused_with_those_that_are(name, value, known):
    with pytest.raises(GasketError, match=f"^{name} = '{value}' is not known; write one of {known}$"):
        Options(**{name: value})


def test_a_stop_of_one_part_keeps_back_all_and_anyway_names_the_one():
    text = PLAIN + BAD
    assert files_of(text) == {}

    files = files_of(text, anyway=True)
    assert {name for name in files if "DOES-NOT-FIT" in name} == {
        f"bad-DOES-NOT-FIT{ending}" for ending in (".dxf", ".svg", ".pdf")
    }
    assert {"plate.dxf", "plate.svg", "plate.pdf", "report.json"} <= set(files)


def test_the_report_names_the_files_of_each_part():
    files = files_of(PLAIN + BAD, anyway=True)
    report = json.loads(files["report.json"])
    named = {one["name"]: set(one["files"]) for one in report["parts"]}

    assert named["plate"] == {"plate.dxf", "plate.svg", "plate.pdf"}
    assert named["bad"] == {f"bad-DOES-NOT-FIT{ending}" for ending in (".dxf", ".svg", ".pdf")}
    assert set().union(*named.values()) <= set(files)


def test_what_was_found_at_a_place_has_pictures_on_the_last_pages():
    # 0.8 mm are left between hole and edge: below the 1.0 mm at which a land is a stop, so it is found, with its place.
    sound = PLAIN.replace("opening = { slot", "opening = {slot")
    near = sound.replace("[22, -12]", "[26.7, -3]")
    counts = [page_count(files_of(text, anyway=True)[name]) for text, name in
              ((sound, "plate.pdf"), (near, "plate-DOES-NOT-FIT.pdf"))]  # fmt: skip

    assert counts == [2, 4]  # the whole part, and the place enlarged


def spoilt(monkeypatch, place, name, change):
    """Let that writer write something else than it should."""
    sound = getattr(place, name)
    monkeypatch.setattr(place, name, lambda *given: change(sound(*given)))


@pytest.mark.parametrize("text", [PLAIN, TABS])
def test_a_dxf_that_does_not_hold_the_part_is_not_returned(monkeypatch, text):
    spoilt(monkeypatch, job_files, "write_dxf", without_a_cut)
    with pytest.raises(ReadBackError, match="plate"):
        files_of(text)


@pytest.mark.parametrize("text", [PLAIN, TABS])
def test_an_svg_that_does_not_hold_the_part_is_not_returned(monkeypatch, text):
    spoilt(monkeypatch, job_files, "write_svg", lambda data: data.replace(b"<circle", b"<circle r='9'", 1))
    with pytest.raises(ReadBackError, match="plate"):
        files_of(text)


def test_a_path_that_leaves_out_a_piece_of_the_part_is_not_returned(monkeypatch):
    def short(ready):
        return replace(ready, tool=replace(ready.tool, strokes=ready.tool.strokes[:-1]))

    spoilt(monkeypatch, work_out, "cut_part", short)
    with pytest.raises(ReadBackError, match="plate"):
        files_of(TABS)


@pytest.mark.parametrize("writer", ["write_template", "write_together"])
def test_a_page_that_a_viewer_may_shrink_is_not_returned(monkeypatch, writer):
    spoilt(monkeypatch, job_files, writer, lambda data: data.replace(b"/PrintScaling /None", b"/PrintScaling /Auto"))
    with pytest.raises(ReadBackError, match="printed as it is"):
        files_of(PLAIN, together=True)


def test_a_sheet_that_does_not_hold_the_layout_is_not_returned(monkeypatch):
    spoilt(monkeypatch, sheet_files, "write_strokes", without_a_cut)
    with pytest.raises(ReadBackError, match="sheet-paper-1"):
        files_of(TABS + SHEET)


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("dxf", ["r2000", "r2010", "r12"])
@pytest.mark.parametrize("text", [PLAIN, TABS])
def test_every_choice_is_the_same_part(text, dxf, units):
    files = files_of(text, dxf=dxf, units=units, form="segments")
    document = ezdxf.read(io.StringIO(files["plate.dxf"].decode().replace("\r\n", "\n")))
    outside = [one for one in document.modelspace() if one.dxf.layer == "CUT-OUTSIDE"]

    assert document.dxfversion == {"r2000": "AC1015", "r2010": "AC1024", "r12": "AC1009"}[dxf]
    assert len(files_of(text)) == len(files)
    # Four lines and four arcs; with tabs each stroke is one polyline from tab to tab.
    stroke = "POLYLINE" if dxf == "r12" else "LWPOLYLINE"
    assert {one.dxftype() for one in outside} == ({"LINE", "ARC"} if text is PLAIN else {stroke})
