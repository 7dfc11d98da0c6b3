"""What is left, how long it lasts, whether some leaks: against cylinders whose truth is known."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from leafgill.advise.supply import supply
from leafgill.diary import Diary, Entry
from leafgill.errors import InputError

TARE = {"cylinder_tare_kg": 3.6}


@pytest.fixture(scope="module")
def weighed(make_world):
    world = make_world(weigh_every=14, rig=TARE)
    return world, supply(world.tank, world.diary, world.now)


def holds(known, truth):
    return known.low <= truth <= known.high


def test_a_weighed_cylinder_is_known_well(weighed):
    world, found = weighed
    assert holds(found.left_g, world.left_g)
    assert holds(found.use_g_day, world.use_g_day)
    assert holds(found.days, world.left_g / world.use_g_day)
    # a stamped tare and weighings leave a few per cent of the charge open
    assert found.left_g.high - found.left_g.low < 0.08 * world.charge_g
    assert not found.from_prior
    assert found.contradictions == () and found.oddities == ()


def test_days_are_the_gas_over_the_use(weighed):
    _, found = weighed
    stock = found.every
    assert stock.days == pytest.approx((stock.left_g - stock.empty_g) / stock.use_g_day)
    assert found.days.value == pytest.approx(float(np.median(stock.days)))
    assert stock.liquid_days.max() < stock.days.max()
    assert found.change_days.low <= found.days.low


def test_without_the_tare_a_weight_tells_what_goes(make_world, weighed):
    world = make_world(weigh_every=14, tells_filling=False, first_g=1400.0)
    found = supply(world.tank, world.diary, world.now)
    sure = weighed[1]
    assert holds(found.left_g, world.left_g) and holds(found.use_g_day, world.use_g_day)
    assert found.left_g.high - found.left_g.low > 4.0 * (sure.left_g.high - sure.left_g.low)
    # of the use it knows as much
    assert (found.use_g_day.high - found.use_g_day.low) < 1.5 * (
        sure.use_g_day.high - sure.use_g_day.low
    )
    assert found.helps[0].what.endswith("empty weight stamped on the cylinder")


def test_bubbles_alone_from_a_filling_on(make_world):
    world = make_world()
    found = supply(world.tank, world.diary, world.now)
    assert found.from_prior
    assert set(found.stocks) == {"bubbles", "all"}
    assert holds(found.left_g, world.left_g) and holds(found.use_g_day, world.use_g_day)
    assert found.use_g_day.high > 3.0 * found.use_g_day.low


def test_while_there_is_liquid_the_gauge_says_only_that(make_world):
    world = make_world(gauge_every=14, tells_filling=False)
    found = supply(world.tank, world.diary, world.now, room_c=21.0)
    by_gauge, by_bubbles = found.stocks["gauge"], found.stocks["bubbles"]
    assert holds(found.left_g, world.left_g)
    # at least the last liquid, and for the rest as wide as before
    last = float(np.median(by_gauge.last_liquid_g))
    assert np.quantile(by_gauge.left_g, 0.05) > 0.75 * last
    assert np.quantile(by_bubbles.left_g, 0.05) < 0.6 * last
    assert np.quantile(by_gauge.left_g, 0.95) > 0.9 * np.quantile(by_bubbles.left_g, 0.95)


def test_when_the_liquid_has_gone_the_gauge_tells_the_mass(make_world):
    world = make_world(first_g=620.0, tells_filling=False, gauge_every=14, days=84)
    assert world.left_g < 0.5 * 2.8 * 203.0  # well below the last liquid at 21 °C
    found = supply(world.tank, world.diary, world.now, room_c=21.0)
    assert holds(found.left_g, world.left_g)
    assert found.left_g.high - found.left_g.low < 0.2 * world.charge_g
    assert found.every.still_liquid < 0.05


def test_the_rooms_warmth_matters_to_the_gauge(make_world):
    # 50 bar is all liquid in a room of 14 °C and gas in one of 25
    world = make_world(tells_filling=False)
    world.diary.add(Entry(world.now, "cylinder_pressure", 50.0))
    cold = supply(world.tank, world.diary, world.now, room_c=14.0)
    warm = supply(world.tank, world.diary, world.now, room_c=25.0)
    assert cold.every.still_liquid > 0.6 > 0.1 > warm.every.still_liquid
    assert cold.left_g.value > 1.5 * warm.left_g.value


def test_a_refill_begins_anew(make_world):
    world = make_world(weigh_every=14, rig=TARE)
    at = world.now + timedelta(days=1)
    diary = Diary([*world.diary.entries, Entry(at, "care", "cylinder refilled")], timezone="UTC")
    found = supply(world.tank, diary, at + timedelta(hours=1))
    # the old weights still tell the use, and the cylinder is full
    assert found.left_g.low > 0.9 * world.charge_g
    assert holds(found.use_g_day, world.use_g_day)
    assert found.use_g_day.high / found.use_g_day.low < 2.5
    assert found.from_prior


def test_a_leak_shows_between_weighings_with_the_gas_off(make_world):
    # the gas is off for two weeks and the cylinder gets lighter all the same
    world = make_world(weigh_every=7, rig=TARE, days=28)
    end = world.now
    rows = [*world.diary.entries, Entry(end, "gas_day", "off")]
    for week in (1, 2):
        shown = round(world.tare_g + world.left_g - week * 7 * 4.0)
        rows.append(Entry(end + timedelta(days=7 * week), "cylinder_mass", float(shown), "g",
                          "regulator off"))  # fmt: skip
    diary = Diary(rows, timezone="UTC")
    found = supply(world.tank, diary, end + timedelta(days=14, hours=1))
    assert found.leak.likely and found.leak.chance > 0.95
    assert found.leak.if_any_g_day is not None and holds(found.leak.if_any_g_day, 4.0)


def test_no_leak_is_seen_where_there_is_none(weighed):
    _, found = weighed
    assert found.leak.chance < 0.2
    assert not found.leak.spoken_of
    assert found.leak.gone_g is not None and found.leak.counted_g is not None
    assert found.leak.days == pytest.approx(42.0)


def test_a_known_tip_turns_a_large_loss_into_a_suspicion(make_world):
    # bubbles of 46 µL in a 2 mm tip can carry no 60 g a day
    tip = {"counter_tip_mm": 2.0, "counter_liquid": "water", "diffuser_bar": 0.5, **TARE}
    honest = make_world(weigh_every=7, bubble_mg=0.1, rig=tip, days=28)
    leaky = make_world(weigh_every=7, bubble_mg=0.1, leak_g_day=20.0, rig=tip, days=28)
    chances = [supply(w.tank, w.diary, w.now).leak.chance for w in (honest, leaky)]
    assert chances[0] < 0.2 < 0.5 < chances[1]


def test_readings_that_contradict_each_other_are_not_averaged(make_world):
    # the scale says nearly full, the gauge says nearly empty
    world = make_world(weigh_every=14, rig=TARE)
    for hours in (0.2, 0.3, 0.4):
        at = world.now + timedelta(hours=hours)
        world.diary.add(Entry(at, "cylinder_pressure", 12.0, "", "room 21 °C"))
    found = supply(world.tank, world.diary, world.now + timedelta(hours=1), room_c=21.0)
    pairs = {(pair.one, pair.other) for pair in found.contradictions}
    assert ("scale", "gauge") in pairs
    scale, gauge = found.stocks["scale"], found.stocks["gauge"]
    assert np.median(scale.left_g) > 5.0 * np.median(gauge.left_g)
    # the interval reaches over both, and the refill is planned by the lesser
    assert found.left_g.low <= np.quantile(gauge.left_g, 0.05) + 1e-6
    assert found.left_g.high >= np.quantile(scale.left_g, 0.95) - 1e-6
    assert found.days.low <= np.quantile(gauge.days, 0.05) + 1e-6


def test_a_weight_that_fits_nothing_is_named(make_world):
    world = make_world(weigh_every=7, rig=TARE, days=35)
    wrong = Entry(world.now, "cylinder_mass", 5900.0, "g", "regulator off")
    heavy = world.tare_g + world.left_g
    assert wrong.number > heavy + 30.0
    # a slip below, since one above would be another cylinder
    slip = Entry(world.now - timedelta(days=10), "cylinder_mass", 4000.0, "g", "regulator off")
    world.diary.add(slip)
    found = supply(world.tank, world.diary, world.now)
    assert any("4000 g" in odd.what for odd in found.oddities)


def test_a_cylinder_too_heavy_for_its_charge_is_named(make_world):
    world = make_world(tells_filling=False, charge_g=95.0, tare_g=5000.0, first_g=90.0,
                       bubble_mg=0.001, weigh_every=42)  # fmt: skip
    found = supply(world.tank, world.diary, world.now)
    assert found.oddities


def test_an_empty_diary_is_answered_from_what_such_tanks_use(make_world):
    world = make_world()
    found = supply(world.tank, Diary([], timezone="UTC"), world.now)
    assert found.from_prior
    assert found.guard.as_set is None
    assert any("no bubble rate is written down" in text for text in found.assumed)
    assert found.helps and found.helps[0].narrows_by > 0.2
    assert 0.0 < found.days.low < found.days.value < found.days.high


def test_weights_without_any_rate_tell_the_use(make_world):
    rows = [
        Entry("2025-01-06T08:00", "cylinder_mass", 5601.0, "g", "regulator off"),
        Entry("2025-02-05T08:00", "cylinder_mass", 5301.0, "g", "regulator off"),
    ]
    tank = make_world(rig=TARE).tank
    found = supply(tank, Diary(rows).localised("UTC"), rows[-1].time.replace(tzinfo=None))
    assert holds(found.use_g_day, 10.0) and found.use_g_day.high < 11.0
    assert holds(found.left_g, 1701.0)
    assert found.leak.chance == 0.0


def test_a_shut_valve_counts_on_at_its_last_setting(make_world):
    world = make_world(weigh_every=14, rig=TARE)
    world.diary.add(Entry(world.now, "bubble_rate", 0.0))
    found = supply(world.tank, world.diary, world.now + timedelta(hours=1))
    assert holds(found.use_g_day, world.use_g_day)
    assert any("shut off" in text for text in found.assumed)


def test_what_is_not_a_cylinder_is_refused(make_world):
    tank = make_world().tank
    yeast = replace(tank, rig=replace(tank.rig, source="yeast"))
    with pytest.raises(InputError, match=r'\[rig\] source = "yeast".*leafgill rig'):
        supply(yeast, Diary([]), make_world().now)


def test_the_same_seed_gives_the_same_answer(weighed):
    world, found = weighed
    again = supply(world.tank, world.diary, world.now)
    assert again.days == found.days
    other = supply(world.tank, world.diary, world.now, seed=1)
    assert other.days != found.days
    assert other.days.value == pytest.approx(found.days.value, rel=0.1)


def test_the_course_ends_where_the_stock_is(weighed):
    world, found = weighed
    course = found.course
    now = int(np.searchsorted(course.days, 0.0))
    assert course.middle_g[now] == pytest.approx(found.left_g.value, rel=0.01)
    assert course.middle_g[0] == pytest.approx(world.first_g, rel=0.02)
    assert (np.diff(course.middle_g) <= 1e-9).all()
    assert course.days[-1] == pytest.approx(1.05 * found.days.high)
