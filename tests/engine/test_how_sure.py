"""How sure a figure is, and what it hangs on: quantiles through the sums, and changes per 0.1 mm."""

from math import hypot

import pytest

from gasketcut import evaluate, parse_job
from gasketcut.engine.squish.effects import state_of
from gasketcut.engine.states.figures import figure_by_figure
from gasketcut.engine.states.planned import Stage
from gasketcut.engine.states.standing import NORMAL, as_fitted, as_measured, state_at
from gasketcut.job.model import Engine
from gasketcut.job.ports import PortTiming
from gasketcut.length import Measured
from tests.engine.test_one_after import ENGINE, WORK, answer

printed = 5e-7  # half of the last digit of the table of changes

E1 = Engine(bore=47.0, stroke=32.6, rod=59.2, chamber_cc=6.0, squish_band=6.0, rpm=9000, ports=(
    PortTiming(name="exhaust", kind="exhaust", duration=156.0),
    PortTiming(name="transfer", kind="transfer", duration=116.0),
    PortTiming(name="intake", kind="piston-port", duration=148.0),
))  # fmt: skip
E2 = Engine(bore=54.0, stroke=40.0, rod=70.0, chamber_cc=9.4, ports=(
    PortTiming(name="exhaust", kind="exhaust", duration=160.0),
    PortTiming(name="transfer", kind="transfer", duration=120.0),
))  # fmt: skip
E3 = Engine(bore=40.0, stroke=39.7, rod=85.0, chamber_cc=5.6, ports=(
    PortTiming(name="exhaust", kind="exhaust", duration=150.0),
    PortTiming(name="transfer", kind="transfer", duration=112.0),
))  # fmt: skip


def job_of(engine: Engine, squish: float) -> str:
    rows = [f'{one.name} = {{ kind = "{one.kind}", duration = "{one.duration} deg" }}' for one in engine.ports]
    return (
        f'units = "mm"\n[engine]\nbore = {engine.bore}\nstroke = {engine.stroke}\nrod = {engine.rod}\n'
        f"chamber_cc = {engine.chamber_cc}\n[engine.ports]\n"
        + "\n".join(rows)
        + f"\n[squish]\nmeasured = {squish}\ntarget = {squish}\ngasket_present = 0.5\n"
        '[[stock]]\nname = "sheet"\nthickness = 0.5\nfitted = [0.5, 0.5, 0.5]\n'
    )


# -- what 0.1 mm changes -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("engine", "squish", "changes"),
    [
        # Derived with 30 digits: the cylinder cut by 0.1 mm, a finite step and no slope.
        (E1, 0.70, (-0.765449, -0.979109, 0.106830, -0.173494, 0.218136)),
        (E2, 0.80, (-0.614318, -0.778315, 0.081999, -0.229022, 0.184996)),
        (E3, 0.90, (-0.638099, -0.805801, 0.083851, -0.125664, 0.162953)),
    ],
)
def test_a_tenth_less_under_the_cylinder_changes_what_the_sums_say(engine, squish, changes):
    found = answer(job_of(engine, squish)).sensitivity
    less = found.less
    assert less is not None

    assert found.per == 0.1
    assert (
        less.ports["exhaust"].duration,
        less.ports["transfer"].duration,
        less.blowdown,
        less.chamber_cc,
        less.trapped,
    ) == pytest.approx(changes, abs=printed)


def test_more_is_the_same_step_the_other_way():
    found = answer(ENGINE + WORK)
    more = found.sensitivity.more
    assert more is not None

    assert (more.fitted, more.squish) == pytest.approx((0.1, 0.1), abs=1e-12)
    assert more.chamber_cc == pytest.approx(3.14159265 / 4 * 44**2 * 0.1 / 1000, rel=1e-8)
    assert more.ports["exhaust"].travel == pytest.approx(-0.1, abs=1e-12)


def test_where_the_engine_does_not_survive_it_nothing_is_shown():
    text = job_of(E1, 0.70).replace("chamber_cc = 6.0", "chamber_cc = 0.15")
    found = answer(text).sensitivity

    assert found.less is None
    assert found.more is not None


# -- how sure ------------------------------------------------------------------------------------------------------


def test_two_readings_of_two_hundredths_each():
    # Derived: the mean of two readings, each +-0.02 (one standard deviation), is good to 0.0277 mm at 95 %.
    half = answer(ENGINE).before.plus_minus
    assert half is not None

    assert half.squish == pytest.approx(0.0277, abs=5e-5)


def test_as_measured_only_the_squish_is_unsure():
    state = state_at(E1, as_measured(Measured(0.5, 0.01), Measured(0.7, 0.02)))
    half = state.plus_minus
    assert half is not None

    assert half.fitted == pytest.approx(NORMAL * 0.01)
    assert half.squish == pytest.approx(NORMAL * 0.02)
    assert (half.chamber_cc, half.trapped, half.ports["exhaust"].duration) == (0, 0, 0)
    assert half.velocity.peak > 0


def test_figures_of_the_base_are_the_sums_at_its_quantiles():
    # The cylinder rises by the new gasket less the old one: 0.3 -0.04 +0.02, and 0.5 +- 1.96 x 0.02 taken away.
    old = NORMAL * 0.02
    state = state_at(E1, as_fitted((0.26, 0.3, 0.32), (0.42, 0.5, 0.57), Measured(0.5, 0.02), Measured(0.7, 0.015)))
    half = state.plus_minus
    low, high = (state_of(E1, 0.3, 0.5, by) for by in (-0.2 - hypot(0.04, old), -0.2 + hypot(0.02, old)))
    assert half is not None

    def wider(get):
        return max(abs(get(low) - get(state)), abs(get(high) - get(state)))

    assert (half.fitted, half.squish) == pytest.approx((0.04, 0.08))
    for get in (
        lambda one: one.chamber_cc,
        lambda one: one.trapped,
        lambda one: one.gauge_kpa[1],
        lambda one: one.blowdown,
        lambda one: one.ports["exhaust"].duration,
        lambda one: one.ports["intake"].opens,
    ):
        assert get(half) == pytest.approx(wider(get), rel=1e-9)


def test_the_velocity_is_unsure_by_the_base_and_by_the_readings():
    sure = ((0.3, 0.3, 0.3), Measured(0.5), Measured(0.7))
    by_base = state_at(E1, as_fitted((0.26, 0.3, 0.34), (0.46, 0.5, 0.54), sure[1], sure[2]))
    by_readings = state_at(E1, as_fitted(sure[0], (0.46, 0.5, 0.54), sure[1], Measured(0.7, 0.04 / NORMAL)))
    both = state_at(E1, as_fitted((0.26, 0.3, 0.34), (0.44, 0.5, 0.56), sure[1], Measured(0.7, 0.04 / NORMAL)))
    halves = [one.plus_minus.velocity.peak for one in (by_base, by_readings, both)]

    assert by_readings.plus_minus.chamber_cc == 0
    assert halves[2] == pytest.approx(hypot(halves[0], halves[1]), rel=1e-9)
    slow = state_of(E1, 0.3, 0.46, -0.2)
    assert halves[1] == pytest.approx(slow.velocity.peak - by_readings.velocity.peak, rel=1e-9)


def test_at_the_edge_of_what_an_engine_survives_no_plus_minus_is_given():
    thin = Engine(bore=47.0, stroke=32.6, rod=59.2, chamber_cc=0.4)
    state = state_at(thin, as_fitted((0.1, 0.3, 0.5), (0.3, 0.5, 0.7), Measured(0.5), Measured(0.7)))

    assert state.chamber_cc is not None
    assert state.plus_minus is None


def test_the_work_takes_off_what_it_takes_off_however_thick_the_gasket_turns_out():
    # 165 deg are wanted of the likely gasket; the metal that this takes off is certain, the duration is not.
    found = answer(ENGINE + WORK)
    half, alone = found.after.plus_minus, found.gasket_only.plus_minus

    assert half.ports["exhaust"].duration == pytest.approx(alone.ports["exhaust"].duration, rel=0.1)
    assert half.ports["transfer"] == alone.ports["transfer"]


def test_readings_that_contradict_each_other_do_not_tell_how_sure_they_are():
    found = answer(ENGINE.replace("readings = [", 'readings = [{ at = "left", value = 1.32 }, '))

    assert found.agreement.is_refused
    assert (found.before.plus_minus, found.after.plus_minus) == (None, None)


# -- figure by figure ----------------------------------------------------------------------------------------------


def test_a_figure_that_one_state_lacks_has_no_difference():
    one, other = state_of(E1, 0.5, 0.7, 0.0), state_of(Engine(bore=47.0), 0.4, 0.6, -0.1)
    found = figure_by_figure(lambda a, b: b - a, one, other)

    assert (found.fitted, found.squish) == pytest.approx((-0.1, -0.1))
    assert (found.chamber_cc, found.gauge_kpa, found.ports) == (None, None, {})


def test_what_is_no_number_stays_what_it_is():
    state = state_of(E1, 0.5, 0.7, 0.0)

    assert figure_by_figure(lambda a: 2 * a, state).ports["intake"].by_crown is False


# -- side by side --------------------------------------------------------------------------------------------------


def test_choices_side_by_side_are_each_the_engine_that_they_make():
    found = answer(ENGINE + WORK)

    assert [one.choice for one in found.side_by_side] == list(found.choices[:4])
    assert found.side_by_side[0].after == found.after
    for one in found.side_by_side:
        assert one.after.fitted == one.choice.fitted[1]
        assert one.after.ports["exhaust"].duration == pytest.approx(165, abs=1e-6)


def test_a_choice_that_the_engine_does_not_survive_stands_without_figures():
    # Geometry: 0.5 mm less under a bore of 44 takes 0.76 cc away, 0.4 mm 0.61 cc.
    found = answer(ENGINE.replace("chamber_cc = 6.2", "chamber_cc = 0.70").replace("squish_band = 6.4\n", ""))

    assert [one.choice.words for one in found.side_by_side if one.after is None] == ["no gasket"]


WANTED = "target = 0.508\nleast = 0.40"


# -- stages --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("old", "new", "work", "stages"),
    [
        ("", "", "", [Stage.NOW, Stage.GASKET]),
        ("", "", WORK, [Stage.NOW, Stage.GASKET, Stage.WORK_TOO]),
        (WANTED, "target = 0.30\nleast = 0.25", "", [Stage.NOW, Stage.BASE_CUT]),
        (
            "target = 0.508\nleast = 0.40",
            "target = 0.80\nleast = 0.75",
            WORK,
            [Stage.NOW, Stage.SPACER, Stage.WORK_TOO],
        ),
        (WANTED, "target = 0.42\nleast = 0.25", "", [Stage.NOW, Stage.BARE]),
    ],
)
def test_the_stages_are_named_by_what_goes_under_the_cylinder(old, new, work, stages):
    found = answer(ENGINE.replace(old, new) + work)

    assert [stage for stage, _ in found.stages] == stages
    assert found.stages[0][1] is found.before
    assert found.stages[-1][1] is found.after


def test_a_gasket_by_hand_is_the_gasket():
    found = evaluate(parse_job(ENGINE), gasket=0.2).squish

    assert [stage for stage, _ in found.stages] == [Stage.NOW, Stage.GASKET]
    assert found.after.plus_minus.fitted == 0
