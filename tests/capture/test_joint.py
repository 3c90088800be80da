"""A face of the metal laid over the job's part by its studs: ports as such, steps between two faces, overhang."""

import json
import re
from dataclasses import replace
from functools import lru_cache
from math import cos, radians, sin

import numpy as np
import pytest
from click.testing import CliRunner

from gasketcut import evaluate, parse_job, read_job
from gasketcut.capture.job_text import added_text
from gasketcut.capture.joining.by_studs import ways_by_studs
from gasketcut.capture.joining.onto_part import onto_part
from gasketcut.capture.roles.role import Role, RoleError
from gasketcut.capture.roles.said import PartSaid
from gasketcut.capture.traced import trace
from gasketcut.cli import main
from gasketcut.comparing.placing import Placing
from gasketcut.errors import GasketError
from gasketcut.verdict import Verdict
from tests.capture.rendered import png_of
from tests.scans import rounded, scan

pytest.importorskip("contourpy")


STUDS = ((-28.0, -1.0), (28.0, 1.0))


@lru_cache
def flange(port=(21.0, 17.0, 4.0), shift=(0.0, 0.0), impulse=2.0, bolt=4.6, mirror=False, bolts=STUDS):
    """Outline as the gasket's; studs' threads; the port, moved by `shift`; an impulse hole if it is that wide."""

    def shape(u, v):
        u = -u if mirror else u
        cuts = rounded(u - shift[0], v - shift[1], *port)
        for x, y in bolts:
            cuts = np.minimum(cuts, np.hypot(u - x, v - y) - bolt / 2)
        if impulse:
            cuts = np.minimum(cuts, np.hypot(u - 10.0, v - 15.0) - impulse / 2)
        return np.maximum(rounded(u, v, 70.0, 40.0, 8.0), -cuts)

    return shape


@lru_cache
def picture(shape, turn):
    return png_of(scan(shapes=((shape, 0.0, 0.0),), dpi=150, turn=turn, page=(90.0, 70.0), at=(45.0, 35.0)), 150)


SHEET = """# as it came off
units = "mm"

[[stock]]
name = "paper 0.5"
thickness = 0.5

[[part]]
name = "carb-gasket"
kind = "intake"
stock = "paper 0.5"
absent = ["oil", "water", "drain", "dowel"]
outline = { rectangle = [70.0, 40.0], corner = 8.0 }
opening = { rectangle = [24.0, 20.0], corner = 5.0 }  # W1
studs = { at = [[-28.0, -1.0], [28.0, 1.0]], size = "M5" }

[[part.passage]]
name = "impulse"
at = [10.0, 15.0]
cut = { round = 3.0 }
# kept
"""


@lru_cache
def seen(shape, turn):
    return trace(picture(shape, turn)).parts[0]


def onto(text, shape, turn=7.0, face="cylinder", roles=None, mirrored=None, flow=()):
    job = evaluate(parse_job(text))
    traced = seen(shape, turn)
    said = PartSaid(face=face, roles=roles or {})
    return onto_part(text, job.specs, job.drawings, traced, said, mirrored=mirrored, flow=flow)


@pytest.mark.parametrize("mirror", [False, True])
def test_a_face_gives_the_ports_that_the_verdict_wanted(mirror):
    found = onto(SHEET, flange(mirror=mirror))

    assert found.laid.way.placing.mirrored is mirror
    assert found.laid.way.off < 0.02
    job = evaluate(parse_job(found.text))
    (spec,) = job.specs
    assert [(one.name, one.role, one.face) for one in spec.windows] == [
        ("intake", "port", "cylinder"), ("impulse", "passage", "cylinder"),
    ]  # fmt: skip
    assert spec.unmeasured == ()
    assert job.verdict is Verdict.FITS
    clear = {one.window.name: one.drawn.gap for one in job.parts["carb-gasket"].clearances}
    assert clear["intake"] == pytest.approx(1.5, abs=0.03)  # (24 - 21) / 2
    assert clear["impulse"] == pytest.approx(0.5, abs=0.03)
    assert "# as it came off" in found.text
    assert "# kept" in found.text


def test_metal_under_the_sheet_is_found_out():
    """The port is 1 mm wider than the sheet's opening: half a millimetre of sheet hangs into it on either side."""
    found = onto(SHEET, flange(port=(25.0, 17.0, 4.0)))

    assert evaluate(parse_job(found.text)).verdict is Verdict.DOES_NOT_FIT


def test_two_faces_have_their_step_and_the_studs_of_both():
    first = onto(SHEET, flange())
    narrow = flange(port=(20.0, 17.0, 4.0), shift=(0.9, 0.0), bolt=5.5, mirror=True)
    second = onto(first.text, narrow, turn=-20.0, face="manifold", flow=("manifold", "cylinder"))
    job = evaluate(parse_job(second.text))
    steps = {one.text: one.found for one in job.findings if one.rule == "step"}

    assert second.laid.way.placing.mirrored
    assert job.specs[0].flow == ("manifold", "cylinder")
    # The manifold's right edge lies at 0.9 + 10, the cylinder's at 10.5: 0.4 of metal; on the left 1.4 wider.
    (into,) = [found for text, found in steps.items() if "cylinder stands" in text]
    (pocket,) = [found for text, found in steps.items() if "'intake' widens" in text]
    assert into == pytest.approx(0.4, abs=0.03)
    assert pocket == pytest.approx(1.4, abs=0.03)
    assert [one.text for one in job.findings if one.rule == "hole" and "goes over the studs" in one.text]


@pytest.mark.slow
def test_a_face_whose_holes_do_not_go_over_the_studs_is_found_out():
    first = onto(SHEET, flange())
    wrong = flange(bolt=5.5, mirror=True, bolts=((-28.0, -1.0), (28.9, 1.0)))
    second = onto(first.text, wrong, face="manifold", flow=("manifold", "cylinder"))

    stops = [one for one in evaluate(parse_job(second.text)).findings if one.rule == "hole" and one.weight == "stop"]
    assert len(stops) == 1
    assert "cylinder does not go over the studs of manifold: the holes lack 0." in stops[0].text


def test_a_sheet_that_does_not_go_over_the_studs_of_its_only_face_is_found_out():
    """The studs stand 1.4 mm farther apart, 0.7 at each, of which its holes take up 0.25."""
    found = onto(SHEET, flange(bolts=((-28.0, -1.0), (29.4, 1.0))))
    job = evaluate(parse_job(found.text))
    stops = [one for one in job.findings if one.rule == "hole" and one.weight == "stop"]

    assert [one.face for one in job.specs[0].studs] == [None, "cylinder", "cylinder"]
    assert len(stops) == 1
    assert "does not go over the studs of cylinder: its holes lack 0." in stops[0].text
    unsure = sum(one.tolerance for one in job.specs[0].studs[1:]) / 2
    assert 0.05 < unsure < 0.15  # 0.2 % of where they stand, by a scanner's dpi alone
    assert stops[0].found == pytest.approx(0.7 - 0.25 - unsure, abs=0.02)


@pytest.mark.parametrize(("across", "stops"), [(10.0, 0), (10.9, 1)])
def test_a_dowel_of_the_face_is_held_against_the_sheets_hole(across, stops):
    hole = f"dowels = {{ at = [[{across}, 15.0]], diameter = 2.1, stud_diameter = 2.0 }}\n"
    sheet = SHEET[: SHEET.index("\n[[part.passage]]")].replace("opening = {", "opening = { at = [3.0, 2.0],")
    found = onto(sheet + hole, flange(shift=(3.0, 2.0)), roles={"B": Role("dowel", diameter=2.0)})
    job = evaluate(parse_job(found.text))

    assert [(one.face, one.stud) for one in job.specs[0].dowels] == [(None, 2.0), ("cylinder", 2.0)]
    assert len([one for one in job.findings if one.rule == "hole" and one.weight == "stop"]) == stops


@pytest.mark.slow
def test_whichever_side_of_the_sheet_was_up_its_two_faces_are_mirror_images_of_each_other():
    first = onto(SHEET, flange(mirror=True))
    second = onto(first.text, flange(bolt=5.5), turn=-20.0, face="manifold")

    assert (first.laid.way.placing.mirrored, second.laid.way.placing.mirrored) == (True, False)
    assert not [one for one in evaluate(parse_job(second.text)).findings if one.rule == "step"]


def test_without_an_order_of_the_gas_it_is_asked_for():
    first = onto(SHEET, flange())
    second = onto(first.text, flange(mirror=True), face="manifold")

    assert (first.asks_flow, second.asks_flow) == (False, True)


@pytest.mark.slow
def test_what_lies_at_nothing_has_to_be_named():
    def with_oil(u, v):
        return np.maximum(flange()(u, v), 1.5 - np.hypot(u + 20.0, v - 14.0))

    with pytest.raises(RoleError, match=r"has nothing at B, 3\.0.* wide.*add --as B=ROLE"):
        onto(SHEET, with_oil, turn=0.0)
    named = onto(SHEET, with_oil, turn=0.0, roles={"B": Role("passage", "oil")})
    assert {one.name for one in parse_job(named.text).parts[0].windows} == {"intake", "impulse", "oil"}


@pytest.mark.slow
def test_a_face_that_tells_nothing_apart_is_asked_for():
    """Two studs and a round port in the middle: the same turned by 180 deg, so no matter; an eccentric one matters."""
    plain = SHEET[: SHEET.index("[[part.passage]]")].replace(
        "[[-28.0, -1.0], [28.0, 1.0]]", "[[-28.0, 0.0], [28.0, 0.0]]"
    )
    level = ((-28.0, 0.0), (28.0, 0.0))
    even = flange(impulse=0, bolts=level)
    assert onto(plain, even).named

    odd = flange(impulse=0, bolts=level, shift=(0.8, 0.5))
    with pytest.raises(RoleError, match="in more than one way"):
        onto(plain, odd)
    bored = plain.replace("opening = {", "opening = { at = [1.0, 0.5],")
    assert onto(bored, flange(impulse=0, bolts=level, shift=(3.0, 2.0))).laid.way.off < 0.02


def test_parts_and_faces_that_are_not_there_are_refused():
    for change, roles, words in (
        ((), {}, "which part"),
        (("studs = {", "holes = {"), {}, "two are needed"),
        (("28.0, 1.0", "24.0, 1.0"), {}, "no way was found"),
    ):
        text = SHEET.replace(*change) if change else SHEET.replace('"intake"', '"blank"').replace("opening =", "# =")
        text = text if change else text[: text.index("[[part]]")]
        with pytest.raises(RoleError, match=words):
            onto(text, flange(), roles=roles)


@pytest.mark.parametrize("units", ['units = "in"', ""])
def test_a_job_that_is_not_in_mm_is_refused_with_what_to_write(units):
    """Its bare numbers mean something else, or nothing; those of SHEET get a unit, so that its job stays the same."""
    inches = re.sub(r"(?<![\w.])-?\d+\.\d+", lambda found: f'"{found[0]} mm"', SHEET.replace('"paper 0.5"', '"paper"'))
    text = inches.replace('units = "mm"', units)
    assert parse_job(text).parts

    with pytest.raises(GasketError, match='write units = "mm" at its top'):
        onto(text, flange())
    with pytest.raises(GasketError, match='write units = "mm" at its top'):
        added_text(text, trace(picture(flange(), 7.0)), [PartSaid()])


def test_a_sheet_of_the_job_keeps_its_thickness():
    traced = trace(picture(flange(), 7.0))
    plain = PartSaid(kind="exhaust", name="muffler", stock="paper 0.5")

    assert [one.stock for one in parse_job(added_text(SHEET, traced, [plain])).parts] == ["paper 0.5"] * 2
    with pytest.raises(GasketError, match=r"--thickness 0\.8: the job's sheet 'paper 0\.5' has 0\.5 mm"):
        added_text(SHEET, traced, [replace(plain, thickness=0.8)])


def test_a_face_goes_beside_a_port_that_is_written_as_one_table():
    text = SHEET.replace("[[part.passage]]", "[part.passage]").replace(
        "# kept",
        """
[part.port]  # of the cylinder
name = "transfer"
at = [-18.0, 14.0]
shape = { round = 4.0 }
# kept""",
    )
    found = onto(text, flange())
    (spec,) = parse_job(found.text).parts

    assert {one.name for one in spec.windows} == {"transfer", "intake", "impulse"}
    assert "# of the cylinder" in found.text
    assert "# kept" in found.text


def test_a_second_of_the_same_face_is_refused():
    with pytest.raises(RoleError, match="has the face cylinder already"):
        onto(onto(SHEET, flange()).text, flange())


@pytest.mark.parametrize("mirrored", [False, True])
def test_every_way_over_the_studs_is_found(mirrored):
    """A square of four studs has four turns, mirrored or not; one hole more spoils none."""
    square = np.array([[-20.0, -20.0], [20.0, -20.0], [20.0, 20.0], [-20.0, 20.0]])
    holes = Placing(mirrored, 33.0, (5.0, 6.0)).inverse(np.vstack([square, [[1.0, 2.0]]]))
    ways = ways_by_studs(square, holes, mirrored=mirrored)

    assert len(ways) == 4
    assert sorted(round(one.placing.turn % 90, 6) for one in ways) == [33.0] * 4
    assert max(one.off for one in ways) < 1e-9
    assert ways_by_studs(square, holes[1:], mirrored=mirrored) == []


def test_from_two_scans_to_the_whole_check_by_two_command_lines(tmp_path):
    """The gasket, then the flange under it, seen from its own side: mirrored."""

    sheet = flange(port=(24.0, 20.0, 5.0), impulse=3.0, bolt=5.5)
    (tmp_path / "old.png").write_bytes(picture(sheet, 3.0))
    (tmp_path / "flange.png").write_bytes(picture(flange(mirror=True), -11.0))

    def run(*words):
        named = [str(tmp_path / word) if word.endswith((".png", ".toml")) else word for word in words]
        return CliRunner().invoke(main, named, catch_exceptions=False)

    first = run("trace", "old.png", "--out", "job.toml", "--kind", "intake", "--name", "carb-gasket",
                "--stock", "paper 0.5", "--thickness", "0.5", "--absent", "oil,water,drain,dowel", "--accept", "role",
                "--face-up", "carburettor side")  # fmt: skip
    assert first.exit_code == 0
    assert run("fit", "job.toml").exit_code == 1
    second = run("trace", "flange.png", "--into", "job.toml", "--joint", "--face", "cylinder", "--json")
    assert second.exit_code == 0
    joint = json.loads(second.stdout)["joint"]
    assert (joint["part"], joint["face"], joint["mirrored"]) == ("carb-gasket", "cylinder", True)
    assert sorted(joint["openings"].values()) == ["passage 'impulse'", "port 'intake'", "stud", "stud"]
    assert run("fit", "job.toml").exit_code == 0
    (spec,) = read_job(str(tmp_path / "job.toml")).parts
    turn = radians(3.0)
    assert spec.studs[1].at[0] == pytest.approx((28 * cos(turn) - sin(turn), 28 * sin(turn) + cos(turn)), abs=0.05)


@pytest.mark.slow
def test_another_part_goes_into_the_same_job(tmp_path):
    (tmp_path / "a.toml").write_text(SHEET, encoding="utf-8")
    (tmp_path / "b.png").write_bytes(picture(flange(), 0.0))
    words = ["trace", tmp_path / "b.png", "--into", tmp_path / "a.toml", "--kind", "exhaust", "--name", "muffler",
             "--stock", "paper 0.5", "--thickness", "0.5"]  # fmt: skip
    said = CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)

    assert said.exit_code == 0
    job = read_job(str(tmp_path / "a.toml"))
    assert [part.name for part in job.parts] == ["carb-gasket", "muffler"]
    assert [sheet.name for sheet in job.stock] == ["paper 0.5"]
    again = CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)
    assert again.exit_code == 2
    assert "also the name of part" in again.output


@pytest.mark.parametrize(
    "words",
    [(), ("--joint", "--into", "x.toml"), ("--joint", "--face", "cylinder"), ("--out", "x.toml", "--mirrored")],
)
def test_what_does_not_go_together_is_a_usage_fault(words, tmp_path):
    said = CliRunner().invoke(main, ["trace", str(tmp_path / "none.png"), *words])

    assert said.exit_code == 2
    assert "--into JOB" in said.output or "add --joint" in said.output


@pytest.mark.parametrize("words", [("--kind", "intake"), ("--stock", "x"), ("--absent", "oil"), ("--face-up", "out")])
def test_what_is_said_of_a_sheet_is_not_dropped_where_a_face_is_laid_over_it(words, tmp_path):
    joint = ("--into", "x.toml", "--joint", "--face", "cylinder")
    said = CliRunner().invoke(main, ["trace", str(tmp_path / "none.png"), *joint, *words])
    assert said.exit_code == 2
    assert "are said of a sheet" in said.output
