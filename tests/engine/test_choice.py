"""Which choice, and why: the target decides among the safe; what is said of a bare joint, of metal to come off."""

import json

import pytest

from gasketcut import evaluate, parse_job
from gasketcut.engine.stack.choices import Lost
from gasketcut.output.data.squish import squish_data
from gasketcut.output.picture import Words
from gasketcut.output.text.choice import answer_lines, passed_sentence, why_sentence
from gasketcut.output.text.squish import squish_text
from gasketcut.pages.build_sheet.sections import record_sections
from gasketcut.pages.charts.squish import squish_chart

TWO = 'readings = [{ at = "left", value = "0.92 mm +- 0.01" }, { at = "right", value = "0.92 mm +- 0.01" }]\n'
OVER = f"{TWO}gasket_present = 0.50\n"  # 0.42 bare


def answer(squish: str, *stock: str, units: str = "mm"):
    sheets = "\n".join(f"[[stock]]\n{one}" for one in stock)
    found = evaluate(parse_job(f'units = "{units}"\n[squish]\n{squish}\n{sheets}')).squish
    assert found is not None
    return found


def sheet(name: str, *thick: float, sheets: int = 1) -> str:
    return f'name = "{name}"\nfitted = {list(thick)}\nsheets = {sheets}'


def test_the_nearest_to_the_target_wins_over_fewer_sheets():
    # Found: with a floor of 0.30, "no gasket, 0.42" was recommended although one can sheet gives 0.52 for 0.508.
    found = answer(f"{OVER}target = 0.508\nleast = 0.30", sheet("can", 0.09, 0.10, 0.11))

    assert found.best is not None
    assert found.best.words == "1 x can"
    assert "nearest to the target" in why_sentence(found)
    assert found.passed is not None
    assert (found.passed[0].words, found.passed[1]) == ("no gasket", Lost.FARTHER)
    assert passed_sentence(found) == "no gasket, of fewer sheets, but farther from the target"


def test_a_nearer_one_that_is_unsafe_loses_and_its_odds_are_said():
    # 0.42 bare is the target itself, but 0.0316 = 0.01 x root(10) under it a floor of 0.40 has one in fifty below.
    found = answer(f"{OVER}target = 0.42\nleast = 0.405\nmost = 0.6", sheet("can", 0.09, 0.10, 0.11))

    assert found.best is not None
    assert found.best.words == "1 x can"
    assert found.passed is not None
    assert found.passed[1] is Lost.UNSAFE
    assert passed_sentence(found) == (
        "no gasket, nearer to the target, but with a chance of "
        f"{found.passed[0].odds.under_floor:.1%} to be under your floor"
    )


@pytest.mark.parametrize(
    ("more", "stock", "lost"),
    [
        ("least = 0.3\nmost = 0.51", [sheet("can", 0.10), sheet("foil", 0.03)], Lost.BEYOND),
        ("least = 0.45", [sheet("half", 0.05, sheets=2), sheet("can", 0.10)], Lost.MORE_SHEETS),
        ("least = 0.3", [], None),
    ],
)
def test_why_the_next_better_looking_one_lost(more, stock, lost):
    found = answer(f"{OVER}target = {0.508 if lost is Lost.BEYOND else 0.52 if stock else 0.42}\n{more}", *stock)

    assert (found.passed[1] if found.passed else None) is lost


@pytest.mark.parametrize(("risk", "best"), [("", "1 x can"), ("risk = 0.2", "no gasket"), ("risk = 0.001", "1 x can")])
def test_the_user_says_what_risk_is_accepted(risk, best):
    # Two ends of 0.42 +- 0.01: one in 6.5 has an end under 0.41, which is between 2.5 and 20 %.
    found = answer(f"{OVER}target = 0.42\nleast = 0.4065\nmost = 0.6\n{risk}", sheet("can", 0.09, 0.10, 0.11))
    bare = next(one for one in found.choices if not one.layers)

    assert found.best is not None
    assert found.best.words == best
    assert bare.safe is (bare.odds.under_floor <= found.wanted.risk)
    assert 0.025 < bare.odds.under_floor < 0.2


def test_rows_that_reach_nowhere_are_sorted_by_their_distance():
    # Found: rows of 0 % stood in any order.
    found = answer(f"{OVER}target = 0.508\nleast = 0.40", sheet("a", 0.9), sheet("b", 0.4), sheet("c", 0.6))
    nought = [abs(one.squish[1] - 0.508) for one in found.choices if one.odds.in_band < 0.005]

    assert len(nought) > 3
    assert nought == sorted(nought)


def test_sealant_lies_in_a_bare_joint_too():
    # Found: its film was added to gaskets, not to "no gasket". Arithmetic: 0.42 bare and 0.03 of film.
    found = answer(f"{OVER}target = 0.45\nleast = 0.3\nsealant = [0.02, 0.03, 0.05]")

    assert found.best is not None
    assert found.best.layers == ()
    assert (found.best.fitted[1], found.best.squish[1]) == pytest.approx((0.03, 0.45), abs=1e-9)
    assert found.after.squish == pytest.approx(0.45, abs=1e-9)


@pytest.mark.parametrize(
    ("sealant", "words"), [("", "nothing seals the joint"), ("sealant = [0.03]", "the film of sealant alone")]
)
def test_a_bare_joint_is_told_to_be_sealed(sealant, words):
    found = answer(f"{OVER}target = 0.45\nleast = 0.3\n{sealant}")
    (said,) = [one for one in found.findings if one.rule == "sealing"]

    assert (said.weight, said.part) == ("warn", None)
    assert words in said.text
    assert "flat plate" in said.do


@pytest.mark.parametrize(
    ("units", "off", "hair"),
    [
        ("mm", "take off 0.09 mm (0.004 in) at the base", "0.010 mm (0.0004 in) of metal would have to come off"),
        ("in", "take off 0.004 in (0.09 mm) at the base", "0.0004 in (0.010 mm) of metal would have to come off"),
    ],
)
def test_too_much_is_metal_to_take_off_not_a_gasket_below_nothing(units, off, hair):
    # Found: "-0.09 of gasket". 0.42 bare against 0.33 wanted; and against 0.41, which no gasket comes nearest to.
    limits = ('target = "0.33 mm"\nleast = "0.3 mm"\nmost = "0.35 mm"', 'target = "0.41 mm"\nleast = "0.38 mm"')
    said = [" ".join(answer_lines(answer(f'{TWO}gasket_present = "0.5 mm"\n{limit}', units=units))) for limit in limits]

    assert off in said[0]
    assert hair in said[1]
    assert "-0" not in " ".join(said)


def test_the_answer_in_json_is_the_chosen_one_with_its_reasons():
    found = answer(f"{OVER}target = 0.508\nleast = 0.30", sheet("can", 0.09, 0.10, 0.11))
    data = json.loads(json.dumps(squish_data(found)))
    chosen = {key: value for key, value in data["answer"].items() if key not in ("why", "passed_over")}

    assert chosen == data["choices"][0]
    assert data["answer"]["why"] == why_sentence(found)
    assert data["answer"]["passed_over"]["why"] == passed_sentence(found)
    for one in data["choices"]:
        for key in ("fitted_mm", "squish_mm", "tight_mm"):
            assert one[key] == sorted(one[key])
        assert one["tight_mm"][1] <= one["squish_mm"][1]
    assert data["risk"] == 0.025


def test_no_answer_is_null():
    assert squish_data(answer(f"{OVER}target = 0.33\nleast = 0.3\nmost = 0.35"))["answer"] is None


def test_the_table_is_grouped_as_it_says():
    cans = sheet("can", 0.09, 0.10, 0.11, sheets=3)
    found = answer(f"{OVER}target = 0.508\nleast = 0.415", cans, sheet("paper", 0.37, 0.40, 0.42))
    rows = squish_text(found, "t", ()).splitlines()
    heads = [
        "fit, nearest to the target first:",
        "safe, but on average not in your band:",
        "not safe, over 2.5% of them under your floor:",
    ]
    at = [rows.index(head) for head in heads]

    assert at == sorted(at)
    assert rows[at[0] + 1].split()[:3] == ["1", "x", "can"]
    assert rows[at[2] + 1].split()[:2] == ["no", "gasket"]
    assert max(map(len, rows)) <= 80


TILTED = """readings = [{ at = "left", value = "0.90 mm +- 0.01" }, { at = "right", value = "0.96 mm +- 0.01" }]
gasket_present = 0.50
target = 0.53
least = 0.40
"""


def test_what_is_expected_after_assembly_is_each_end_s_own():
    # Arithmetic: 0.40 and 0.46 bare and one sheet of 0.10.
    job = parse_job(f'units = "mm"\n[squish]\n{TILTED}[[stock]]\n{sheet("can", 0.09, 0.10, 0.11)}')
    (again,) = [one for one in record_sections(evaluate(job)) if one.heading == "To measure again after assembly"]

    assert again.blanks[:2] == (
        "squish left (expected 0.50 mm (0.020 in))",
        "squish right (expected 0.56 mm (0.022 in))",
    )


def test_where_no_thickness_is_named_none_is_expected():
    job = parse_job(f'units = "mm"\n[squish]\n{TILTED.replace("0.96", "1.40")}')
    (again,) = [one for one in record_sections(evaluate(job)) if one.heading == "To measure again after assembly"]

    assert again.blanks[:2] == ("squish left", "squish right")


@pytest.mark.parametrize(
    "text", [TILTED.replace("0.96", "1.40"), TILTED.replace("right", "left").replace("0.96", "1.2")]
)
def test_what_must_not_be_built_ends_the_command_with_one(command, text):
    done = command("squish", "job.toml", text=f'units = "mm"\n[squish]\n{text}')
    told = json.loads(command("squish", "job.toml", "--json", text=f'units = "mm"\n[squish]\n{text}').stdout)

    assert done.returncode == 1
    assert told["answer"] is None
    assert told["needed_fitted_mm"] is None
    assert " of gasket when clamped" not in done.stdout


@pytest.mark.parametrize("text", [TILTED, TILTED.replace("0.96", "1.40"), TILTED.replace("right", "left")])
def test_the_chart_shows_mean_and_tight_place_or_that_there_is_none(text):
    found = answer(text, sheet("can", 0.09, 0.10, 0.11))
    said = [mark.text for mark in squish_chart(found).marks if isinstance(mark, Words)]

    assert "under floor" in said
    assert sum(one in [choice.words for choice in found.choices] for one in said) == len(found.choices)
    assert (f"none: {found.verdict.value}" in said) is not bool(found.choices)


def test_metal_that_nobody_could_take_off_is_not_asked_for():
    # Found: front 0.92 and rear 1.12 over 0.50, target 0.508: "take off 0.01 mm at the base".
    found = answer(
        'readings = [{ at = "front", value = "0.92 mm" }, { at = "rear", value = "1.12 mm" }]\n'
        "gasket_present = 0.50\ntarget = 0.508\nleast = 0.40",
        sheet("paper", 0.09, 0.10, 0.11),
    )

    says = answer_lines(found)[0]
    (odds,) = [one.found for one in found.findings if one.unit == "share"]
    assert odds is not None
    assert "take off" not in says
    assert f"bare it has the target, but with a chance of {odds:.1%} to be under your floor" in says
    assert squish_data(found)["verdict"] == "not safe"
