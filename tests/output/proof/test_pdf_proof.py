"""A spoilt PDF of ours is never called written. The bytes are spoilt as they stand in the file, page by page."""

import re
import zlib
from base64 import a85decode, a85encode

import pypdfium2
import pytest

from gasketcut import Options, evaluate, parse_job, read_job
from gasketcut.errors import ReadBackError
from gasketcut.output.proof.pages import prove_pages
from gasketcut.output.proof.pdf_reader import pages_of, strokes_on
from gasketcut.pages.paper import CUT_LINE
from gasketcut.pages.printer import Correction
from gasketcut.pages.template import write_template, write_together
from gasketcut.profile.profiles import Profiles
from gasketcut.rendering import job_files
from gasketcut.rendering.template_proof import prove_pdf, prove_together
from tests.making import make
from tests.pages.test_pdf_by_readers import JOB, PAPERS

OURS = Profiles().papers
A4 = OURS.paper("a4")
HUNDREDTH = 0.01 * 72 / 25.4  # mm in points
FIXES = [Correction(), Correction(1.012, 0.993)]
STREAM = re.compile(
    rb"(/Filter \[ /ASCII85Decode /FlateDecode \] /Length )\d+(\s*>>\s*stream\s)(.*?)(\s*endstream)", re.S
)
NUMBER = rb"-?[\d.]+"
CUT = b".708661 w"  # 0.25 mm in points


def rebuilt(data, change, page=0):
    """The file with the drawing of one page changed, its table of objects put right."""
    streams = list(STREAM.finditer(data))
    found = streams[page]
    drawn = zlib.decompress(a85decode(found[3].strip().removesuffix(b"~>")))
    after = change(drawn)
    assert after != drawn
    packed = a85encode(zlib.compress(after)) + b"~>"
    return retabled(data[: found.start()] + found[1] + b"%d" % len(packed) + found[2] + packed + data[found.end(3) :])


def retabled(data):
    body = data[: data.rindex(b"xref", 0, data.rindex(b"startxref"))]
    places = {int(one[1]): one.start() for one in re.finditer(rb"(?<=\n)(\d+) 0 obj", body)}
    rows = b"".join(b"%010d 00000 n \n" % places[number] for number in sorted(places))
    trailer = data[data.rindex(b"trailer") : data.rindex(b"startxref")]
    table = b"xref\n0 %d\n0000000000 65535 f \n%s" % (len(places) + 1, rows)
    return body + table + trailer + b"startxref\n%d\n%%%%EOF\n" % len(body)


def after_the_cut_line(change):
    """Change only what follows the first setting of the line to cut by."""

    def changed(drawn):
        at = drawn.index(CUT)
        return drawn[:at] + change(drawn[at:])

    return changed


def moved(operator, which, by=HUNDREDTH):
    """One operand of the first such operator of a contour, moved."""

    def change(drawn):
        found = re.search(rb"((?:%s )+)%s " % (NUMBER, operator), drawn)
        operands = found[1].split()
        operands[which] = b"%.6f" % (float(operands[which]) + by)
        return drawn[: found.start()] + b" ".join(operands) + b" " + operator + drawn[found.end() - 1 :]

    return after_the_cut_line(change)


@pytest.fixture(scope="module")
def parts():
    return {**evaluate(parse_job(JOB)).parts, **evaluate(read_job("demo")).parts}


def spoil(*given):
    data, *meant = given
    with pytest.raises(ReadBackError):
        prove_pdf(data, *meant)


@pytest.mark.parametrize("fix", FIXES)
@pytest.mark.parametrize("paper", PAPERS)
def test_what_is_written_is_proved_on_every_paper(parts, paper, fix):
    on = OURS.paper(paper)
    for part in parts.values():
        prove_pdf(write_template(part, "T", on, (), fix), part.outline, on, fix, part.name)


def test_the_reader_counts_pages_and_sizes_as_pdfium_does(parts):
    for name in ("plate", "lying", "big"):
        data = write_template(parts[name], "T", A4)
        document = pypdfium2.PdfDocument(data)
        sizes = [tuple(side * 25.4 / 72 for side in page.get_size()) for page in document]
        document.close()
        read = pages_of(data, name)

        assert len(read) == len(sizes)
        assert all(page.size == pytest.approx(size, abs=1e-4) for page, size in zip(read, sizes, strict=True))
        assert len(strokes_on(read[0], CUT_LINE, name)) == len(parts[name].outline.contours)


SPOILT = {
    "a start moved": moved(b"m", 0),  # of a circle, away from its centre: its left end comes first
    "the end of a curve moved": moved(b"c", 4),
    "a contour less": after_the_cut_line(lambda drawn: re.sub(rb"n [^\n]*? h\nS\n", b"", drawn, count=1)),
    "a contour more": after_the_cut_line(lambda drawn: re.sub(rb"(n [^\n]*? h\nS\n)", rb"\1\1", drawn, count=1)),
    "an open contour": after_the_cut_line(lambda drawn: re.sub(rb" [^a-z\n]*[lc] h\nS\n", b"\nS\n", drawn, count=1)),
    "a line more": lambda drawn: drawn.replace(b"q\n", b"q\n.708661 w\nn 100 100 m 200 100 l S\n", 1),
    "one per cent larger": lambda drawn: b"1.01 0 0 1.01 0 0 cm\n" + drawn,
    "one per cent longer": after_the_cut_line(lambda drawn: b"1 0 0 1.01 0 0 cm\n" + drawn),
    "turned a little": lambda drawn: b"1 .001 -.001 1 0 0 cm\n" + drawn,
    "off the paper": lambda drawn: b"1 0 0 1 300 0 cm\n" + drawn,
    "another pen": lambda drawn: drawn.replace(CUT, b".368504 w"),
    "hidden": after_the_cut_line(lambda drawn: b"n 0 0 10 10 re W n\n" + drawn),
    "hidden within a triangle": after_the_cut_line(lambda drawn: b"n 0 0 m 900 0 l 0 900 l h W n\n" + drawn),
    "what is not written here": lambda drawn: drawn + b"/Fm1 Do\n",
    "no numbers": after_the_cut_line(lambda drawn: re.sub(NUMBER + rb" m", b"- m", drawn, count=1)),
    "nothing on it": lambda _: b"",
}


@pytest.mark.parametrize("fix", FIXES)
@pytest.mark.parametrize("what", SPOILT)
def test_a_spoilt_page_is_found(parts, what, fix):
    part = parts["plate"]
    data = write_template(part, "T", A4, (), fix)
    same = rebuilt(data, lambda drawn: drawn + b" ")
    prove_pdf(same, part.outline, A4, fix, part.name)

    spoil(rebuilt(data, SPOILT[what]), part.outline, A4, fix, part.name)


@pytest.mark.parametrize("page", range(4))
@pytest.mark.parametrize("what", ["a start moved", "a contour less", "one per cent larger", "nothing on it"])
def test_a_spoilt_tile_is_found(parts, what, page):
    part = parts["big"]
    data = write_template(part, "T", A4)
    spoil(rebuilt(data, SPOILT[what], page), part.outline, A4, Correction(), part.name)


@pytest.mark.parametrize("change", [b"1 0 0 1 0 .1 cm\n", b"1 0 0 1 -.1 0 cm\n"])
def test_a_tile_that_does_not_meet_its_neighbours_is_found(parts, change):
    part = parts["big"]
    data = write_template(part, "T", A4)
    only_lines = rebuilt(data, after_the_cut_line(lambda drawn: change + drawn), 1)

    with pytest.raises(ReadBackError, match="tile 2 of the PDF does not meet the first"):
        prove_pdf(only_lines, part.outline, A4, Correction(), part.name)
    spoil(rebuilt(data, lambda drawn: change + drawn, 1), part.outline, A4, Correction(), part.name)


FILE = {
    "a larger box": lambda data: data.replace(b"595.2756", b"601.2284"),
    "a box elsewhere": lambda data: data.replace(b"[ 0 0 595", b"[ 1 0 595"),
    "a turned page": lambda data: data.replace(b"/Rotate 0", b"/Rotate 90"),
    "a cropped page": lambda data: retabled(data.replace(b"/Rotate 0", b"/CropBox [ 0 0 9 9 ] /Rotate 0")),
    "a page of other units": lambda data: retabled(data.replace(b"/Rotate 0", b"/UserUnit 2 /Rotate 0")),
    "fit to page": lambda data: data.replace(b"/PrintScaling /None", b"/PrintScaling /Auto"),
    "a page less": lambda data: re.sub(rb"/Kids \[ \d+ 0 R", b"/Kids [ ", data),
    "cut off": lambda data: data[:-300],
    "objects elsewhere": lambda data: data.replace(b"1 0 obj", b" 1 0 obj", 1),
}


@pytest.mark.parametrize("what", FILE)
def test_a_spoilt_file_is_found(parts, what):
    part = parts["plate"]
    data = write_template(part, "T", A4)
    assert FILE[what](data) != data
    spoil(FILE[what](data), part.outline, A4, Correction(), part.name)


def test_what_was_asked_for_otherwise_is_found(parts):
    part = parts["plate"]
    data = write_template(part, "T", A4, (), FIXES[1])
    spoil(data, part.outline, OURS.paper("letter"), FIXES[1], part.name)
    spoil(data, part.outline, A4, Correction(), part.name)
    spoil(data, part.outline, A4, Correction(FIXES[1].long, FIXES[1].short), part.name)
    spoil(data, parts["lying"].outline, A4, FIXES[1], part.name)


@pytest.mark.parametrize("fix", FIXES)
def test_several_parts_a_page_are_proved_and_spoilt_ones_found(parts, fix):
    drawn = list(parts.values())
    outlines = [part.outline for part in drawn]
    data = write_together(drawn, "T", A4, fix)
    prove_together(data, outlines, A4, fix, "together")
    for what in ("a start moved", "a contour less", "a contour more", "one per cent larger", "off the paper"):
        with pytest.raises(ReadBackError):
            prove_together(rebuilt(data, SPOILT[what]), outlines, A4, fix, "together")
    with pytest.raises(ReadBackError, match="no part's"):
        prove_together(data, outlines[1:], A4, fix, "together")
    with pytest.raises(ReadBackError, match="1 parts that would go on a page"):
        prove_together(data, [*outlines, outlines[0]], A4, fix, "together")


def test_other_pages_are_as_many_and_as_large_as_was_asked_for(parts):
    data = write_template(parts["plate"], "T", A4)
    a4 = (210.0, 297.0)
    prove_pages(data, [a4, a4], "plate")
    for sizes in ([a4], [a4, a4, a4], [a4, (297.0, 210.0)], [a4, (210.0, 297.1)]):
        with pytest.raises(ReadBackError, match="plate"):
            prove_pages(data, sizes, "plate")


@pytest.mark.parametrize("writer", ["write_template", "write_together"])
def test_a_job_whose_pages_are_spoilt_is_not_written(tmp_path, monkeypatch, writer):
    sound = getattr(job_files, writer)
    monkeypatch.setattr(job_files, writer, lambda *given: rebuilt(sound(*given), SPOILT["one per cent longer"]))
    with pytest.raises(ReadBackError):
        make(read_job("demo"), tmp_path / "out", Options(together=True))

    assert not (tmp_path / "out").exists()
