"""A spacer or a thicker gasket uses up stud: what is left above the nut, against one pitch."""

import pytest

from gasketcut import evaluate, parse_job
from gasketcut.profile.profiles import Profiles

CARB = """
units = "mm"
[[stock]]
name = "paper"
thickness = {paper}
[[stock]]
name = "plate"
thickness = {plate}
[[part]]
name = "carb"
kind = "intake"
stock = "paper"
outline = {{ rectangle = [60, 40] }}
opening = {{ round = 18.0 }}
studs = {{ at = [[-22, 0], [22, 0]], size = "{size}", {studs} }}
"""
SPACER = '[[part]]\nname = "spacer"\nkind = "spacer"\nof = "carb"\nstock = "plate"\n'


def said(studs, more="", size="M5", paper=0.5, plate=10.0):
    job = parse_job(CARB.format(studs=studs, size=size, paper=paper, plate=plate) + more)
    return [one for one in evaluate(job).parts["carb"].findings if one.rule == "stud"]


@pytest.mark.parametrize(
    ("length", "weight", "left"),
    [
        # Under the nut 0.5 + 9.6, the nut 4.7 (ISO 4032, M5), a pitch of 0.8: 15.6 is just enough.
        (16.0, "note", 1.2),
        (15.6, "note", 0.8),
        (15.5, "warn", 0.7),
        (14.8, "warn", 0.0),
        (14.7, "stop", -0.1),
    ],
)
def test_one_pitch_has_to_stand_above_the_nut(length, weight, left):
    (found,) = said(f"stud_length = {length}, flange = 9.6")
    assert found.weight == weight
    assert (found.found, found.wanted) == pytest.approx((left, 0.8), abs=1e-9)
    assert "the nut by ISO 4032 4.70 mm" in found.text


def test_a_spacer_uses_up_stud_with_the_gasket_on_its_other_side():
    # 28 - 0.5 - 10 - 0.5 - 9.6 - 4.7 = 2.7
    (found,) = said("stud_length = 28, flange = 9.6", SPACER)
    assert (found.weight, found.found) == ("note", pytest.approx(2.7))
    assert found.text.count("'carb' 0.50 mm") == 2
    (found,) = said("stud_length = 28, flange = 9.6", SPACER, plate=12.0)
    assert (found.weight, found.found) == ("warn", pytest.approx(0.7))
    assert "longer by 0.10 mm" in found.do


def test_a_thicker_gasket_uses_up_stud():
    assert [one.weight for one in said("stud_length = 16, flange = 9.6", paper=0.5)] == ["note"]
    assert [one.weight for one in said("stud_length = 16, flange = 9.6", paper=1.5)] == ["warn"]


def test_the_nut_s_own_height_and_a_fine_thread_count_before_the_table():
    (found,) = said("stud_length = 15.5, flange = 9.6, nut_height = 4.0, pitch = 0.5")
    assert (found.weight, found.found, found.wanted) == ("note", pytest.approx(1.4), 0.5)


@pytest.mark.parametrize(
    ("studs", "size", "lacks"),
    [
        ("stud_length = 16", "M5", "flange"),
        ("stud_length = 16, flange = 9.6", "1/4", "nut_height, pitch"),
        ("stud_length = 16, flange = 9.6", "M7", "nut_height"),
    ],
)
def test_what_is_missing_is_asked_for_and_nothing_is_judged(studs, size, lacks):
    (found,) = said(studs, size=size)
    assert (found.weight, found.do, found.found) == ("warn", f"say {lacks}", None)


def test_without_a_length_nothing_is_said():
    assert said("flange = 9.6") == []


def test_the_table_has_the_nuts_of_iso_4032_and_not_those_of_the_older_standard():
    # ISO 4032, greatest height m, as two published tables agree; DIN 934 has 3.2, 4.0, 5.0, 6.5, 8.0.
    nuts = {name: Profiles().fasteners.size(name).nut for name in ("M4", "M5", "M6", "M8", "M10")}
    assert nuts == {"M4": 3.2, "M5": 4.7, "M6": 5.2, "M8": 6.8, "M10": 8.4}
