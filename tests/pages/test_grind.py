"""The templates to grind by, read back with other people's readers: at full size, old beside new, every word seen."""

import io
import json

import ezdxf
import numpy as np
import pdfplumber
import pypdfium2
import pytest

from gasketcut import evaluate, parse_job, render
from gasketcut.errors import ReadBackError
from gasketcut.evaluation.plates import SNUG, plates_of
from gasketcut.length import PT
from gasketcut.pages.grind.template import OLD_LINE, write_grind_template
from gasketcut.pages.printer import Correction
from gasketcut.profile.profiles import read_profiles
from gasketcut.rendering.grind_files import _prove
from gasketcut.rendering.job_files import Options
from tests.evaluation.test_grinding import JOINT, PART

FINE = 0.003  # mm, as every file of ours is proved to
GROWN = PART.format(work="all_round = 0.762", opening=22.5, more="")


def made(text, **options):
    return render(evaluate(parse_job(text)), Options(**options))


FILES = made(GROWN)


def circles(page, width):
    """Middle and radius of every round path of that width [mm]."""
    found = []
    for curve in page.curves:
        if curve["linewidth"] == pytest.approx(width * PT, abs=0.003):
            xs, ys = zip(*curve["pts"], strict=True)
            box = (min(xs), max(xs), min(ys), max(ys))
            if box[1] - box[0] == pytest.approx(box[3] - box[2], abs=0.01):
                found.append((((box[0] + box[1]) / 2 / PT, (box[2] + box[3]) / 2 / PT), (box[1] - box[0]) / 2 / PT))
    return found


def test_make_writes_it_beside_the_part_and_says_so():
    report = json.loads(FILES["report.json"])

    assert {"carb-gasket-grind.pdf", "carb-gasket-grind.dxf"} <= set(FILES)
    assert {"carb-gasket-grind.pdf", "carb-gasket-grind.dxf"} <= set(report["parts"][0]["files"])
    assert report["parts"][0]["ground"][0]["port"] == "intake"


def test_without_work_there_is_none():
    assert not [name for name in made(GROWN.split("[[work]]")[0]) if "grind" in name]


def test_old_and_new_edge_and_the_studs_are_on_the_page_at_full_size():
    with pdfplumber.open(io.BytesIO(FILES["carb-gasket-grind.pdf"])) as pdf:
        page = pdf.pages[0]
        cut, old = circles(page, 0.25), circles(page, OLD_LINE)
        words = page.extract_text()
        head = " ".join(page.crop((0, 0, 110 * PT, 70 * PT)).extract_text().split())

    (at, radius), *others = sorted(cut, key=lambda one: -one[1])
    assert radius == pytest.approx(9.7 + 0.762, abs=0.01)
    assert [one for _, one in others] == pytest.approx([2.5 + SNUG / 2] * 2, abs=0.01)
    assert sorted(place[0] - at[0] for place, _ in others) == pytest.approx([-21.0, 21.0], abs=0.01)
    ((middle, before),) = old
    assert before == pytest.approx(9.7, abs=0.01)
    assert middle == pytest.approx(at, abs=0.01)
    assert words.count("0.76") == 12
    assert "eye protection" in head
    assert "intake 48.3 mm2" in head


def test_the_page_of_figures_has_a_row_every_30_degrees_and_the_walls():
    with pdfplumber.open(io.BytesIO(FILES["carb-gasket-grind.pdf"])) as pdf:
        assert len(pdf.pages) == 2
        words = pdf.pages[1].extract_text()

    assert all(f"\n{turn} 0.76 mm (0.030 in)" in words for turn in range(0, 360, 30))
    assert "stud 1 8.04 mm (0.316 in)" in words


def test_nothing_is_drawn_off_the_paper_or_over_the_card():
    document = pypdfium2.PdfDocument(FILES["carb-gasket-grind.pdf"])
    for number in range(len(document)):
        picture = np.asarray(document[number].render(scale=2, grayscale=True).to_pil())
        edge = int(6.3 * PT * 2)  # mm that printers leave blank

        assert (picture[:edge] == 255).all()
        assert (picture[-edge:] == 255).all()
        assert (picture[:, :edge] == 255).all()
        assert (picture[:, -edge:] == 255).all()


@pytest.mark.parametrize(("units", "size"), [("mm", 1.0), ("in", 25.4)])
def test_the_dxf_has_the_lines_to_cut_by_and_the_old_edge_as_a_mark(units, size):
    data = made(GROWN, units=units)["carb-gasket-grind.dxf"]
    document = ezdxf.read(io.StringIO(data.decode().replace("\r\n", "\n")))
    found = [(one.dxf.layer, round(one.dxf.radius * size, 6)) for one in document.modelspace().query("CIRCLE")]
    middles = [one.dxf.center.vec2 * size for one in document.modelspace().query("CIRCLE")]

    assert found == [
        ("MARK", 9.7), ("CUT-INSIDE", 2.55), ("CUT-INSIDE", 2.55), ("CUT-INSIDE", 10.462),
    ]  # fmt: skip
    assert (middles[1] - middles[2]).magnitude == pytest.approx(42.0, abs=1e-5)
    assert middles[0].isclose(middles[3], abs_tol=1e-5)
    (edge,) = document.modelspace().query("LWPOLYLINE")
    assert (edge.dxf.layer, edge.closed) == ("CUT-OUTSIDE", True)


def test_a_joint_gets_one_too_with_the_steps_before_and_after():
    files = made(JOINT.format(second=20.0, work=""))
    with pdfplumber.open(io.BytesIO(files["manifold-grind.pdf"])) as pdf:
        words = pdf.pages[1].extract_text()

    assert "step before after" in words
    assert "90 0.50 mm (0.020 in) +0.50 mm +0.00 mm" in words
    assert "Step against pipe" in words
    assert "manifold-grind.dxf" in json.loads(files["report.json"])["parts"][0]["files"]


def test_both_faces_ground_are_two_templates():
    work = "".join(
        f'[[work]]\nport = "intake"\npart = "manifold"\nface = "{face}"\nall_round = 0.8\n'
        for face in ("pipe", "cylinder")
    )
    names = {name for name in made(JOINT.format(second=20.0, work=work)) if "grind" in name}

    assert names == {f"manifold-grind-{number}.{ending}" for number in (1, 2) for ending in ("dxf", "pdf")}


def test_a_corrected_print_is_proved_too():
    fix = Correction(short=1.006, long=0.997)

    assert "carb-gasket-grind.pdf" in made(GROWN, fix=fix)


def test_a_large_plate_goes_on_tiles():
    text = GROWN.replace("[[-21, 0], [21, 0]]", "[[-120, 0], [120, 130]]").replace("hull = 6.0", "hull = 12.0")
    with pdfplumber.open(io.BytesIO(made(text)["carb-gasket-grind.pdf"])) as pdf:
        assert len(pdf.pages) > 2
        assert "tile A1" in pdf.pages[0].extract_text()


def test_an_old_edge_that_lies_elsewhere_is_no_template():
    (plate,) = plates_of(evaluate(parse_job(GROWN)).grindings["carb-gasket"])
    paper = read_profiles().papers.paper("a4")
    moved = type(plate)(
        plate.part, plate.face, plate.outline, tuple(one.moved(0.02, 0.0) for one in plate.old_edges), plate.holes,
        plate.ground,
    )  # fmt: skip
    pdf = write_grind_template(moved, "x", "mm", paper)

    _prove(pdf, moved, paper, Correction(), "x")
    with pytest.raises(ReadBackError, match="old edge"):
        _prove(pdf, plate, paper, Correction(), "x")
