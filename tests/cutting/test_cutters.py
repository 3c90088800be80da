"""Cutters: profiles, what may be cut by which process, and what is too fine for it."""

import re
import tomllib
from math import cos, pi, radians, sin, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gasketcut import GasketError, parse_job
from gasketcut.cutting.cutter import cutter_for
from gasketcut.cutting.limits import limits
from gasketcut.cutting.permitted import material_findings, verdict_on
from gasketcut.errors import ProfileError
from gasketcut.job.cutting import PROCESSES
from gasketcut.parts.part import outline_of
from gasketcut.parts.stock import Stock
from gasketcut.profile.cutting.verdicts import LEVELS
from gasketcut.profile.own import shipped
from gasketcut.profile.profiles import Profiles, read_profiles
from gasketcut.shape.narrow import smallest_hole, smallest_web
from gasketcut.tolerances import CHORD
from tests.making import built

OURS = Profiles()
PROFILE = tomllib.loads(shipped("cutters").read_text(encoding="utf-8"))
chords = 3 * CHORD  # mm: two edges and the disc or neck found between them
hundredth = 0.01  # mm to which necks and widest discs are sought


def stock(material=None, name="offcut", thickness=0.5):
    return Stock(name=name, thickness=thickness, material=material)


def part(keys, thickness=0.5, material="paper"):
    sheet = f'stock = [{{ name = "offcut", thickness = {thickness}, material = "{material}" }}]'
    job = f'units = "mm"\n{sheet}\npart = [{{ name = "tray", kind = "flat", stock = "offcut", {keys} }}]'
    (one,) = built(parse_job(job))
    return one


def found(one, process="co2"):
    return list(limits(one, outline_of(one), cutter_for(process, one.stock, OURS.cutters)))


# -- the profile --------------------------------------------------------------------------------------------------


def test_every_value_names_its_source():
    """Each number of a process stands with a comment; nothing slips in bare."""
    text = shipped("cutters").read_text(encoding="utf-8")
    bare = [line for line in text.splitlines() if re.match(r"\w+ = (\d|true|false)", line) and "# " not in line]

    assert len(re.findall(r"^\w+ = [\d.]+ +# ", text, re.MULTILINE)) > 80
    assert [line for line in bare if line != "foil = 0.15"] == []  # its reason stands above it


@pytest.mark.parametrize("process", PROCESSES)
def test_every_process_has_every_value_for_every_class(process):
    classes = {(one["cuts_as"], 1.0) for one in PROFILE["sheet"].values()} | {("metal", 0.1)}
    sheets = {cut: name for name, one in PROFILE["sheet"].items() for cut in [one["cuts_as"]]}
    for cuts_as, thickness in classes:
        material = next(word for word, kind in PROFILE["material"].items() if kind == sheets[cuts_as])
        cutter = cutter_for(process, stock(material, thickness=thickness), OURS.cutters)
        assert cutter.sheet == ("foil" if thickness == 0.1 else cuts_as)
        assert cutter.hole >= cutter.kerf  # a hole that can be cut at all
        assert cutter.overcut == 0 or cutter.overcut >= cutter.corner  # a knife's overcut is at least its offset
        assert (cutter.speed is None) == (process == "hand")


def test_every_material_of_the_sheets_has_a_verdict_under_every_process():
    materials = [one.name for one in OURS.sheets.materials]
    assert len(materials) > 5
    for material in materials:
        for process in PROCESSES:
            assert (
                verdict_on(stock(material), process, OURS.cutters).source != "none found"
                or material == "graphite-steel"
            )


# Published kerfs in mm: a cutting service's table for paper and card under 1 mm, rubber, stainless of 0.5 to 1 mm
# (laserengravingservice.co.uk); a book on industrial laser cutting, p. 174, for the thinnest metals; a waterjet
# service, 0.03 in (metalcreature.com); a blade maker: a knife removes nothing.
@pytest.mark.parametrize(
    ("process", "material", "thickness", "kerf"),
    [("co2", "paper", 0.5, 0.08), ("co2", "cork-rubber", 2.0, 0.25), ("fibre", "steel", 0.5, 0.08),
     ("fibre", "steel", 0.1, 0.1), ("waterjet", "steel", 1.0, 0.03 * 25.4), ("knife", "paper", 0.3, 0.0),
     ("hand", "paper", 0.3, 0.0), ("co2", None, 1.0, 0.2)],
)  # fmt: skip
def test_kerfs_by_process_and_sheet(process, material, thickness, kerf):
    assert cutter_for(process, stock(material, thickness=thickness), OURS.cutters).kerf == pytest.approx(
        kerf, abs=0.003
    )


def test_a_stock_without_a_material_is_cut_as_its_name_says():
    assert cutter_for("co2", stock(name="Gasket paper 0.5"), OURS.cutters).sheet == "paper"
    assert cutter_for("fibre", stock(name="shim, steel", thickness=0.1), OURS.cutters).sheet == "foil"
    assert cutter_for("co2", stock(name="the blue one"), OURS.cutters).sheet is None
    assert cutter_for("co2", None, OURS.cutters).sheet is None


def test_the_users_own_kerf_replaces_that_value_and_no_other(tmp_path):
    (tmp_path / "cutters.toml").write_text("[co2-paper]\nkerf = 0.11\n", encoding="utf-8")
    mine = read_profiles(tmp_path).cutters
    own, ours = cutter_for("co2", stock("paper"), mine), cutter_for("co2", stock("paper"), OURS.cutters)

    assert (own.kerf, ours.kerf) == (0.11, 0.08)
    assert (own.hole, own.speed) == (ours.hole, ours.speed)
    assert cutter_for("co2", stock("steel"), mine).kerf == 0.15


def test_the_users_word_on_a_process_counts_for_more_than_ours_on_a_class(tmp_path, monkeypatch):
    (tmp_path / "home").mkdir()
    (tmp_path / "home" / "cutters.toml").write_text("[co2]\nkerf = 0.17\nhole = 2.0\n", encoding="utf-8")
    (tmp_path / "cutters.toml").write_text("[co2-soft]\nkerf = 0.3\n[co2]\nhole = 1.5\n", encoding="utf-8")
    monkeypatch.setattr("gasketcut.profile.own.user_folder", lambda: tmp_path / "home")
    mine = read_profiles(tmp_path).cutters
    cutters = {material: cutter_for("co2", stock(material), mine) for material in ("paper", "rubber", "steel")}

    assert {name: cutter.kerf for name, cutter in cutters.items()} == {"paper": 0.17, "rubber": 0.3, "steel": 0.17}
    assert {cutter.hole for cutter in cutters.values()} == {1.5}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('[co2-paper]\nkerf = "thin"', "cutters.toml:2:8: co2-paper.kerf: 'thin' is not a plain number"),
        ("[co2]\nkerf = -0.1", r"2:\d+: co2.kerf: -0.1 is out of range; write 0 or more, up to 100"),
        ("[co2]\nkerf = nan", r"2:\d+: co2.kerf: nan is out of range"),
        ("[co2]\nspeed = true", r"2:\d+: co2.speed: True is not a plain number"),
        ("[co2]\nkerv = 0.1", r"2:\d+: co2.kerv: unknown key; did you mean 'kerf'"),
        ("[co3]\nkerf = 0.1", r"1:\d+: co3: is no process; did you mean 'co2'"),
        ("[co2-papper]\nkerf = 0.1", r"1:\d+: co2-papper: 'papper' is no class of sheet; did you mean 'co2-paper'"),
        ("co2 = 5", r"1:\d+: co2: write a table"),
        ("foil = [1]", r"1:\d+: foil: \[1\] is not a plain number"),
        ('[material]\nfelt = "wool"', r"2:\d+: material.felt: 'wool' is not known; write one of paper"),
        ('[material]\nfelt = "papr"', r"2:\d+: material.felt: 'papr' is not known; did you mean 'paper'"),
        ('[sheet]\nfelt = "paper"', r"2:\d+: sheet.felt: write a table"),
        ('[sheet]\nfelt = { says = "felt" }', r"2:\d+: sheet.felt: 'cuts_as' is missing"),
        ('[sheet]\nfelt = { says = "felt", cuts_as = "sofd" }', "'sofd' is no class of sheet; did you mean 'soft'"),
        ('[verdict.felt]\nlaser = { is = "fine", why = "x" }', r"1:\d+: verdict.felt: is no kind of sheet"),
        (
            '[verdict.paper]\nlazer = { is = "fine", why = "x" }',
            "verdict.paper.lazer: unknown key; did you mean 'laser'",
        ),
        ('[verdict.ptfe]\nlaser = { is = "okay", why = "x" }', r"2:\d+: verdict.ptfe.laser.is: 'okay' is not known"),
    ],
)
def test_a_profile_that_cannot_be_used_says_where(tmp_path, text, words):
    (tmp_path / "cutters.toml").write_text(text + "\n", encoding="utf-8")
    with pytest.raises(GasketError, match=words):
        read_profiles(tmp_path)


# -- verdicts -----------------------------------------------------------------------------------------------------

# What published pages say: chlorinated (a university's wiki, a fab lab, a library, a workshop), fluorinated (the same
# wiki, a workshop, a paper on pyrolysis), composites, self-adhesive (the wiki), bare bright metal under CO2 (two
# dealers), can lacquer (inferred from what it is made of), asbestos (a national safety authority), unknown (a library).
LASER_NEVER = ("pvc", "vinyl", "neoprene", "chloroprene", "ptfe", "fkm", "glass-fibre", "epoxy", "self-adhesive",
               "can", "asbestos", "old gasket", "lead", None, "moon cheese")  # fmt: skip


@pytest.mark.parametrize("material", LASER_NEVER)
@pytest.mark.parametrize("process", ["co2", "fibre"])
def test_never_under_a_laser(material, process):
    verdict = verdict_on(stock(material), process, OURS.cutters)
    assert verdict.level == "never"
    assert verdict.why
    assert verdict.source


@pytest.mark.parametrize(
    ("material", "co2", "fibre", "knife", "waterjet", "hand"),
    [
        ("vegetable-fibre", "fine", "caution", "fine", "caution", "fine"),
        ("cellulose-nbr", "caution", "caution", "fine", "caution", "fine"),
        ("aramid-nbr", "caution", "caution", "fine", "fine", "fine"),
        ("copper", "never", "caution", "caution", "fine", "fine"),
        ("steel", "caution", "fine", "caution", "fine", "caution"),
        ("can", "never", "never", "fine", "fine", "fine"),
        ("PVC", "never", "never", "fine", "fine", "fine"),
        ("galvanised steel", "caution", "caution", "caution", "fine", "caution"),
        ("asbestos", *["never"] * 5),
        (None, "never", "never", "caution", "caution", "caution"),
    ],
)
def test_material_and_process(material, co2, fibre, knife, waterjet, hand):
    levels = [verdict_on(stock(material), process, OURS.cutters).level for process in PROCESSES]
    assert levels == [co2, fibre, knife, waterjet, hand]


@pytest.mark.parametrize(
    ("name", "process", "level"),
    [
        ("asbestos paper 0.5", "hand", "never"),
        ("NON-ASBESTOS paper", "hand", "fine"),
        ("paper, asbestos-free", "hand", "fine"),
        ("paper, free of asbestos", "hand", "fine"),
        ("PVC-free card", "co2", "fine"),
        ("PVC card", "co2", "never"),
        ("oil free PVC card", "co2", "never"),
        ("lacquered", "co2", "never"),
        ("non-stick PTFE", "co2", "never"),
        ("paper 0.5, adhesive back", "co2", "never"),
    ],
)
def test_a_name_that_warns_counts_whatever_the_material(name, process, level):
    assert verdict_on(stock("paper", name=name), process, OURS.cutters).level == level


def test_a_name_alone_is_no_proof_that_a_sheet_is_harmless():
    assert verdict_on(stock(name="gasket paper 0.5"), "co2", OURS.cutters).level == "never"
    assert verdict_on(None, "co2", OURS.cutters).level == "never"


def test_a_users_file_adds_sheets_and_words_that_warn(tmp_path):
    (tmp_path / "cutters.toml").write_text(
        '[material]\nfelt = "felt"\n[sheet]\nfelt = { says = "wool felt", cuts_as = "soft" }\n'
        '[verdict.felt]\nlaser = { is = "fine", why = "tried", source = "own" }\n[warning]\nteflon = "fluorinated"\n',
        encoding="utf-8",
    )
    mine = read_profiles(tmp_path).cutters

    assert verdict_on(stock("felt"), "co2", mine).level == "fine"
    assert verdict_on(stock("felt"), "co2", OURS.cutters).level == "never"  # unknown without that file
    assert verdict_on(stock("felt"), "knife", mine).level == "caution"  # nobody said anything about a knife
    assert verdict_on(stock("felt", name="Teflon felt"), "co2", mine).level == "never"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            '[verdict.fluorinated]\nlaser = { is = "fine", why = "brave" }',
            r"1:\d+: verdict.fluorinated: stands as it is",
        ),
        ('[warning]\npvc = "paper"', r"2:\d+: warning.pvc: stays 'chlorinated'"),
        ('[material]\nlead = "paper"', r"2:\d+: material.lead: stays 'poison'"),
    ],
)
def test_a_users_file_lifts_no_never(tmp_path, text, words):
    (tmp_path / "cutters.toml").write_text(text, encoding="utf-8")
    with pytest.raises(ProfileError, match=words):
        read_profiles(tmp_path)


def test_our_own_file_with_one_number_changed_is_a_users_file(tmp_path):
    text = shipped("cutters").read_text(encoding="utf-8").replace("\nkerf = 0.08 ", "\nkerf = 0.12 ")
    (tmp_path / "cutters.toml").write_text(text, encoding="utf-8")
    assert cutter_for("co2", stock("paper"), read_profiles(tmp_path).cutters).kerf == 0.12


@pytest.mark.parametrize(
    ("material", "weights"), [("pvc", ["stop"]), ("cellulose-nbr", ["warn"]), ("vegetable-fibre", [])]
)
def test_a_verdict_as_finding(material, weights):
    findings = list(material_findings(part("outline = { round = 30 }", material=material), "co2", OURS.cutters))

    assert [finding.weight for finding in findings] == weights
    assert {finding.rule for finding in findings} <= {"material"}
    assert all("CO2 laser" in finding.text and finding.do for finding in findings)


@given(
    name=st.text(min_size=1, max_size=40), material=st.none() | st.text(max_size=40), process=st.sampled_from(PROCESSES)
)
def test_any_text_gets_a_verdict(name, material, process):
    assert verdict_on(stock(material, name=name), process, OURS.cutters).level in LEVELS


# -- limits -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("diameter", "thickness", "small"), [(0.9, 0.5, True), (1.0, 0.5, False), (1.4, 1.5, True)])
def test_a_hole_under_a_millimetre_or_under_the_thickness(diameter, thickness, small):
    one = part(f"outline = {{ round = 40 }}, holes = {{ at = [[0, 9], [3, -4]], diameter = {diameter} }}", thickness)
    holes = [finding for finding in found(one) if finding.rule == "smallest hole"]

    assert [(hole.weight, hole.found, hole.wanted) for hole in holes] == [("warn", diameter, max(1, thickness))] * small
    assert all(hole.at in ((0, 9), (3, -4)) and "2 holes" in hole.text for hole in holes)


@pytest.mark.parametrize(
    ("shape", "width"),
    [("{ slot = [20, 0.8] }", 0.8), ("{ rectangle = [9, 5] }", 5), ("{ oval = [12, 7] }", 7),
     ("{ points = [[0, 0], [6, 0], [0, 8]] }", 4)],  # the incircle of 6, 8, 10 has radius 2
)  # fmt: skip
def test_an_opening_is_as_wide_as_the_disc_that_goes_through(shape, width):
    one = part(f"outline = {{ round = 60 }}, opening = {shape}")
    assert smallest_hole(outline_of(one).inner).width == pytest.approx(width, abs=2 * hundredth + chords)


@given(apart=st.floats(5.2, 30), wide=st.floats(1, 5))
def test_the_web_between_two_holes(apart, wide):
    one = part(f"outline = {{ round = 200 }}, holes = {{ at = [[0, 0], [{apart}, 0]], diameter = {wide} }}")
    web = smallest_web(one.solid)

    assert web.width == pytest.approx(apart - wide, abs=chords)
    assert web.at == pytest.approx((apart / 2, 0), abs=0.2)


def test_the_web_to_the_edge_and_around_a_bore():
    one = part("outline = { round = 60 }, opening = { round = 50 }, holes = { at = [[-20, 0]], diameter = 4 }")
    assert smallest_web(part("outline = { round = 60 }, opening = { round = 50 }").solid).width == pytest.approx(
        5, abs=chords
    )
    assert smallest_web(one.solid).width == pytest.approx(5, abs=chords)


@pytest.mark.parametrize("width", [0.6, 3.0])
def test_a_neck_of_one_and_the_same_edge(width):
    half = width / 2
    low = f"[-20, -8], [-4, -8], [-4, -{half}], [4, -{half}], [4, -8], [20, -8]"
    high = f"[20, 8], [4, 8], [4, {half}], [-4, {half}], [-4, 8], [-20, 8]"
    one = part(f"outline = {{ points = [{low}, {high}] }}")
    web = smallest_web(one.solid)
    warned = [finding for finding in found(one) if finding.rule == "smallest web"]

    assert web.width == pytest.approx(width, abs=hundredth)
    assert web.at == (pytest.approx(0, abs=0.1), pytest.approx(0, abs=half))
    assert [(finding.weight, finding.wanted) for finding in warned] == [("warn", 1.0)] * (width < 1)


@pytest.mark.parametrize("keys", ["outline = { round = 30 }", "outline = { rectangle = [30, 20], corner = 4 }"])
def test_a_plain_sheet_has_neither_hole_nor_web(keys):
    assert (smallest_hole(outline_of(part(keys)).inner), smallest_web(part(keys).solid), found(part(keys))) == (
        None,
        None,
        [],
    )


@pytest.mark.parametrize(("process", "radius", "weight"), [("co2", 0.2, "note"), ("waterjet", 0.5, "warn")])
def test_inner_corners_keep_the_cutters_own_radius(process, radius, weight):
    # In a right angle an arc of radius r leaves r (sqrt 2 - 1) of sheet.
    one = part("outline = { rectangle = [60, 40] }, opening = { rectangle = [20, 12] }", material="steel")
    (corner,) = [finding for finding in found(one, process) if finding.rule == "inner corner"]

    assert (corner.weight, corner.found, corner.wanted) == (weight, 0.0, radius)
    assert (abs(corner.at[0]), abs(corner.at[1])) == (10, 6)  # a corner of the opening, not of the outside
    assert f"4 of them, with up to {radius * (sqrt(2) - 1):.2f} mm" in corner.text


@pytest.mark.parametrize(("radius", "found_radius"), [(0.3, 0.3), (0.5, None), (2.0, None)])
def test_rounded_inner_corners(radius, found_radius):
    one = part(f"outline = {{ round = 60 }}, opening = {{ rectangle = [20, 12], corner = {radius} }}", material="steel")
    corners = [finding.found for finding in found(one, "waterjet") if finding.rule == "inner corner"]
    assert corners == [pytest.approx(found_radius, abs=1e-3)] * (found_radius is not None)


def test_a_sharp_tip_keeps_more_than_a_right_angle():
    # r (1 / sin(half the angle) - 1), here 30 deg and 0.2 mm.
    wide, deep = 10 * sin(radians(15)), 10 * cos(radians(15))
    tip = f"[[0, 0], [{wide}, -{deep}], [-{wide}, -{deep}]]"
    one = part(f"outline = {{ round = 60 }}, opening = {{ points = {tip} }}")
    (corner,) = [finding for finding in found(one) if finding.rule == "inner corner"]

    assert corner.at == pytest.approx((0, 0), abs=1e-9)
    assert f"up to {0.2 * (1 / sin(pi / 12) - 1):.2f} mm" in corner.text


def test_a_hand_cuts_into_a_corner():
    one = part("outline = { rectangle = [60, 40] }, opening = { rectangle = [20, 12] }")
    assert found(one, "hand") == []
