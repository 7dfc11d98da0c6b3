"""Clues from a tank's record: each told where the record tells, and not known where it does not."""

from datetime import datetime, timedelta
from types import SimpleNamespace
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from leafgill.advise.care import CarePlan, Job
from leafgill.advise.care.job import RECORD, due_of
from leafgill.advise.drawn import figure
from leafgill.advise.trouble import CAUSES, SYMPTOMS, clues_of, rank, trouble_of
from leafgill.advise.trouble.clue import part
from leafgill.advise.trouble.made import over
from leafgill.advise.trouble.record import record_of
from leafgill.diary import Diary, Entry
from leafgill.errors import InputError
from leafgill.estimate.belief import Misfit
from leafgill.science.cited import Range

START = datetime(2025, 3, 3, 8, tzinfo=ZoneInfo("UTC"))
BASE = (
    (0.0, "light_day", "10:00-18:00"),
    (0.0, "kh", 4.0),
    (1.0, "gas_day", "09:00-18:00"),
    (1.0, "bubble_rate", 4.0),
)
STRONG = {"bubble_mass": 2.5}


@pytest.fixture(scope="module")
def ask(make_tank, make_belief):
    """Return a maker of clues at so many hours, of rows and a belief by the prior."""
    start = START

    def clues(hours, *rows, sections=None, balance=None, care=None, **how):
        tank = make_tank(**(sections or {}))
        entries = [
            Entry(start + timedelta(hours=at), kind, *rest)
            for at, kind, *rest in sorted((*BASE, *rows), key=lambda row: row[0])
        ]
        diary = Diary(entries).localised("UTC")
        belief = make_belief(tank, diary, hours, **how)
        now = start + timedelta(hours=hours)
        return clues_of(tank, diary, belief, now, balance, care or CarePlan(now, ()))

    return clues


def test_every_clue_a_cause_names_is_worked_out_and_no_other(ask):
    found = ask(75.0)
    assert set(found) == {link.clue for cause in CAUSES.values() for link in cause.links}
    for clue in found.values():
        assert clue.chance is None or 0.0 <= clue.chance <= 1.0
        assert clue.known or clue.ask, clue.key


def test_of_draws_nothing_is_ever_quite_sure():
    assert part(np.zeros(98, bool)) == pytest.approx(0.01)
    assert part(np.ones(98, bool)) == pytest.approx(0.99)


def test_an_empty_record_tells_little(ask):
    found = ask(0.6)
    known = {key for key, clue in found.items() if clue.known}
    assert "o2_low_dawn" not in known
    assert "co2_low_lit" not in known
    assert not known & {"nitrate_low", "phosphate_low", "ammonia_toxic", "nitrite_high",
                        "changes_rare", "filter_old", "young", "gauge_low"}  # fmt: skip


# -- CO2 and oxygen


def test_too_much_co2_under_light_and_too_little(ask):
    much = ask(79.0, shift=STRONG)
    little = ask(79.0, shift={"bubble_mass": -2.0})
    assert much["co2_high_lit"].chance > 0.9
    assert little["co2_high_lit"].chance < 0.05
    assert little["co2_low_lit"].chance > 0.9
    assert much["co2_low_lit"].chance < 0.05
    figure = much["co2_high_lit"].figures[0]
    assert figure.unit == "mg/L"
    assert figure.low < figure.value < figure.high
    assert figure.inputs[0].value == 30.0


def test_the_night_is_the_one_before_the_last_light(ask):
    """Much breath, a calm surface: oxygen is gone by the morning."""
    poor = ask(75.0, shift={"respiration": 2.5, "exchange": -1.5, "uptake": -2.0})
    rich = ask(75.0, shift={"respiration": -2.0, "exchange": 1.0})
    assert poor["o2_low_dawn"].chance > 0.9
    assert rich["o2_low_dawn"].chance < 0.05


def test_gas_that_runs_all_night_shows_before_dawn(ask):
    night = ((1.5, "gas_day", "18:30-09:30"),)
    found = ask(75.0, *night, shift=STRONG)
    assert found["co2_high_dawn"].chance > 0.9
    assert found["gas_at_night"].chance == 1.0
    day = ask(75.0, shift=STRONG)
    assert day["co2_high_dawn"].chance < 0.3
    assert day["gas_at_night"].chance == 0.0


def test_the_hours_before_dawn_count_and_not_the_last_minute(ask):
    """Gas until two hours before the light, and a surface that drives it off by then."""
    rows = ((1.5, "gas_day", "00:00-08:30"), (1.6, "bubble_rate", 12.0))
    found = ask(75.0, *rows, shift={**STRONG, "exchange": 1.5})
    assert found["co2_high_dawn"].chance > 0.9
    assert found["co2_high_lit"].chance < 0.5


def test_co2_that_comes_late_and_co2_that_is_there(ask):
    late = ask(79.0, (1.5, "gas_day", "10:00-18:00"), shift={**STRONG, "exchange": 1.0})
    early = ask(79.0, (1.5, "gas_day", "04:00-18:00"), shift=STRONG)
    assert late["co2_late"].chance > 0.9
    assert early["co2_late"].chance < 0.2


def test_days_that_differ(ask):
    rows = ((26.0, "bubble_rate", 6.0), (50.0, "bubble_rate", 1.0), (74.0, "bubble_rate", 6.0))
    assert ask(100.0, *rows)["co2_unsteady"].chance > 0.9
    assert ask(100.0, straying=0.0)["co2_unsteady"].chance < 0.5
    assert ask(32.0)["co2_unsteady"].chance is None


def test_oxygen_above_what_air_gives(ask):
    strong = {"uptake": 2.5, "bubble_mass": 2.0, "exchange": -1.0, "mixing": 3.0}
    assert ask(81.0, shift=strong)["o2_full"].chance > 0.9
    assert ask(81.0, shift={"uptake": -3.0})["o2_full"].chance < 0.05


def test_soft_water_and_water_that_drifts(ask):
    soft = ask(50.0, (2.0, "kh", 1.0), sections={"water": {"kh_dkh": 1.0}})
    assert soft["kh_low"].known
    assert ask(50.0)["kh_low"].chance < 0.05
    assert ask(50.0, shift={"alkalinity_trend": 4.0})["kh_drifts"].chance > 0.9


# -- the rig


def test_a_gauge_that_has_fallen_and_one_that_stands(ask):
    assert ask(50.0, (49.0, "cylinder_pressure", 30.0, "bar"))["gauge_low"].chance == 1.0
    assert ask(50.0, (49.0, "cylinder_pressure", 57.0, "bar"))["gauge_low"].chance == 0.0
    assert ask(400.0, (49.0, "cylinder_pressure", 30.0, "bar"))["gauge_low"].chance is None
    yeast = {"rig": {"source": "yeast"}}
    read = (49.0, "cylinder_pressure", 30.0, "bar")
    assert ask(50.0, read, sections=yeast)["gauge_low"].chance is None


def test_a_raise_of_the_last_days(ask):
    assert ask(60.0, (50.0, "bubble_rate", 6.0))["raised_lately"].chance == 1.0
    assert ask(160.0, (50.0, "bubble_rate", 6.0))["raised_lately"].chance == 0.0
    assert ask(60.0)["raised_lately"].chance is None


def test_readings_that_clash(ask, make_tank):
    at = datetime(2025, 3, 4, 8, tzinfo=ZoneInfo("UTC"))
    misfit = Misfit(at, "ph", "6.2", 5.0, "does not fit")
    assert ask(50.0, misfits=(misfit,))["readings_clash"].chance == 1.0
    assert ask(50.0)["readings_clash"].chance == 0.0


def test_gas_that_cannot_hold_the_target(ask):
    assert ask(50.0, shift={"bubble_mass": -2.0})["set_low"].chance > 0.9
    assert ask(50.0, shift=STRONG)["set_low"].chance < 0.2


def test_a_diffuser_nobody_cleaned_tells_nothing(ask):
    assert ask(200.0)["diffuser_clogged"].chance is None


def test_diffuser_and_electrode_as_the_work_on_them_has_it(ask):
    plan = care_with(lost=Range(0.3, 0.22, 0.4))
    assert ask(200.0, care=plan)["diffuser_clogged"].chance > 0.9
    assert ask(200.0, care=care_with(lost=Range(0.05, 0.03, 0.09)))["diffuser_clogged"].chance < 0.1
    unwashed = care_with(lost=Range(0.3, 0.22, 0.4), last=None)
    assert ask(200.0, care=unwashed)["diffuser_clogged"].chance is None
    off = ask(200.0, (30.0, "ph_probe", 6.9), care=plan, shift={"probe_offset": 4.0})
    assert off["electrode_off"].chance > 0.9
    assert ask(200.0, (30.0, "ph_probe", 6.9), care=plan)["electrode_off"].chance < 0.1


def care_with(lost, last=START):
    """A plan of two jobs, told as the work on them tells them."""
    days = figure("x_days", "days", 28.0, "days", "x", (), "x")
    told = {
        "diffuser": figure("diffuser_lost_share", "Lost", lost, "", "x", (), "x"),
        "electrode": figure("electrode_off_ph", "Off", 0.0, "pH", "x", (), "x"),
    }
    jobs = tuple(
        Job(key, key, "why", days, RECORD, "reason", "how", last, due_of(28.0, last, START),
            (shown,))
        for key, shown in told.items()
    )  # fmt: skip
    return CarePlan(START, jobs)


# -- tests of the water


@pytest.mark.parametrize(
    ("read", "low"), [(0.0, 0.95), (5.0, 0.5), (20.0, 0.02)]
)  # the floor is 5 mg/L
def test_nitrate_by_a_kit_and_its_error(ask, read, low):
    clue = ask(50.0, (48.0, "test", read, "mg/L", "nitrate"))["nitrate_low"]
    assert clue.chance == pytest.approx(low, abs=0.06)
    if read:
        assert clue.figures[0].low < read < clue.figures[0].high


def test_an_old_test_tells_nothing(ask):
    assert ask(400.0, (48.0, "test", 0.0, "mg/L", "nitrate"))["nitrate_low"].chance is None


def test_a_balance_wins_over_a_test(ask):
    found = ask(50.0, (48.0, "test", 20.0, "mg/L", "nitrate"), balance=Followed())
    # the floor of 5 mg/L lies at the low end of what the balance has
    assert found["nitrate_low"].chance == pytest.approx(0.05, abs=0.001)
    assert found["nitrate_high"].chance < 1e-3
    assert found["iron_low"].chance is None
    assert found["light_strong"].chance == 1.0


class Followed:
    """A balance that follows nitrate, and has the light from the lamp."""

    light = SimpleNamespace(ppfd=figure("ppfd", "Light", Range(140.0, 90.0, 200.0), "x", "x",
                                        (), "x"))  # fmt: skip

    def nutrient(self, key):
        now = figure("now", "Nitrate now", Range(8.0, 5.0, 12.0), "mg/L", "x", (), "x")
        return SimpleNamespace(now=now, known=key == "nitrate")


def test_a_figure_passes_a_bound_by_its_own_interval():
    shown = figure("x", "x", Range(10.0, 5.0, 40.0), "", "x", (), "x")
    assert over(shown, 10.0) == pytest.approx(0.5)
    assert over(shown, 5.0) == pytest.approx(0.95, abs=1e-4)
    assert over(shown, 40.0) == pytest.approx(0.05, abs=1e-4)
    with pytest.raises(ValueError, match="no interval"):
        over(figure("x", "x", 10.0, "", "x", (), "x"), 5.0)


def test_ammonia_by_ph_and_warmth(ask):
    test = (48.0, "test", 0.5, "mg/L", "ammonia")
    acid = ask(50.0, test, shift=STRONG)["ammonia_toxic"]
    assert acid.chance < 0.1  # at pH below 7 a hundredth of it is NH3 at most
    base = ask(50.0, test, sections={"water": {"kh_dkh": 18.0}}, shift={"kh": 2.0,
               "bubble_mass": -3.0, "respiration": -3.0})["ammonia_toxic"]  # fmt: skip
    assert base.chance > 3.0 * acid.chance
    assert ask(50.0)["ammonia_toxic"].chance is None


def test_nitrite_and_nitrate_against_phosphate(ask):
    assert ask(50.0, (49.0, "test", 1.0, "mg/L", "nitrite"))["nitrite_high"].chance > 0.95
    rows = ((48.0, "test", 2.0, "mg/L", "nitrate"), (48.0, "test", 2.0, "mg/L", "phosphate"))
    assert ask(50.0, *rows)["nitrate_short"].chance > 0.9
    assert ask(50.0, rows[0])["nitrate_short"].chance is None


# -- hours, work and words


def test_long_light_and_light_that_was_moved(ask):
    assert ask(50.0)["light_long"].chance == 0.0
    found = ask(50.0, (24.0, "light_day", "08:00-20:30"))
    assert found["light_long"].chance == 1.0
    assert found["light_moved"].chance == 1.0


def test_air_at_night(ask):
    assert ask(50.0)["no_air_at_night"].chance == 1.0
    assert ask(50.0, (20.0, "air_day", "18:00-09:00"))["no_air_at_night"].chance == 0.0
    assert ask(50.0, sections={"rig": {"night_air": True}})["no_air_at_night"].chance == 0.0


def test_water_changes_count_where_they_are_written_at_all(ask):
    assert ask(600.0)["changes_rare"].chance is None
    old = ask(600.0, (5.0, "water_change", 30.0, "%"))
    assert (old["changes_rare"].chance, old["changed_lately"].chance) == (1.0, 0.0)
    new = ask(600.0, (590.0, "water_change", 30.0, "%"))
    assert (new["changes_rare"].chance, new["changed_lately"].chance) == (0.0, 1.0)


def test_words_of_the_diary(ask):
    found = ask(
        50.0,
        (2.0, "note", "", "", "tank set up"),
        (30.0, "note", "", "", "new plants set in"),
        (31.0, "note", "", "", "medicine given"),
        (32.0, "care", "filter cleaned"),
    )
    assert found["young"].chance == 1.0
    assert found["new_plants"].chance == 1.0
    assert found["treated"].chance == 1.0
    assert found["filter_old"].chance == 0.0
    assert found["new_animals"].chance is None


def test_light_and_flow_of_the_description(ask):
    sections = {"plants": {"light_ppfd": 150.0}, "rig": {"filter_flow_l_h": 150.0}}
    found = ask(50.0, sections=sections)
    assert found["light_strong"].chance == 1.0
    assert found["flow_weak"].chance == 1.0
    assert ask(50.0)["light_strong"].chance is None
    slow = ask(50.0, (40.0, "note", "", "", "filter slow"))
    assert slow["flow_weak"].chance == 1.0


# -- all of it


def test_gasping_at_dawn_oxygen_or_co2(make_tank, make_diary, make_belief):
    """Two tanks whose fish gasp in the morning, each with its own cause."""
    tank = make_tank()
    day = make_diary(*BASE)
    poor = make_belief(tank, day, 75.0, shift={"respiration": 2.5, "exchange": -1.5,
                                               "uptake": -2.0, "bubble_mass": -3.0})  # fmt: skip
    found = trouble_of(tank, day, poor, poor.now, "gasping-at-dawn")
    assert (found.first.cause.key, found.verdict) == ("o2_dawn", "known")
    night = make_diary(*BASE, (1.5, "gas_day", "18:30-09:30"))
    rich = make_belief(tank, night, 75.0, shift={**STRONG, "respiration": -2.0})
    clues = clues_of(tank, night, rich, rich.now, care=CarePlan(rich.now, ()))
    found = rank(SYMPTOMS["gasping-at-dawn"], clues)
    assert (found.first.cause.key, found.verdict) == ("co2_dawn", "known")
    with pytest.raises(InputError, match="not known"):
        trouble_of(tank, day, poor, poor.now, "the cat")


def test_what_is_after_now_is_not_used(make_tank, make_diary, make_belief):
    tank = make_tank()
    rows = (*BASE, (80.0, "water_change", 50.0))
    diary = make_diary(*rows)
    belief = make_belief(tank, make_diary(*BASE), 75.0)
    record = record_of(tank, diary, belief, belief.now)
    assert record.diary.of("water_change") == []
    assert record.lit[-1][1] <= belief.now.timestamp()
