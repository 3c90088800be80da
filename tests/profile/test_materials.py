"""The material of a stock is one that a sheet or a cutter knows, ours or the user's own."""

import pytest

from gasketcut import JobError, parse_job
from gasketcut.engine.stack.clamped import fitted_thickness
from gasketcut.profile.profiles import Profiles, read_profiles
from tests.making import make

JOB = """units = "mm"
[cutting]
process = "co2"
[[stock]]
name = "sheet"
thickness = 0.5
material = "{material}"
[[part]]
name = "cover"
kind = "flat"
stock = "sheet"
outline = {{ rectangle = [40, 30] }}
"""


def job(material, folder=None, **files):
    for name, text in files.items():
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
    return parse_job(JOB.format(material=material), folder / "job.toml" if folder else None)


@pytest.mark.parametrize("material", ["cellulose-nbr", "Cellulose NBR", "PVC", "old gasket", "galvanised steel", "nbr"])
def test_known_to_a_sheet_or_to_a_cutter(material):
    assert job(material).stock[0].material == material


@pytest.mark.parametrize(
    ("material", "words"),
    [
        ("celulose-nbr", "'celulose-nbr' is not known; did you mean 'cellulose-nbr'?"),
        ("graphit steel", "did you mean 'graphite-steel'?"),
        ("viton sheet", "known are cellulose-nbr, vegetable-fibre, aramid-nbr, cork-rubber"),
        ("moon cheese", 'For one of your own write [material.moon-cheese] says = "..." into sheets.toml'),
    ],
)
def test_an_unknown_one_is_a_fault_with_its_line_and_a_way_out(material, words):
    with pytest.raises(JobError) as caught:
        job(material)
    (fault,) = caught.value.faults
    assert (fault.line, fault.key) == (7, "stock.1.material")
    assert words in fault.message


def test_a_material_of_ones_own(tmp_path):
    own = '[material.viton-sheet]\nsays = "fluorinated rubber"\ncompressibility = [10, 20]\nstress = 2.0\n'
    found = job("Viton sheet", tmp_path, sheets=own)
    sheets = read_profiles(tmp_path).sheets

    assert fitted_thickness(found.stock[0], sheets).range == (0.4, 0.425, 0.45)


def test_a_cutter_does_not_know_a_material_of_sheets_alone_and_says_where_to_write_it(tmp_path):
    found = job("viton-sheet", tmp_path, sheets='[material.viton-sheet]\nsays = "rubber"\n')
    (stop,) = [one for one in make(found, tmp_path / "out").findings if one.weight == "stop"]

    assert "nobody says what is in it" in stop.text
    assert stop.do.endswith('e.g. [material] viton-sheet = "rubber"')


def test_a_material_that_only_ones_own_cutters_know(tmp_path):
    found = job("viton sheet", tmp_path, cutters='[material]\nviton-sheet = "fluorinated"\n')
    (stop,) = [one for one in make(found, tmp_path / "out").findings if one.weight == "stop"]

    assert "carbonyl fluoride" in stop.text


def test_words_in_capitals_or_apart_are_the_same_material():
    stocks = [job(material).stock[0] for material in ("cellulose-nbr", "Cellulose NBR")]
    ranges = [fitted_thickness(stock, Profiles().sheets).range for stock in stocks]

    assert ranges == [(0.37, 0.395, 0.42)] * 2
