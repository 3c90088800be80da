"""The degree wheel, measured by two readers that share no line with the library that wrote it."""

from itertools import pairwise
from math import atan2, degrees, dist

import numpy as np
import pdfplumber
import pypdfium2
import pytest
from pdfminer.pdftypes import resolve1

from gasketcut import GasketError, evaluate, parse_job
from gasketcut.engine.ports.crank import Crank
from gasketcut.pages.bore.wheel import spread
from gasketcut.pages.paper_files import wheel_pdf
from gasketcut.profile.own import shipped
from tests.pages.test_pdf_by_readers import HUNDREDTH, MM, PAPERS, bars, by_pdfium, by_pdfplumber

READERS = {"pdfplumber": by_pdfplumber, "pdfium": by_pdfium}
every_reader = pytest.mark.parametrize("reader", READERS)
every_way = pytest.mark.parametrize("way", ["clockwise", "counter-clockwise"])

HEAD = 'title = "Ferry winch"\nunits = "mm"\n[engine]\nbore = 44.0\nstroke = 34.0\nrod = 58.0\n'
PORTS = '[engine.ports]\nexhaust = { opens = "103 deg" }\nintake = { kind = "piston-port", opens = "75 deg" }\n'
DEMO = shipped("demo").read_text(encoding="utf-8")


def disc(tmp_path, text, reader="pdfium", paper="a4", **more):
    """The first page, the middle and radius of its largest circle."""
    file = tmp_path / "wheel.pdf"
    file.write_bytes(wheel_pdf(evaluate(parse_job(text)), paper, **more))
    page, _ = READERS[reader](file)
    ring = max((path for path in page.paths if len(path) > 300), key=lambda path: np.ptp(path[:, 0]))
    low, high = ring.min(axis=0), ring.max(axis=0)
    return page, (low + high) / 2, float(np.ptp(ring[:, 0])) / 2


def radial(page, middle):
    """Outer and inner radius and compass angle of every stroke that points to the middle."""
    found = []
    for path in page.paths:
        if len(path) != 2:
            continue
        ends = sorted((dist(point, middle), tuple(point - middle)) for point in path)
        (inner, a), (outer, b) = ends
        if inner > 20 and abs(a[0] * b[1] - a[1] * b[0]) / outer < 0.02:
            found.append((outer, inner, degrees(atan2(b[0], b[1])) % 360))
    return found


@every_reader
@every_way
def test_every_degree_has_its_tick(tmp_path, reader, way):
    page, middle, radius = disc(tmp_path, HEAD, reader, way=way)
    ticks = [turn for outer, _, turn in radial(page, middle) if outer == pytest.approx(radius, abs=HUNDREDTH)]
    assert len(ticks) == 360
    assert {round(turn) % 360 for turn in ticks} == set(range(360))
    assert max(abs(turn - round(turn)) for turn in ticks) < 0.02


@every_reader
@every_way
def test_the_back_ring_is_the_crank_s_travel(tmp_path, reader, way):
    page, middle, radius = disc(tmp_path, HEAD, reader, way=way)
    ring = [turn for outer, _, turn in radial(page, middle) if outer == pytest.approx(radius - 12, abs=HUNDREDTH)]
    # A table worked out for stroke 34, rod 58: 1.0, 1.5, 2.0, 2.5 and 3.0 mm from TDC; its method is confirmed by a
    # published 18.84 deg for 2.0 mm at stroke 60, rod 120.
    for turn in (17.39, 21.37, 24.75, 27.76, 30.51):
        for side in (turn, 360 - turn):
            assert min(abs(one - side) for one in ring) < 0.02
    marks = [abs(turn) for _, after, before in Crank(34.0, 58.0).travel_marks() for turn in (after, before)]
    assert len(ring) >= len(marks) - 2  # the last ones at BDC are one tick


def test_an_offset_pin_has_two_sides(tmp_path):
    page, middle, radius = disc(tmp_path, HEAD + "pin_offset = 2.0\n", "pdfplumber")
    crank = Crank(34.0, 58.0, 2.0)
    ring = [turn for outer, _, turn in radial(page, middle) if outer == pytest.approx(radius - 12, abs=HUNDREDTH)]
    assert abs(crank.after(10.0) - crank.before(10.0)) > 0.4
    for turn in (360 - crank.after(10.0), crank.before(10.0)):  # clockwise: what comes after TDC lies to the left
        assert min(abs(one - turn) for one in ring) < 0.02
    assert "The pin's offset makes the halves unequal" in page.words


@every_way
def test_ports_lie_at_their_angles(tmp_path, way):
    page, middle, radius = disc(tmp_path, HEAD + PORTS, way=way)
    marks = [turn for outer, inner, turn in radial(page, middle) if outer == pytest.approx(radius, abs=HUNDREDTH)
             and outer - inner == pytest.approx(6.9, abs=0.02)]  # fmt: skip
    assert sorted(round(turn, 1) for turn in marks) == [75.0, 103.0, 257.0, 285.0]
    found = {(event.port, event.what): event.old for event in evaluate(parse_job(HEAD + PORTS)).events}
    assert found == {
        ("exhaust", "opens"): pytest.approx(103.0), ("exhaust", "closes"): pytest.approx(-103.0),
        ("intake", "opens"): pytest.approx(-75.0), ("intake", "closes"): pytest.approx(75.0),
    }  # fmt: skip


def test_old_and_new_are_those_of_the_answer(tmp_path):
    evaluation = evaluate(parse_job(DEMO))
    answer = evaluation.squish
    for event in evaluation.events:
        if event.what == "opens":
            assert abs(event.old) == pytest.approx(answer.before.ports[event.port].opens)
            assert abs(event.new) == pytest.approx(answer.after.ports[event.port].opens)
    page, _, _ = disc(tmp_path, DEMO)
    assert "exhaust opens 103.0 old" in page.words
    assert f"exhaust opens {answer.after.ports['exhaust'].opens:.1f} new" in page.words


@every_reader
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("text", [HEAD, DEMO, HEAD.replace("34.0", "100.0").replace("58.0", "190.0") + PORTS])
def test_both_bars_and_the_paper(tmp_path, reader, paper, text):
    page, middle, radius = disc(tmp_path, text, reader, paper=paper)
    assert (page.width, page.height) == pytest.approx((PAPERS[paper]["width"], PAPERS[paper]["height"]), abs=HUNDREDTH)
    assert [round(length, 2) for _, length, ends in bars(page) if ends == 2] == [100.0, 100.0]
    assert radius > 60
    assert middle[0] - radius > 6.35  # a printer's blank margin
    assert middle[1] - radius > 6.35


def test_words_fonts_bytes_and_no_scaling(tmp_path):
    data = wheel_pdf(evaluate(parse_job(DEMO)))
    assert data == wheel_pdf(evaluate(parse_job(DEMO)))
    (tmp_path / "w.pdf").write_bytes(data)
    with pdfplumber.open(tmp_path / "w.pdf") as document:
        assert resolve1(document.doc.catalog["ViewerPreferences"])["PrintScaling"].name == "None"
        assert len(document.pages) == 2
        words = " ".join(document.pages[0].extract_text().split())
        for page in document.pages:
            for letter in page.chars:
                assert 18 < letter["x0"] < letter["x1"] < float(page.width) - 18
                assert 18 < letter["top"] < letter["bottom"] < float(page.height) - 18
            fonts = [resolve1(font) for font in resolve1(page.page_obj.resources["Font"]).values()]
            used = {letter["fontname"] for letter in page.chars}
            own = {font["BaseFont"].name: resolve1(font.get("FontDescriptor", {})) for font in fonts}
            assert all("FontFile2" in own[name] for name in used)
    for said in ("spark plug out", "by hand only", "half-sum (A + B) / 2", "CLOCKWISE"):
        assert said in words


def test_the_bar_as_printed_on_paper(tmp_path):
    (tmp_path / "w.pdf").write_bytes(wheel_pdf(evaluate(parse_job(HEAD))))
    document = pypdfium2.PdfDocument(tmp_path / "w.pdf")
    ink = document[0].render(scale=10 * MM, grayscale=True).to_numpy() < 128  # 254 dpi: ten pixels for a mm
    row = ink[-((10 + 6) * 10) - 2 : -((10 + 6) * 10) + 3].any(axis=0)
    columns = np.flatnonzero(row)
    assert columns.max() - columns.min() == pytest.approx(1000, abs=3)  # the line's own width adds two
    document.close()


@pytest.mark.parametrize("offset", [0.0, 1.5, -2.0])
@pytest.mark.parametrize("between", [40.0, 75.0, 130.0])
def test_readings_at_a_stop_belong_to_one_travel(offset, between):
    crank = Crank(34.0, 58.0, offset)
    after, before = crank.stop_turns(between)
    assert after + before == pytest.approx(between, abs=1e-6)
    assert crank.travel(after) == pytest.approx(crank.travel(-before), abs=1e-6)


def test_labels_are_spread_no_more_than_they_must():
    assert spread([10.0, 40.0], 4.0) == [10.0, 40.0]
    places = spread([10.0, 10.5, 11.0, 50.0], 4.0)
    assert all(b - a >= 4.0 - 1e-9 for a, b in pairwise(places))
    assert places[3] == 50.0
    assert sum(places[:3]) / 3 == pytest.approx(10.5)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('title = "t"\nunits = "mm"\n[ring]\ngap = 0.2\n', "has no .engine."),
        (HEAD.replace("stroke = 34.0\n", ""), "add the line stroke"),
        (HEAD.replace("rod = 58.0\n", ""), "add the line rod"),
    ],
)
def test_what_is_missing_is_named_with_the_line_to_add(text, words):
    with pytest.raises(GasketError, match=words):
        wheel_pdf(evaluate(parse_job(text)))


def test_by_command(command, tmp_path):
    done = command("wheel", "job.toml", "--paper", "letter", "--turns", "counter-clockwise", text=HEAD + PORTS)
    assert (done.returncode, done.stderr) == (0, "")
    assert (tmp_path / "degree-wheel.pdf").stat().st_size > 10_000
    assert command("wheel", "job.toml").returncode == 2  # another file of that name is there
    assert command("wheel", "job.toml", "--replace").returncode == 0
    wrong = command("wheel", "job.toml", "--out", "wheel.txt")
    assert wrong.returncode == 2
    assert "wheel.pdf" in wrong.stderr
