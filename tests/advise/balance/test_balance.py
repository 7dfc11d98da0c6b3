"""The whole answer on an invented tank."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from leafgill.advise.balance import balance_of
from leafgill.advise.balance.dose import plan_of
from leafgill.advise.balance.season import season_of
from leafgill.advise.figure import Figure
from leafgill.diary import Diary, Entry
from leafgill.tank.spec import Tank

ALL = ("light", "carbon", "nitrate", "phosphate", "potassium", "calcium", "magnesium", "iron",
       "manganese", "zinc", "boron", "copper", "molybdenum")  # fmt: skip


@pytest.fixture(scope="module")
def balance(kept_tank, kept_diary, kept_belief):
    return balance_of(kept_tank, kept_diary, kept_belief, kept_belief.now)


def figures(thing):
    if isinstance(thing, Figure):
        yield thing
    elif isinstance(thing, tuple):
        for part in thing:
            yield from figures(part)
    elif hasattr(thing, "__dataclass_fields__") and not isinstance(thing, Tank):
        for name in thing.__dataclass_fields__:
            if name not in ("belief", "tank"):
                yield from figures(getattr(thing, name))


def test_every_figure_opens(balance):
    found = list(figures(balance))
    assert len(found) > 100
    for one in found:
        assert one.formula, one.key
        assert one.source, one.key
        assert one.label, one.key
        assert np.isfinite(one.value), one.key
        if one.low is not None:
            assert one.low <= one.value <= one.high, one.key


def test_limits_are_all_there_and_those_nothing_speaks_of_stand_behind(balance):
    assert sorted(one.key for one in balance.limits) == sorted(ALL)
    known = [one.key in ("light", "carbon") or one.known for one in balance.limits]
    assert known == sorted(known, reverse=True)
    chances = [one.chance.value for one in balance.limits if one.known]
    assert chances == sorted(chances, reverse=True)
    assert balance.limiting is balance.limits[0]
    contend = [one for one in balance.limits if one.key in ("light", "carbon") or one.known]
    assert sum(one.chance.value for one in contend) == pytest.approx(100.0, abs=0.5)
    for one in balance.limits:
        assert 0.0 <= one.fullness.low <= one.fullness.high <= 100.0


def test_growth_is_the_belief_s_carbon(balance, kept_belief):
    # 8 h of light, 100 L: what the belief's plants fix in a day, as carbon
    rate = np.median(kept_belief.draws.uptake_mg_l_h)
    assert 0.02 * rate < balance.carbon.value < 8.0 * rate * 100.0 * 1e-3 * 12.011 / 44.01
    # dry plant is about three times its carbon, less what is breathed away
    assert balance.growth.value == pytest.approx(7.0 * balance.carbon.value * 0.7 / 0.38, rel=0.1)


def test_an_outlook_runs_from_the_diary_to_the_last_week(balance):
    one = balance.nutrient("nitrate")
    assert one.times_s.size == one.as_now.mean.size == one.dosed.low.size
    now_s = balance.now.timestamp()
    assert one.times_s[one.past - 1] == now_s
    assert one.times_s[-1] == pytest.approx(now_s + 28.0 * 86400.0)
    assert np.diff(one.times_s) == pytest.approx(86400.0)
    past = slice(None, one.past)
    assert one.as_now.mean[past] == pytest.approx(one.dosed.mean[past])
    assert (one.as_now.low <= one.as_now.high).all()
    assert one.now.low == pytest.approx(one.as_now.low[one.past - 1])
    assert [test.fits for test in one.tests] == [True, True, True]
    with pytest.raises(KeyError):
        balance.nutrient("gold")


def test_a_week_s_flows_are_those_of_the_diary(balance):
    week = {one.key.removeprefix("nitrate_"): one.value for one in balance.nutrient("nitrate").week}
    # 1 g of KNO3 in 100 L a week is 6.13 mg/L; one dose in twenty is forgotten
    assert week["dose_mg_l_week"] == pytest.approx(6.13 * 0.95, rel=0.1)
    assert week["plants_mg_l_week"] < 0.0
    # 0.3 g of food at 7 % nitrogen, seven tenths of it released
    assert week["food_mg_l_week"] == pytest.approx(0.3 * 70.0 * 0.7 * 4.4266 * 7 / 100, rel=0.3)
    iron = {one.key: one.value for one in balance.nutrient("iron").week}
    assert iron["iron_food_mg_l_week"] == 0.0


def test_a_test_that_does_not_fit_is_named(kept_tank, kept_diary, kept_belief, start):
    odd = Entry(start + timedelta(days=13.1), "test", 0.0, "mg/L", "nitrate")
    rows = [Entry(start + timedelta(days=d), "test", 20.0, "mg/L", "nitrate, photometer")
            for d in (12.0, 12.5, 14.0, 14.5)]  # fmt: skip
    diary = Diary([*kept_diary.entries, odd, *rows], timezone="UTC")
    season = season_of(kept_tank, diary, kept_belief, 1, count=400)
    from leafgill.advise.balance.outlook import outlook_of

    steps = season.ahead.grid.edges_s.size - 1
    one = outlook_of(season, "nitrate", np.zeros(steps))
    assert [test.value_mg_l for test in one.tests if not test.fits] == [0.0]


def test_doses_keep_the_likely_course_between_floor_and_ceiling(balance):
    for key in ("nitrate", "phosphate", "potassium", "magnesium", "iron"):
        one = balance.nutrient(key)
        middle = one.dosed.mean[-8:]
        assert middle.min() > one.target.floor_mg_l, key
        assert middle.max() < one.target.ceiling_mg_l, key
    assert not balance.plan.assumed
    for dose in balance.plan.doses:
        assert dose.each.value > 0.0
        assert dose.a_week in (1, 2, 3, 7)
        assert dose.unit == ("mL" if dose.is_bottle else "g")
        for key, adds in dose.gives:
            target = balance.nutrient(key).target
            step = (target.ceiling_mg_l - target.floor_mg_l) * 0.25
            assert dose.a_week == 7 or adds <= 1.1 * step, (dose.what, key)


def test_water_already_full_of_it_gets_none(kept_tank, kept_diary, kept_belief, start):
    rows = [Entry(start + timedelta(days=d), "test", 80.0, "mg/L", "nitrate, photometer")
            for d in (16.0, 18.0, 20.0, 21.5)]  # fmt: skip
    diary = Diary([*kept_diary.entries, *rows], timezone="UTC")
    plan, adds = plan_of(season_of(kept_tank, diary, kept_belief, 4, count=400))
    assert adds["nitrate"].sum() < 1.0
    assert "KNO3" not in [dose.what for dose in plan.doses]


def test_without_salts_usual_ones_are_shown_and_said_to_be(make_tank, kept_diary, kept_belief):
    plan, _ = plan_of(season_of(make_tank(), kept_diary, kept_belief, 2, count=300))
    assert plan.assumed
    assert "the tank file names no salts or bottles: usual salts are shown" in plan.reasons


def test_what_nothing_at_hand_gives_is_said_to_lack(make_tank, kept_diary, kept_belief):
    tank = make_tank(salts={"kept": ["KNO3"]})
    plan, _ = plan_of(season_of(tank, kept_diary, kept_belief, 4, count=300))
    assert "iron" in plan.lacking
    assert not plan.assumed


def test_more_light_asks_for_more_gas_and_no_more_than_it_gives(balance):
    factors = [step.factor for step in balance.light_up]
    assert factors == [1.25, 1.5, 2.0]
    gas = [step.gas.value for step in balance.light_up]
    assert gas == sorted(gas)
    assert gas[0] > 0.0
    uptake = [step.uptake.value for step in balance.light_up]
    assert uptake == sorted(uptake)
    co2 = [step.co2_if_unchanged.value for step in balance.light_up]
    assert co2 == sorted(co2, reverse=True)
    for step in balance.light_up:
        assert 0.0 <= step.growth.value <= 100.0 * (step.factor - 1.0) + 1e-6


def test_other_hours_are_tried(balance):
    days = {day.key: day for day in balance.days}
    assert set(days) == {"now", "shorter", "longer", "pause"}
    assert days["now"].against_now.value == 0.0
    assert days["shorter"].against_now.value < -10.0
    assert days["longer"].against_now.value > 5.0
    pause = days["pause"]
    assert len(pause.light) == 2
    assert sum(window.hours for window in pause.light) == pytest.approx(8.0)
    assert pause.words == "a dark pause of 3 h: 08:30-12:30 and 15:30-19:30"
    assert abs(pause.against_now.value) < 15.0
    for day in balance.days:
        assert day.possible == day.reason.startswith("within the animals' limit")


def test_a_limit_the_gas_would_pass_is_not_advised(kept_tank, kept_diary, kept_belief):
    tight = replace(kept_tank, livestock=replace(kept_tank.livestock, co2_limit_mg_l=24.0))
    found = balance_of(tight, kept_diary, kept_belief, kept_belief.now, weeks=1)
    assert not any(day.possible for day in found.days)
    assert "CO2 would pass 24 mg/L" in found.days[0].reason


def test_without_light_nothing_is_tried(make_tank, make_diary, make_belief):
    tank = make_tank(day={"lights_on": "10:00", "lights_off": "10:00"})
    diary = make_diary((0.0, "kh", 4.0))
    belief = make_belief(tank, diary, 60.0)
    found = balance_of(tank, diary, belief, belief.now, weeks=1)
    assert found.light_up == found.days == ()
    assert found.carbon.value == 0.0
    assert found.light.ppfd is None
    assert "no hours of light are known: growth cannot be told" in found.cautions


def test_a_lamp_gives_an_interval_and_a_measured_light_a_closer_one(make_tank, kept_belief):
    from leafgill.advise.balance.light_now import light_now

    lamp = light_now(make_tank(lamp={"power_w": 40}), kept_belief)
    measured = light_now(make_tank(lamp={"power_w": 40}, plants={"light_ppfd": 60}), kept_belief)
    assert (lamp.measured, measured.measured) == (False, True)
    assert measured.ppfd.value == 60.0
    assert lamp.ppfd.high / lamp.ppfd.low > 2.0 * measured.ppfd.high / measured.ppfd.low
    # 60 µmol/m²/s for 8 h
    assert measured.daily.value == pytest.approx(1.728)


def test_unreadable_doses_and_assumptions_are_told(kept_tank, kept_diary, kept_belief, start):
    odd = Entry(start + timedelta(days=2), "dose", 5.0, "mL", "green juice")
    diary = Diary([*kept_diary.entries, odd], timezone="UTC")
    found = balance_of(kept_tank, diary, kept_belief, kept_belief.now, weeks=1)
    assert any("1 dose not counted (mL, green juice)" in line for line in found.cautions)
    assert any(line.startswith("tap water as is usual for calcium") for line in found.assumed)


@pytest.mark.parametrize("weeks", [0, 27])
def test_weeks_out_of_reach_are_refused(kept_tank, kept_diary, kept_belief, weeks):
    with pytest.raises(ValueError, match="accepted: 1 to 26"):
        balance_of(kept_tank, kept_diary, kept_belief, kept_belief.now, weeks)


def test_another_moment_than_the_belief_s_is_refused(kept_tank, kept_diary, kept_belief):
    with pytest.raises(ValueError, match="the belief is of"):
        balance_of(kept_tank, kept_diary, kept_belief, kept_belief.now + timedelta(days=1))
