"""The port stencil, measured by two readers; chord and arc against printed rows."""

from math import pi

import numpy as np
import pdfplumber
import pytest

from gasketcut import GasketError, evaluate, parse_job
from gasketcut.engine.ports.unrolled import across, along_wall, circumference, seam
from gasketcut.pages.bore.stencil import stencil_of
from gasketcut.pages.paper_files import stencil_pdf
from gasketcut.profile.own import shipped
from tests.pages.test_pdf_by_readers import HUNDREDTH, bars, by_pdfium, by_pdfplumber

READERS = {"pdfplumber": by_pdfplumber, "pdfium": by_pdfium}
every_reader = pytest.mark.parametrize("reader", READERS)
JOB = """title = "Ferry winch"
units = "mm"
[engine]
bore = {bore}
stroke = 34.0
rod = 58.0
ring_pin = "200 deg"
[engine.ports]
exhaust = {{ depth = 23.0, width = {width}, height = 11.0, centre = "90 deg" }}
left = {{ kind = "transfer", depth = 27.0, width = 8.0, height = 6.5, centre = "170 deg" }}
[[work]]
port = "exhaust"
remove = 0.5
widen = 1.0
"""
DEMO = shipped("demo").read_text(encoding="utf-8")


def job_of(bore=44.0, width=26.0):
    return parse_job(JOB.format(bore=bore, width=width))


def pages(tmp_path, job, reader="pdfium", **more):
    file = tmp_path / "stencil.pdf"
    file.write_bytes(stencil_pdf(evaluate(job), **more))
    return list(READERS[reader](file))


def boxes(page):
    """Width and height of every closed line of straight pieces."""
    found = [path for path in page.paths if len(path) > 4 and np.allclose(path[0], path[-1], atol=1e-3)]
    return [tuple(np.ptp(path, axis=0)) for path in found]


@every_reader
@pytest.mark.parametrize("bore", [25.0, 44.0, 52.0])
def test_the_width_is_pi_times_the_bore(tmp_path, reader, bore):
    page, *_ = pages(tmp_path, job_of(bore, 0.55 * bore), reader)
    assert any(width == pytest.approx(pi * bore, abs=HUNDREDTH) for width, _ in boxes(page))
    assert [round(length, 2) for _, length, ends in bars(page) if ends == 2][:2] == [100.0, 100.0]


@pytest.mark.parametrize(
    ("bore", "chord", "wall"),
    # Chord and arc for 62 and 70 % of the bore: from arc = B asin(w/B); the shares are a tuner's handbook's.
    [(40, 24.80, 26.75), (40, 28.00, 31.02), (47, 29.14, 31.43), (47, 32.90, 36.44),
     (54, 33.48, 36.11), (54, 37.80, 41.87), (66, 40.92, 44.14), (66, 46.20, 51.18)],
)  # fmt: skip
def test_chord_and_wall(bore, chord, wall):
    assert 2 * along_wall(chord / 2, bore) == pytest.approx(wall, abs=0.01)
    assert across(wall, bore) == pytest.approx(chord, abs=0.01)
    assert circumference(bore) == pytest.approx(pi * bore)


@every_reader
def test_windows_have_their_width_on_the_wall_and_their_height(tmp_path, reader):
    page, *_ = pages(tmp_path, job_of(), reader)
    old, new = 2 * along_wall(13.0, 44.0), 2 * along_wall(13.5, 44.0)
    found = boxes(page)
    for wanted in ((old, 11.0), (new, 11.5), (2 * along_wall(4.0, 44.0), 6.5)):
        assert any(one == pytest.approx(wanted, abs=0.02) for one in found), wanted


@pytest.mark.parametrize(("seen", "sign"), [("inside", -1), ("outside", 1)])
def test_inside_and_outside_are_mirror_images(seen, sign):
    stencil = stencil_of(evaluate(job_of()), seen)
    # The exhaust stands at 90 deg, the left transfer at 170: counter-clockwise from above, so to the left of the
    # exhaust for one who looks at the wall from the bore's axis.
    apart = stencil.x(170.0) - stencil.x(90.0)
    assert apart == pytest.approx(sign * 80 / 360 * pi * 44.0)


def test_the_seam_keeps_off_windows_and_pin():
    wall = evaluate(job_of()).wall
    place = seam(wall.windows, 44.0, 200.0)
    assert place == wall.seam
    for low, high in ((90 - 40, 90 + 40), (170 - 15, 170 + 15), (199, 201)):
        assert not low < place < high


def test_figures_and_words(tmp_path):
    first, last = pages(tmp_path, job_of())
    for words in ("seen from inside the bore", "Dashed: edges after the [[work]] of the job.", "front 90", "ring pin"):
        assert words in first.words
    for words in ("27.82 mm (1.095 in)", "roof up 0.50 mm (0.020 in)", "wider by 1.00 mm (0.039 in) as chord",
                  "59% of the bore, then 61%", "Metal that is off cannot be put back"):  # fmt: skip
        assert words in last.words


def test_without_work_the_edge_that_would_restore_the_timing(tmp_path):
    evaluation = evaluate(parse_job(DEMO))
    windows, answer = evaluation.wall.windows, evaluation.squish
    exhaust = next(one for one in windows if one.old.name == "exhaust")
    assert exhaust.restores
    assert exhaust.old.roof - exhaust.new.roof == pytest.approx(-answer.moved)  # the cylinder goes down, the roof up
    intake = next(one for one in windows if one.old.name == "intake")
    assert intake.new is None  # its floor would need metal put on


@every_reader
def test_a_wide_bore_goes_on_tiles(tmp_path, reader):
    found = pages(tmp_path, job_of(100.0, 60.0), reader)
    assert len(found) > 2
    assert "tile A1 of A2" in found[0].words
    assert "Lay tiles over each other" in found[0].words


def test_the_same_job_gives_the_same_bytes_and_no_word_leaves_the_paper(tmp_path):
    data = stencil_pdf(evaluate(parse_job(DEMO)))
    assert data == stencil_pdf(evaluate(parse_job(DEMO)))
    (tmp_path / "s.pdf").write_bytes(data)
    with pdfplumber.open(tmp_path / "s.pdf") as document:
        for page in document.pages:
            for letter in page.chars:
                assert 18 < letter["x0"] < letter["x1"] < float(page.width) - 18
                assert 18 < letter["top"] < letter["bottom"] < float(page.height) - 18


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('title = "t"\nunits = "mm"\n[ring]\ngap = 0.2\n', "bore = 44.0"),
        ('title = "t"\nunits = "mm"\n[engine]\nbore = 44.0\n', "has no ports"),
        (
            'title = "t"\nunits = "mm"\n[engine]\nbore = 44.0\n[engine.ports]\nexhaust = { depth = 23.0 }\n',
            "add centre",
        ),
    ],
)
def test_what_is_missing_is_named_with_the_line_to_add(text, words):
    with pytest.raises(GasketError, match=words):
        stencil_of(evaluate(parse_job(text)))


def test_by_command(command, tmp_path):
    done = command("stencil", "job.toml", "--seen", "outside", text=JOB.format(bore=44.0, width=26.0))
    assert (done.returncode, done.stderr) == (0, "")
    assert "seen from outside" in done.stdout
    assert (tmp_path / "port-stencil.pdf").exists()
