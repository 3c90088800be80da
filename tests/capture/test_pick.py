"""Several gaskets in one picture are several parts, numbered by size; one of them can be picked."""

import re

import numpy as np
import pytest
from click.testing import CliRunner

from gasketcut import parse_job
from gasketcut.capture.image.picture_file import PictureError
from gasketcut.capture.job_text import job_text
from gasketcut.capture.known_distance import KnownDistance
from gasketcut.capture.proposals.choice import accepting
from gasketcut.capture.roles.given import said_of_each
from gasketcut.capture.roles.role import Role, RoleError
from gasketcut.capture.roles.said import PartSaid
from gasketcut.capture.settings import TraceSettings
from gasketcut.capture.torn.bridge import bridge_of
from gasketcut.capture.traced import trace
from gasketcut.capture.uncertainty.figures import size
from gasketcut.cli import main
from gasketcut.errors import GasketError
from gasketcut.output.data.trace import trace_text
from gasketcut.profile.profiles import read_profiles
from tests.capture.rendered import png_of
from tests.scans import rounded, scan

pytest.importorskip("contourpy")

FASTENERS = read_profiles().fasteners


def plate(width, height, apart):
    def shape(u, v):
        cuts = np.minimum(np.hypot(u - apart / 2, v) - 2.75, np.hypot(u + apart / 2, v) - 2.75)
        return np.maximum(rounded(u, v, width, height, 4.0), -cuts)

    return shape


@pytest.fixture(scope="module")
def picture():
    shapes = ((plate(40.0, 24.0, 28.0), 0.0, 40.0), (plate(60.0, 30.0, 46.0), 0.0, 0.0))
    return png_of(scan(shapes=shapes, dpi=150, turn=0.0, page=(80.0, 90.0), at=(40.0, 25.0)), 150)


@pytest.fixture(scope="module")
def both(picture):
    return trace(picture)


@pytest.fixture(scope="module")
def second(picture):
    return trace(picture, TraceSettings(pick=2))


def test_parts_are_numbered_by_size_and_one_is_picked(both, second):
    assert [size(part)[0].value for part in both.parts] == pytest.approx([60.0, 40.0], abs=0.1)
    assert [size(part)[0].value for part in second.parts] == pytest.approx([40.0], abs=0.1)
    assert "part 2 of 2 in the picture; the others are left out" in second.warnings
    rows = trace_text(both, "x").splitlines()
    assert [row.split(",")[0] for row in rows if "outline" in row] == ["part 1", "part 2"]


def test_a_stretch_has_the_same_number_whichever_part_is_picked(picture, both, second):
    assert [one.number for one in both.parts[1].stretches] == list(range(9, 17))
    assert [one.number for one in second.parts[0].stretches] == list(range(9, 17))
    straight = (bridge_of("10-12:straight"),)
    (of_all, of_one) = (trace(picture, TraceSettings(pick=pick, bridges=straight)).parts[-1] for pick in (None, 2))
    assert [one.text for one in of_one.bridges] == [one.text for one in of_all.bridges]
    assert [one.asked.words for one in of_one.bridges] == ["10-12:straight"]
    with pytest.raises(GasketError, match="no stretch 2; they go from 9 to 16"):
        trace(picture, TraceSettings(pick=2, bridges=(bridge_of("2-4"),)))


def test_each_part_has_the_range_of_its_own_edges():
    """The smaller part seen with soft edges, picked or not: its range was that of the larger one's."""
    from PIL import ImageFilter

    whole = scan(
        shapes=((plate(40.0, 24.0, 28.0), 0.0, 40.0), (plate(60.0, 30.0, 46.0), 0.0, 0.0)),
        dpi=150, turn=0.0, page=(80.0, 90.0), at=(40.0, 25.0),
    )  # fmt: skip
    upper = (0, 0, whole.width, round(whole.height * 0.45))
    whole.paste(whole.crop(upper).filter(ImageFilter.GaussianBlur(3)), upper)
    picture = png_of(whole, 150)
    large, small = trace(picture).parts
    (alone,) = trace(picture, TraceSettings(pick=2)).parts

    assert size(small)[0].value < size(large)[0].value
    assert small.uncertainty.shift > 2 * large.uncertainty.shift
    assert alone.uncertainty == small.uncertainty


def test_a_distance_is_one_of_the_part_that_was_picked(picture):
    found = trace(picture, TraceSettings(pick=2, along=KnownDistance("A", "B", 28.0 * 1.02)))

    assert size(found.parts[0])[0].value == pytest.approx(40.0 * 1.02, abs=0.05)


def test_a_number_that_is_not_there_is_refused(picture):
    with pytest.raises(PictureError, match="there is no part 3: 2 parts in the picture"):
        trace(picture, TraceSettings(pick=3))


@pytest.mark.parametrize(("width", "height"), [(24.0, 17.0), (22.0, 12.0), (10.0, 10.0)])  # 17, 11 and 4 %
def test_what_is_too_small_beside_the_largest_part_is_said_with_its_size_and_place(width, height):
    shapes = ((plate(60.0, 40.0, 46.0), 0.0, 0.0), (plate(width, height, 0.0), 0.0, 40.0))
    found = trace(png_of(scan(shapes=shapes, dpi=150, turn=0.0, page=(80.0, 90.0), at=(40.0, 25.0)), 150))

    assert len(found.parts) == 1
    (said,) = (warning for warning in found.warnings if "left out" in warning)
    size = re.search(r"less than 20 % of the largest part: about (\d+) x (\d+) mm .* at the top;", said)
    assert [float(one) for one in size.groups()] == pytest.approx([width, height], abs=1.0)


def test_a_disc_in_the_bore_is_said_and_dirt_is_not():
    def ring(u, v):
        return np.maximum(np.hypot(u, v) - 30.0, 20.0 - np.hypot(u, v))

    def disc(width):
        return lambda u, v: np.hypot(u, v) - width / 2

    shapes = ((ring, 0.0, 0.0), (disc(12.0), 0.0, 0.0), (disc(4.0), 0.0, 12.0))
    found = trace(png_of(scan(shapes=shapes, dpi=150, turn=0.0, page=(80.0, 80.0), at=(40.0, 40.0)), 150))
    (said,) = (warning for warning in found.warnings if "left out" in warning)

    assert "part: about 12 x 12 mm (0.5 x 0.5 in) in the middle;" in said


def test_roles_of_several_parts_want_a_number(both, second):
    said = PartSaid(kind="spacer", name="plate", roles={"A": Role("stud", "M5"), "B": Role("stud", "M5")})
    with pytest.raises(RoleError, match="--pick 1"):
        said_of_each(both, said, FASTENERS, accepting([]))
    made, each = said_of_each(second, said, FASTENERS, accepting([]))
    assert [one.name for one in parse_job(job_text(made, "old", each)).parts] == ["plate"]


def test_flags_are_printed_for_each_part(picture, tmp_path):
    (tmp_path / "old.png").write_bytes(picture)
    words = ["trace", tmp_path / "old.png", "--kind", "intake", "--name", "plate", "--out"]
    said = CliRunner().invoke(main, [*map(str, words), str(tmp_path / "old.toml")], catch_exceptions=False)
    rows = said.output.splitlines()[-2:]
    assert [row.split(": ")[1].split(" --as A")[0] for row in rows] == ["--pick 1", "--pick 2"]
    flags = rows[1].split(": ")[1].split()
    assert flags[:6] == ["--pick", "2", "--as", "A=stud:M5", "--as", "B=stud:M5"]
    again = CliRunner().invoke(main, [*map(str, words), str(tmp_path / "2.toml"), *flags[:6]], catch_exceptions=False)

    assert again.exit_code == 0


def test_without_roles_each_is_a_part_of_the_job(both):
    made, each = said_of_each(both, PartSaid(kind="spacer", name="plate"), FASTENERS, accepting([]))

    assert [one.name for one in parse_job(job_text(made, "old", each)).parts] == ["plate-1", "plate-2"]
