"""Received drawings to a price, whole sheets and a table, without a job file."""

from __future__ import annotations

import csv
import io
import json
import subprocess
from math import pi
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from click.testing import CliRunner, Result

from gasketcut.cli import main
from gasketcut.job.reading.from_drawings import names_of_parts
from gasketcut.received.inspection import inspect
from tests.received.customers import customers

ROUNDING = 1e-4
STEEL = ("--sheet", "steel 1.0", "--seconds", "0.5")


def draw(path: Path, *squares: tuple[float, float, float], circles: tuple[tuple[float, float, float], ...] = (),
         unit: int = 4) -> Path:  # fmt: skip
    document = ezdxf.new("R2000")
    document.header["$INSUNITS"] = unit
    space = document.modelspace()
    for x, y, side in squares:
        space.add_lwpolyline([(x, y), (x + side, y), (x + side, y + side), (x, y + side)], close=True)
    for x, y, radius in circles:
        space.add_circle((x, y), radius)
    document.saveas(path)
    return path


@pytest.fixture
def at(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder in which the commands run, with an empty config folder elsewhere."""
    home = tmp_path / "home"
    home.mkdir()
    monkeypatch.setattr("gasketcut.profile.own.user_folder", lambda: home)
    here = tmp_path / "here"
    here.mkdir()
    monkeypatch.chdir(here)
    return here


def quote(*words: str) -> Result:
    return CliRunner().invoke(main, ["quote", *words], catch_exceptions=False)


def data(*words: str) -> dict[str, Any]:
    run = quote(*words, "--json")
    assert run.exit_code == 0, run.output
    return json.loads(run.stdout)


def words(*asked: str) -> str:
    """What it prints, as one line."""
    return " ".join(quote(*asked).stdout.split())


def test_a_metre_with_five_starts_takes_what_a_published_sum_says(at: Path) -> None:
    """1.0 m at 3 m/min and 5 starts of 0.5 s: 20 + 2.5 s; its 0.6 s of travel are in no quote of ours. Source: a laser
    time page, re-derived."""
    holes = tuple((10.0 + 40 * number, 10.0, 12.5) for number in range(4))
    draw(at / "a.dxf", (0, 0, 200), *holes)
    (at / "cutters.toml").write_text("[fibre-metal]\nspeed = 3000.0\npierce = 0.5\n")
    total = data("a.dxf", *STEEL)["quote"]["total"]

    assert total["cut_inside_mm"] + total["cut_outside_mm"] == pytest.approx(1000.0, abs=ROUNDING)
    assert (total["pierces"], total["time_s"]) == (5, 22.5)
    assert total["cost"] == pytest.approx(22.5 / 3600 * 90.0, abs=0.005)


def test_copies_count_for_every_drawing_and_every_piece_in_it(at: Path) -> None:
    draw(at / "a.dxf", (0, 0, 20), (40, 0, 20), (80, 0, 30))
    draw(at / "b.dxf", circles=((0, 0, 10), (0, 0, 4)))
    found = data("a.dxf", "b.dxf", *STEEL, "--copies", "3")
    rows = {row["name"]: row["count"] for row in found["quote"]["parts"]}
    laid = [one["part"] for sheet in found["layout"] for one in sheet["pieces"]]

    assert rows == {"a-1": 6, "a-2": 3, "b": 3}
    assert sorted(laid) == ["a-1"] * 6 + ["a-2"] * 3 + ["b"] * 3
    assert (found["quote"]["total"]["count"], found["quote"]["sheets"], found["stopped"]) == (12, 1, False)


def test_a_drawing_that_is_named_twice_is_cut_twice(at: Path) -> None:
    draw(at / "a.dxf", (0, 0, 20))
    rows = data("a.dxf", "a.dxf", *STEEL, "--copies", "3")["quote"]["parts"]
    assert [(row["name"], row["count"]) for row in rows] == [("a", 6)]


def test_the_sheets_hold_what_was_drawn(at: Path) -> None:
    draw(at / "a.dxf", (0, 0, 40), circles=tuple((6.0 + 6 * number, 20.0, 2.0) for number in range(5)))
    assert quote("a.dxf", *STEEL, "--copies", "4", "--nest", "out").exit_code == 0

    assert sorted(file.name for file in (at / "out").iterdir()) == ["sheet-steel-1.0-1.dxf", "sheet-steel-1.0-1.svg"]
    file = at / "out" / "sheet-steel-1.0-1.dxf"
    assert ezdxf.readfile(file).audit().errors == []
    found = inspect(file)
    assert found.verdict == "ready"
    areas = sorted(one.contour.area for one in found.closed)
    assert areas == pytest.approx([4 * pi] * 20 + [1600.0] * 4, abs=1e-3)


def test_the_table_holds_the_sums_and_nothing_is_written_over(at: Path) -> None:
    draw(at / "a.dxf", (0, 0, 40))
    assert quote("a.dxf", *STEEL, "--csv", "q.csv").exit_code == 0
    rows = list(csv.DictReader(io.StringIO((at / "q.csv").read_text())))
    assert [(row["name"], row["sheets"]) for row in rows] == [("a", ""), ("total", "1")]

    (at / "q.csv").write_text("mine")
    refused = quote("a.dxf", *STEEL, "--csv", "q.csv")
    assert (refused.exit_code, (at / "q.csv").read_text()) == (2, "mine")
    assert quote("a.dxf", *STEEL, "--csv", "q.csv", "--replace").exit_code == 0


def test_an_unknown_sheet_lists_what_is_there_and_a_size_makes_up_for_it(at: Path) -> None:
    draw(at / "a.dxf", (0, 0, 40))
    unknown = quote("a.dxf", "--sheet", "steel 1.3")
    assert unknown.exit_code == 2
    assert all(name in unknown.stderr for name in ("steel 0.5", "cellulose-nbr 0.8", "--size"))
    assert "steel 1.0" in quote("a.dxf").stderr

    found = data("a.dxf", "--sheet", "steel 1.3", "--size", "1000x500", "--process", "co2", "--seconds", "0.5")
    row = found["quote"]["parts"][0]
    assert (row["thickness_mm"], row["process"], found["layout"][0]["sheet_mm"]) == (1.3, "co2", [1000, 500])
    assert quote("a.dxf", "--sheet", "steel 1.3", "--size", "1000x500").exit_code == 2
    assert "wood" in quote("a.dxf", "--sheet", "wood 3", "--size", "1000x500", "--process", "co2").stderr


@pytest.mark.parametrize(("size", "mm"), [("1000x500", [1000, 500]), ("40 x 20 in", [1016, 508]),
                                          ("100cm X 50cm", [1000, 500])])  # fmt: skip
def test_sizes(at: Path, size: str, mm: list[float]) -> None:
    draw(at / "a.dxf", (0, 0, 40))
    assert data("a.dxf", *STEEL, "--size", size)["layout"][0]["sheet_mm"] == pytest.approx(mm)


@pytest.mark.parametrize("size", ["1000", "1000x", "axb", "1000x500x2", "-3x5", "0x5"])
def test_what_is_no_size(at: Path, size: str) -> None:
    draw(at / "a.dxf", (0, 0, 40))
    assert quote("a.dxf", *STEEL, "--size", size).exit_code == 2


def test_a_part_that_goes_on_no_sheet_stops_and_writes_no_sheet(at: Path) -> None:
    draw(at / "a.dxf", (0, 0, 600))
    run = quote("a.dxf", *STEEL, "--size", "500x500", "--nest", "out")
    assert run.exit_code == 1
    assert "STOP" in run.stdout
    assert not (at / "out").exists()


def test_what_needs_a_decision_has_the_words_and_the_verdict_of_inspect(at: Path) -> None:
    document = ezdxf.new("R2000")
    document.header["$INSUNITS"] = 4
    document.modelspace().add_lwpolyline([(0, 0), (80, 0), (80, 50), (0, 50), (0, 3)])
    document.saveas(at / "open.dxf")
    draw(at / "a.dxf", (0, 0, 40))
    shown = CliRunner().invoke(main, ["inspect", "open.dxf"], catch_exceptions=False).stdout
    run = quote("a.dxf", "open.dxf", *STEEL)

    assert run.exit_code == 1
    (said,) = [row.strip() for row in run.stderr.splitlines() if row.strip().startswith("open")][:1] or [""]
    assert run.stderr.startswith("ASK: open.dxf: a person has to decide something first; gasketcut inspect open.dxf")
    first = inspect(at / "open.dxf").flaws[0]
    assert first.text in shown
    assert first.text in run.stderr
    assert said.startswith("open")
    assert json.loads(quote("open.dxf", *STEEL, "--json").stdout)["stopped"] is True


def test_what_is_no_drawing_is_input_at_fault(at: Path) -> None:
    (at / "no.dxf").write_text("hello")
    draw(at / "a.dxf", (0, 0, 40))
    for words in (("no.dxf",), ("a.dxf", "gone.dxf"), ("a.dxf", "--drop", "everything"), ("a.dxf", "job.toml")):
        assert quote(*words, *STEEL).exit_code == 2


def test_units_are_said_where_the_drawing_does_not(at: Path) -> None:
    draw(at / "a.dxf", (0, 0, 2), unit=0)
    assert quote("a.dxf", *STEEL).exit_code == 1
    assert data("a.dxf", *STEEL, "--units", "in")["quote"]["parts"][0]["size_mm"] == [50.8, 50.8]


def test_a_gap_is_joined_where_somebody_allows_it(at: Path) -> None:
    document = ezdxf.new("R2000")
    document.header["$INSUNITS"] = 4
    document.modelspace().add_lwpolyline([(0, 0), (80, 0), (80, 50), (0, 50), (0, 0.2)])
    document.saveas(at / "a.dxf")
    assert quote("a.dxf", *STEEL).exit_code == 1
    assert data("a.dxf", *STEEL, "--join", "0.25 mm")["quote"]["parts"][0]["net_area_mm2"] == pytest.approx(4000, abs=9)


def test_own_rates_and_sheets_come_first(at: Path) -> None:
    draw(at / "a.dxf", (0, 0, 100))
    (at / "rates.toml").write_text('currency = "EUR"\n[hour]\nknife = 36.0\n[sheet]\n"felt 3" = 10.0\n')
    (at / "sheets.toml").write_text(
        '[sheet."felt 3"]\nmaterial = "wool"\nthickness = 3.0\nsize = [500, 400]\nprocess = "knife"\n'
        '[material.wool]\nsays = "wool felt"\n'
    )
    found = data("a.dxf", "--sheet", "Felt 3", "--seconds", "0.5")["quote"]
    total = found["total"]

    assert (found["currency"], total["process"]) == ("EUR", "knife")
    assert total["cost"] == pytest.approx(total["time_s"] / 100 + 10 * total["sheet_used_mm2"] / 200000, abs=0.006)
    text = words("a.dxf", "--sheet", "felt 3", "--seconds", "0.5")
    assert "The rates are guesses" not in text
    assert "not in the price" not in text
    text = words("a.dxf", *STEEL)
    assert "No price" in text  # in the user's currency nothing is known of a fibre laser
    (at / "rates.toml").write_text("[hour]\nfibre = -3\n")
    assert quote("a.dxf", *STEEL).exit_code == 2


def test_the_text_says_whose_figures_the_price_rests_on(at: Path) -> None:
    draw(at / "a.dxf", (0, 0, 100))
    text = words("a.dxf", *STEEL)
    assert "cost" in text
    assert "The rates are guesses" in text
    assert "The sheet is not in the price" in text
    (at / "rates.toml").write_text('[hour]\nfibre = 80\n[sheet]\n"steel 1.0" = 40\n')
    assert "The rates are guesses" not in words("a.dxf", *STEEL)
    assert "not in the price" not in words("a.dxf", *STEEL)
    text = quote("a.dxf", *STEEL).stdout
    assert max(map(len, text.splitlines())) <= 100


def test_a_kerf_is_in_the_lengths_and_on_the_sheets(at: Path) -> None:
    draw(at / "a.dxf", (0, 0, 100), circles=((50, 50, 10),))
    found = data("a.dxf", *STEEL, "--kerf", "0.2 mm", "--nest", "out")
    row = found["quote"]["parts"][0]
    assert row["cut_inside_mm"] == pytest.approx(2 * pi * 9.9, abs=1e-3)
    areas = sorted(one.contour.area for one in inspect(at / "out" / "sheet-steel-1.0-1.dxf").closed)
    assert areas[0] == pytest.approx(pi * 9.9**2, abs=1e-3)
    assert areas[1] == pytest.approx(100.2**2 - (4 - pi) * 0.01, abs=1e-2)
    assert data("a.dxf", *STEEL, "--kerf", "profile")["quote"]["parts"][0]["kerf_mm"] == 0.08


def test_a_job_is_quoted_as_it_stands(at: Path) -> None:
    draw(at / "a.dxf", (0, 0, 40))
    (at / "job.toml").write_text(
        'units = "mm"\n[[stock]]\nname = "s"\nthickness = 1\nmaterial = "steel"\n'
        '[[part]]\nkind = "received"\nname = "x"\nfile = "a.dxf"\nstock = "s"\n'
        '[[part]]\nkind = "flat"\nname = "y"\nstock = "s"\noutline = { round = 20 }\n[cutting]\nprocess = "fibre"\n'
    )
    found = data("job.toml")
    assert [row["name"] for row in found["quote"]["parts"]] == ["x", "y"]
    assert found["quote"]["total"]["cost"] > 0
    assert found["quote"]["sheets"] is None
    assert quote("job.toml", "--copies", "2").exit_code == 2
    assert quote("job.toml", "a.dxf").exit_code == 2
    assert data("job.toml") == found


def test_names_of_parts_are_fit_for_files_and_different() -> None:
    files = [Path(one) for one in ("in/plate.v2 (final).dxf", "other/PLATE.V2 (final).dxf", "con.dxf", "Ü 3.dxf",
                                   "###.dxf", "a" * 90 + ".dxf", "in/plate.v2 (final).dxf")]  # fmt: skip
    names = list(names_of_parts(files).values())
    assert names == ["plate.v2-final", "PLATE.V2-final-b", "part-con", "Ü-3", "part", "a" * 48]


@pytest.mark.parametrize("order", [("x.dxf", "x-2.dxf", "in/x.dxf"), ("x-2.dxf", "in/x.dxf", "x.dxf")])
def test_no_file_is_called_as_a_piece_of_another(at: Path, order: tuple[str, ...]) -> None:
    (at / "in").mkdir()
    for name in order:
        draw(at / name, (0, 0, 20 + len(name)), (60, 0, 30))
    rows = data(*order, *STEEL)["quote"]["parts"]
    names = [row["name"] for row in rows]
    assert len(set(names)) == len(names) == 6
    assert {"x-2-1", "x-2-2"} <= set(names)


@pytest.mark.parametrize("name", ["a b.dxf", "a.b.c.dxf", "-x.dxf", "=cmd.dxf", "äöü (1).dxf", "report.dxf"])
def test_any_name_of_a_file_can_be_quoted_and_nested(at: Path, name: str) -> None:
    draw(at / name, (0, 0, 40))
    run = quote(f"./{name}", *STEEL, "--nest", "out")
    assert run.exit_code == 0, run.output
    assert len(list((at / "out").iterdir())) == 2


def test_the_command_itself(command: Any) -> None:
    draw(command.folder / "a.dxf", (0, 0, 40))
    run: subprocess.CompletedProcess[str] = command("quote", "a.dxf", "--sheet", "steel 1.0", "--seconds", "0.5")
    assert (run.returncode, run.stderr) == (0, "")
    assert "all" not in run.stdout.split("Quote")[0]


# -- found by those who tried it ---------------------------------------------------------------------------------------


def test_nothing_is_written_where_one_of_its_files_cannot_be(at: Path) -> None:
    # Found: --nest had written its sheets when --csv found a file in its place.
    draw(at / "x.dxf", (0, 0, 20))
    (at / "x.csv").write_text("mine")
    run = quote("x.dxf", *STEEL, "--nest", "out", "--csv", "x.csv")
    assert run.exit_code == 2
    assert (at / "x.csv").read_text() == "mine"
    assert not (at / "out").exists()


def test_a_rate_of_the_jobs_own_is_not_called_a_guess(at: Path) -> None:
    draw(at / "x.dxf", (0, 0, 20))
    job = '[[stock]]\nname = "s"\nthickness = "1 mm"\nmaterial = "steel"\n'
    job += '[[part]]\nkind = "received"\nname = "x"\nfile = "x.dxf"\n'
    (at / "own.toml").write_text(f'{job}stock = "s"\n[cutting]\nprocess = "fibre"\nrate_hour = 3600\n')
    (at / "none.toml").write_text(f'{job}stock = "s"\n[cutting]\nprocess = "fibre"\n')
    own, none = quote("own.toml").stdout, quote("none.toml").stdout
    assert "guesses to start from; write your own" not in " ".join(own.split())
    assert "rate_sheet under [cutting]" in " ".join(own.split())
    assert "guesses to start from; write your own" in " ".join(none.split())


@pytest.mark.parametrize(("name", "said"), [("plate S235 3mm", True), ("plate 1.0 mm", False), ("plate M6", False)])
def test_a_drawing_that_is_named_for_another_sheet_is_asked_about(at: Path, name: str, said: bool) -> None:
    draw(at / f"{name}.dxf", (0, 0, 20))
    found = [one for one in data(f"{name}.dxf", *STEEL)["findings"] if "is named for" in one["text"]]
    assert [one["weight"] for one in found] == ["warn"] * said


def test_what_looks_like_a_group_is_offered_to_be_left_out(at: Path) -> None:
    # Found: `inspect` offered --drop centre-lines, `quote` of the same file said "close the contour".
    (customer,) = [one for one in customers() if one.name.startswith("18")]
    (at / "c.dxf").write_bytes(customer.data)
    run = quote("c.dxf", *STEEL)
    assert run.exit_code == 1
    assert "--drop centre-lines leaves them out" in run.stderr
    assert "close the contour" not in run.stderr
    assert quote("c.dxf", *STEEL, "--drop", "centre-lines").exit_code == 0


def test_of_drawings_that_are_called_alike_it_is_said_which_is_which(at: Path) -> None:
    (at / "in").mkdir()
    draw(at / "x.dxf", (0, 0, 20))
    draw(at / "in" / "x.dxf", (0, 0, 25))
    assert "x-b is from in/x.dxf" in quote("x.dxf", "in/x.dxf", *STEEL).stdout.replace("\\", "/")
