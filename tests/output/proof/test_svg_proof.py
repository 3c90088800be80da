"""A spoilt SVG of ours is never called written: each way of spoiling one is tried on a sound file."""

import io
import re

import pytest
import shapely

from gasketcut import parse_job, read_job
from gasketcut.cutting.cut_part import cut_part
from gasketcut.errors import ReadBackError
from gasketcut.output import sheet_files
from gasketcut.output.drawn import drawn
from gasketcut.output.picture import Picture, as_svg
from gasketcut.output.proof.svg import prove_size, prove_svg, read_svg
from gasketcut.output.svg import groups, write_svg
from gasketcut.profile.profiles import Profiles
from gasketcut.rendering import job_files
from tests.making import built, make
from tests.output.test_same_strokes import JOB, SHEET, STRAY, by_svgelements

CUTTERS = Profiles().cutters
NUMBER = re.compile(rb"(?<![\w.])\d+\.\d{6}")


def written(job):
    """Bytes, strokes and name of each part's SVG."""
    for part in built(job):
        one = cut_part(part, job.cutting, CUTTERS)
        yield write_svg(one.cut, one.path, one.kerf, one.tool), drawn(one.cut, one.path, one.tool), part.name


@pytest.fixture(scope="module")
def plate():
    (found,) = written(parse_job(JOB.format(process="co2", asked="order = true\nlead_in = 1.5\ntabs = 3")))
    return found


def swapped(data, old, new):
    assert old in data
    return data.replace(old, new, 1)


def test_what_is_written_is_proved(plate):
    prove_svg(*plate)
    for data, strokes, name in written(read_job("demo")):
        prove_svg(data, strokes, name)
        assert len(read_svg(data, name).lines) == len(strokes)


def test_any_one_number_that_is_off_by_a_hundredth_is_found_if_it_moves_a_line(plate):
    data, strokes, name = plate
    sound = by_svgelements(io.BytesIO(data))
    found = 0
    places = [one for one in NUMBER.finditer(data) if one.start() > data.index(b"<g")]
    for place in places:
        spoilt = b"%s%.6f%s" % (data[: place.start()], float(place[0]) + 0.01, data[place.end() :])
        try:
            prove_svg(spoilt, strokes, name)
        except ReadBackError:
            found += 1
            continue
        # A vertex that slides along its own line moves nothing: measured by another reader.
        pairs = zip(sound, by_svgelements(io.BytesIO(spoilt)), strict=True)
        lines = [(shapely.LineString(a), shapely.LineString(b)) for (_, a), (_, b) in pairs]
        assert max(shapely.hausdorff_distance(a, b) for a, b in lines if not a.equals(b)) < STRAY, place

    assert len(places) > 60
    assert found > len(places) / 2


SPOILT = {
    "a stroke less": lambda data: re.sub(rb"<path[^>]*/>\n", b"", data, count=1),
    "no closed contour left": lambda data: re.sub(rb"<path[^>]* Z\"/>\n|<circle[^>]*/>\n", b"", data),
    "a stroke more": lambda data: re.sub(rb"(<path[^>]*/>\n)", rb"\1\1", data, count=1),
    "another layer": lambda data: swapped(data, b'id="TAB"', b'id="MARK"'),
    "layers exchanged": lambda data: swapped(data, b'id="LEAD"', b'id="TAB"').replace(b'id="TAB" f', b'id="LEAD" f'),
    "no layer": lambda data: swapped(data, b'<g id="LEAD"', b"<g"),
    "a group moved": lambda data: swapped(data, b"<g ", b'<g transform="translate(0.01 0)" '),
    "a stroke in a style": lambda data: swapped(data, b"<path ", b'<path style="display:none" '),
    "a stroke outside the groups": lambda data: swapped(data, b"</svg>", b'<path d="M1.0 1.0 L2.0 2.0"/></svg>'),
    "another element": lambda data: swapped(data, b"</svg>", b"<image/></svg>"),
    "another command": lambda data: swapped(data, b" L", b" l"),
    "a path without extent": lambda data: re.sub(rb'd="[^"]*"', b'd="M1.000000 1.000000 Z"', data, count=1),
    "the other way round the arc": lambda data: re.sub(rb" 0 0 1 ", b" 0 0 0 ", data, count=1),
    "inches": lambda data: re.sub(rb'mm" v', b'in" v', data),
    "a view that is one per cent larger": lambda data: re.sub(
        rb'viewBox="0 0 ([\d.]+)', lambda one: b'viewBox="0 0 %.6f' % (float(one[1]) * 1.01), data
    ),
    "a page that is larger": lambda data: re.sub(
        rb'(width="|0 0 )([\d.]+)(mm"| )(?=h|\d)', lambda one: b"%s%.6f%s" % (one[1], float(one[2]) + 1, one[3]), data
    ),
    "cut off": lambda data: data[:-20],
    "no number": lambda data: NUMBER.sub(b"nan", data, count=6),
}


@pytest.mark.parametrize("what", SPOILT)
def test_a_spoilt_file_is_found(plate, what):
    data, strokes, name = plate
    spoilt = SPOILT[what](data)

    assert spoilt != data
    with pytest.raises(ReadBackError, match="plate"):
        prove_svg(spoilt, strokes, name)


def test_the_whole_drawing_on_another_place_of_a_sheet_is_found(tmp_path, monkeypatch):
    monkeypatch.setattr(sheet_files, "groups", lambda strokes, at: groups(strokes, (at[0] + 0.01, at[1])))
    with pytest.raises(ReadBackError, match="sheet-paper-1"):
        make(parse_job(JOB.format(process="co2", asked="tabs = 2") + SHEET), tmp_path / "out")

    assert not (tmp_path / "out").exists()


def test_a_part_whose_svg_is_spoilt_is_not_written(tmp_path, monkeypatch):
    monkeypatch.setattr(job_files, "write_svg", lambda *given: write_svg(*given).replace(b"<circle", b"<ellipse", 1))
    with pytest.raises(ReadBackError):
        make(read_job("demo"), tmp_path / "out")

    assert not (tmp_path / "out").exists()


def test_a_pictures_size_is_proved():
    data = as_svg(Picture(100.004, 50.0, "chart"))
    prove_size(data, (100.004, 50.0), "chart")
    for size in ((100.02, 50.0), (100.0, 49.9)):
        with pytest.raises(ReadBackError, match="chart"):
            prove_size(data, size, "chart")
    with pytest.raises(ReadBackError, match="millimetre"):
        prove_size(data.replace(b'viewBox="0 0 100.00', b'viewBox="0 0 101.00'), (100.0, 50.0), "chart")
