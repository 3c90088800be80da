"""The sheet of a trace: names, numbers, sizes with their range, questions enlarged; at the scale that its bar says."""

import io
import re
from functools import cache

import pypdfium2
import pytest
from click.testing import CliRunner

from gasketcut.capture.image.picture_file import read_scan
from gasketcut.capture.traced import trace
from gasketcut.capture.uncertainty.figures import diameter, size
from gasketcut.cli import main
from gasketcut.output.picture import Photograph, Stroke, Words
from gasketcut.pages.traced.files import overlay_pdf, overlay_svg
from gasketcut.pages.traced.overlay import WIDTH, overlay_picture
from gasketcut.pages.traced.questions import question_pictures
from tests.capture.torn_scans import BORE, SIDE, bitten
from tests.scans import scan

pytest.importorskip("contourpy")

DPI = 150


@cache
def seen():
    stream = io.BytesIO()
    scan(dpi=DPI, shapes=((bitten(SIDE, BORE), 0.0, 0.0),)).save(stream, "PNG", dpi=(DPI, DPI))
    return read_scan(stream.getvalue())


@cache
def found():
    return trace(seen())


def words_of(picture):
    return [mark for mark in picture.marks if isinstance(mark, Words)]


def test_every_name_and_every_size_with_its_range_is_on_it():
    (part,) = found().parts
    text = [mark.text for mark in words_of(overlay_picture(seen(), found(), "old.png"))]

    for hole in part.holes:
        figure = diameter(part, hole)
        assert f"Ø {figure.value:.3f} ± {figure.half_range:.3f}" in text
        assert text.count(hole.name) == 2  # on the drawing, and in the table
    assert text.count("W1") == 2
    for figure in size(part):
        assert f"{figure.value:.3f} ± {figure.half_range:.3f} mm" in text
    assert any(re.search(r"the edge seen, its distance from that x\d+", one) for one in text)


def test_lines_and_arcs_have_their_numbers_and_none_lies_on_another():
    picture = overlay_picture(seen(), found(), "old.png")
    small = [mark for mark in words_of(picture) if mark.size == 5.5]

    assert [int(mark.text) for mark in small] == [one.number for one in found().parts[0].stretches]
    for one in small:
        for other in small:
            assert one is other or max(abs(one.at[0] - other.at[0]), abs(one.at[1] - other.at[1])) > 1.0
        assert 0 < one.at[0] < picture.width
        assert 0 < one.at[1] < picture.height


def test_the_bar_is_as_long_as_it_says():
    """Held against the line that measures the part's width."""
    picture = overlay_picture(seen(), found(), "old.png")
    bar = next(mark for mark in words_of(picture) if re.fullmatch(r"\d+ mm", mark.text))
    black = next(mark for mark in picture.marks if isinstance(mark, Stroke) and mark.fill == 0.0)
    half = max(x for x, _ in black.points) - min(x for x, _ in black.points)
    width = size(found().parts[0])[0].value
    lines = [
        abs(mark.points[1][0] - mark.points[0][0])
        for mark in picture.marks
        if isinstance(mark, Stroke) and len(mark.points) == 2 and mark.points[0][1] == mark.points[1][1]
    ]

    wanted = width * 2 * half / float(bar.text.split()[0])
    assert min(abs(line - wanted) for line in lines) < 0.05


def test_it_reads_in_black_and_white():
    """What has a colour of its own differs in its width, too; the scan below is faint."""
    picture = overlay_picture(seen(), found(), "old.png")
    coloured = {mark.width for mark in picture.marks if isinstance(mark, Stroke) and mark.colour}
    fitted = {
        mark.width for mark in picture.marks if isinstance(mark, Stroke) and len(mark.points) > 40 and not mark.colour
    }

    assert coloured
    assert not coloured & fitted
    assert sum(isinstance(mark, Photograph) for mark in picture.marks) == 1


def test_each_question_is_enlarged_with_what_to_write():
    (page,) = question_pictures(seen(), found(), WIDTH)
    text = " ".join(mark.text for mark in words_of(page))

    assert len(found().questions) == 2
    for one in found().questions:
        assert f"{one.number} a" in text  # an edge, a piece
        for do in one.do:
            assert do.split(":")[0] in text
    assert sum(isinstance(mark, Photograph) for mark in page.marks) == 2
    for mark in page.marks:
        if isinstance(mark, Stroke):
            assert all(-1 < x < page.width + 1 and -1 < y < page.height + 1 for x, y in mark.points)
    assert sum(bool(mark.dash) for mark in page.marks if isinstance(mark, Stroke)) >= 2


def test_both_files_hold_all_of_it_and_the_same_bytes_each_time():
    page = pypdfium2.PdfDocument(overlay_pdf(seen(), found(), "old.png"))
    text = page[0].get_textpage().get_text_range()
    svg = overlay_svg(seen(), found(), "old.png")

    assert len(page) == 2
    assert "W1" in text
    assert "±" in text
    assert "--bridge" in page[1].get_textpage().get_text_range()
    assert svg.count(b"<image ") == 3
    assert overlay_svg(seen(), found(), "old.png") == svg
    assert overlay_pdf(seen(), found(), "old.png") == overlay_pdf(seen(), found(), "old.png")


def test_another_ending_is_refused(tmp_path):
    scan(dpi=DPI).save(tmp_path / "old.png", dpi=(DPI, DPI))
    words = [
        "trace",
        str(tmp_path / "old.png"),
        "--out",
        str(tmp_path / "o.toml"),
        "--overlay",
        str(tmp_path / "o.png"),
    ]
    said = CliRunner().invoke(main, words)

    assert said.exit_code == 2
    assert ".svg or .pdf" in said.output
    assert not (tmp_path / "o.toml").exists()
