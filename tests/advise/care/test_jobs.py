"""Each job's interval: where it comes from, and what the record may call for."""

from datetime import timedelta

import numpy as np
import pytest

from leafgill.advise.care import State, care_of
from leafgill.advise.care.checker import checker_job
from leafgill.advise.care.counter import counter_job, gas_g_per_day
from leafgill.advise.care.diffuser import diffuser_job
from leafgill.advise.care.electrode import LATEST, TOLERATED_PH, buffer_errors, electrode_job
from leafgill.advise.care.hardness import hardness_job
from leafgill.advise.care.job import LAW, RECORD, USUAL
from leafgill.advise.care.line import check_valve_job, hose_job, leak_job
from leafgill.advise.care.stamp import stamp_job, stamped
from leafgill.answer.figures import plain
from leafgill.estimate.belief import Misfit

PROBE = tuple((24.0 * d + 6.0, "ph_probe", 6.9) for d in range(1, 20, 2))


def test_a_diary_without_work_has_the_habits_of_the_trade(known_of):
    known = known_of(5)
    plan = care_of(known.tank, known.diary, known.belief, known.now)
    keys = {job.key for job in plan.jobs}
    assert keys == {"water_change", "kh", "filter", "trim", "diffuser", "counter", "check_valve",
                    "hose", "leak", "stamp", "weigh", "checker"}  # fmt: skip
    filters = plan.job("filter")
    assert (filters.basis, filters.days, filters.due.state) == (USUAL, 42, State.NEVER)
    assert filters.every.source.endswith("no source")
    assert len({figure.key for figure in plan.figures}) == len(plan.figures)


def test_an_electrode_s_job_is_there_where_there_is_one(known_of):
    known = known_of(20, *PROBE)
    plan = care_of(known.tank, known.diary, known.belief, known.now)
    assert plan.job("electrode").every.high <= LATEST


def test_a_habit_is_drawn_to_the_keeper_s_own(known_of):
    weekly = [(24.0 * d, "water_change", 30.0, "%") for d in (2, 5, 8, 11, 14, 17)]
    known = known_of(20, *weekly)
    job = care_of(known.tank, known.diary, known.belief, known.now).job("water_change")
    assert job.basis == RECORD
    assert job.days < 7
    assert job.last_done == known.diary.of("water_change")[-1].time
    assert job.earliest < job.last_done + timedelta(days=job.every.value) < job.latest


def test_what_is_due_comes_first_and_what_is_called_for_before_it(known_of):
    rows = [(1.0, "water_change", 30.0, "%"), (2.0, "care", "leak test"),
            (24.0 * 10, "note", "", "", "new cylinder put on")]  # fmt: skip
    known = known_of(20, *rows)
    plan = care_of(known.tank, known.diary, known.belief, known.now)
    assert plan.jobs[0].key == "leak"
    assert "no leak test since" in plan.jobs[0].called
    assert plan.jobs[1].key == "water_change"
    assert plan.jobs[1].due.state is State.OVERDUE


# -- electrode


def test_buffers_that_were_read_before_setting_are_understood(known_of):
    known = known_of(
        20, *PROBE, (10.0, "calibration", "7.00/4.00"),
        (400.0, "calibration", "7.00/4.00", "", "showed 7.06 in 7.00, read 4.05 in 4.01"),
    )  # fmt: skip
    assert [round(error, 2) for _, error in buffer_errors(known)] == [0.06, 0.04]


def test_drift_in_the_buffers_sets_the_interval(known_of):
    def job(shown):
        return electrode_job(
            known_of(20, *PROBE, (10.0, "calibration", "7.00"),
                     (370.0, "calibration", "7.00", "", f"showed {shown} in 7.00"), width=1.0)
        )  # fmt: skip

    steady, drifting = job("7.00"), job("7.20")
    assert drifting.basis == steady.basis == RECORD
    # 0.2 in 15 days, and 0.1 is tolerated
    assert drifting.every.value == pytest.approx(TOLERATED_PH / (0.2 / 15.0), rel=0.25)
    assert steady.every.value > 3.0 * drifting.every.value


def test_without_drift_seen_the_prior_is_named_as_that(known_of):
    job = electrode_job(known_of(20, *PROBE, width=1.0))
    assert job.basis == USUAL
    assert "prior" in job.every.source
    assert job.every.value == pytest.approx(TOLERATED_PH / (0.6745 * 0.006), rel=0.3)


def test_an_electrode_that_is_off_is_called_for(known_of):
    job = electrode_job(known_of(20, *PROBE, shift={"probe_offset": 4.0}))
    assert job.called.startswith("it seems to show +0.2")
    assert job.due.state is State.TODAY


# -- drop checker


def test_a_colour_that_does_not_fit_shortens_the_checker(known_of, start):
    rows = [(1.0, "care", "drop checker refilled")]
    rows += [(24.0 * d + 7.0, "drop_checker", "green") for d in (2, 9, 14)]
    at = start + timedelta(days=14, hours=7)
    fits = checker_job(known_of(20, *rows))
    misfit = Misfit(at, "drop_checker", "green", 4.0, "green does not fit")
    wrong = checker_job(known_of(20, *rows, misfits=(misfit,)))
    assert wrong.every.value < 0.85 * fits.every.value
    assert "green on 17 Mar does not fit" in wrong.called
    assert wrong.due.state is State.TODAY
    assert fits.called == ""


# -- counter


def test_the_counter_dries_out_by_the_water_in_the_gas(known_of):
    """Saturated vapour at the room's 20 °C is 17.3 g/m³ (steam tables, from memory)."""
    known = known_of(5, width=0.02, sections={"rig": {"working_pressure_bar": 1.0}})
    grams = float(np.median(gas_g_per_day(known)))
    volume = known.belief.problem.value(known.belief.z, "bubble_mass")
    assert grams == pytest.approx(2.0 * np.median(volume) * 1e-3 * 9 * 3600, rel=0.15)
    job = counter_job(known)
    litres = grams / 1.83 / (2.0133 / 1.01325)  # 1.83 g/L at 1 atm and 20 °C
    assert job.told[0].value == pytest.approx(litres * 0.0173 * 0.8, rel=0.12)
    assert job.basis == LAW
    assert job.every.low < job.every.value < job.every.high


def test_more_gas_dries_it_faster_and_oil_never(known_of):
    few = counter_job(known_of(5, sections={"rig": {"working_pressure_bar": 1.0}}))
    squeezed = counter_job(known_of(5, sections={"rig": {"working_pressure_bar": 3.0}}))
    assert squeezed.every.value > few.every.value
    thick = counter_job(known_of(5, sections={"rig": {"counter_liquid": "glycerol"}}))
    assert thick.every.value == pytest.approx(365.0, rel=0.02)
    assert "does not dry" in thick.reason


# -- check valve, hose, joints, stamp


def test_water_behind_the_check_valve_shortens_it(known_of):
    rows = [(1.0, "care", "check valve replaced"), (24.0 * 18, "note", "", "", "check valve wet")]
    job = check_valve_job(known_of(20, *rows))
    assert job.called == "found wanting on 21 Mar, by the diary"
    assert job.due.state is State.TODAY
    assert "water was found behind it 1 times" in job.reason
    again = [(24.0 * 19, "care", "check valve replaced"), (24.0 * 36, "care", "check valve leaks")]
    twice = check_valve_job(known_of(40, *rows, *again))
    assert twice.basis == RECORD
    assert twice.every.value < 0.5 * check_valve_job(known_of(5)).every.value


def test_a_hose_by_what_it_is_made_of(known_of):
    silicone = hose_job(known_of(5, sections={"rig": {"hose": "silicone"}}))
    polyurethane = hose_job(known_of(5, sections={"rig": {"hose": "polyurethane"}}))
    assert silicone.every.value < 0.5 * polyurethane.every.value
    assert silicone.told[0].value > 20.0 * polyurethane.told[0].value


def test_the_leak_test_is_never_put_off_beyond_a_quarter(known_of):
    assert leak_job(known_of(5)).every.value == pytest.approx(90.0, rel=0.01)
    tested = leak_job(known_of(5, (2.0, "care", "leak test")))
    assert (tested.called, tested.due.state) == ("", State.LATER)


@pytest.mark.parametrize(
    ("words", "month"),
    [("cylinder stamped 2023-05", "2023-05"), ("cylinder test date 05/2021", "2021-05"),
     ("cylinder tested 3/19", "2019-03"), ("cylinder looked at", None),
     ("tank set up 2023-05", None)],
)  # fmt: skip
def test_the_month_on_the_cylinder(known_of, words, month):
    found = stamped(known_of(5, (3.0, "note", "", "", words)))
    assert (None if found is None else f"{found:%Y-%m}") == month


def test_the_test_of_a_cylinder_by_both_rules(known_of):
    fresh = stamp_job(known_of(5, (3.0, "note", "", "", "cylinder stamped 2023-05")))
    assert "due May 2028 by a rule of 5 years, May 2033" in fresh.reason
    assert fresh.due.state is State.LATER
    past = stamp_job(known_of(5, (3.0, "note", "", "", "cylinder stamped 2019-03")))
    assert past.due.state is State.OVERDUE
    assert "ask the supplier" in past.called
    assert stamp_job(known_of(5)).due.state is State.NEVER


# -- KH


def test_kh_is_tested_as_often_as_it_drifts(known_of):
    more = ((24.0 * 10, "kh", 4.0), (24.0 * 18, "kh", 4.0))
    still = hardness_job(known_of(20, *more))
    moving = hardness_job(known_of(20, *more, shift={"alkalinity_trend": 4.0}))
    assert moving.every.value == pytest.approx(0.10 / 0.016, rel=0.2)
    assert still.every.value > 3.0 * moving.every.value


def test_much_new_water_calls_for_a_test(known_of):
    rows = [(24.0 * d, "water_change", 30.0, "%") for d in (3, 6)]
    assert hardness_job(known_of(8, *rows)).called == "51 % of the water is new since the last test"
    assert hardness_job(known_of(8, rows[0])).called == ""


def test_the_diffuser_by_habit_until_the_record_tells(known_of):
    job = diffuser_job(known_of(5, (2.0, "care", "diffuser cleaned")))
    assert job.last_done is not None
    assert job.every.unit == "days"
    assert plain(job.every.value) > 0.0
    assert job.told == () or job.told[0].key == "diffuser_lost_share"
