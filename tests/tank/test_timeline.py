"""The tank's days on steps: edges, settings, water changes, hours bent by a plan."""

from datetime import UTC, datetime, time
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leafgill.tank.schedule import window_in_force
from leafgill.tank.timeline import Timeline, WaterChange, hour_of_day, night_air
from leafgill.tank.window import NEVER, Window

HOUR, DAY = 3600.0, 86400.0
START = datetime(2025, 3, 28, tzinfo=UTC).timestamp()
GAS = Window(time(8), time(16))
LIGHT = Window(time(9), time(18))

quick = settings(deadline=None, max_examples=60)


def timeline(**other):
    plan = {
        "timezone": "UTC",
        "gas": ((START, GAS),),
        "light": ((START, LIGHT),),
        "air": ((START, None),),
        "setting_s": (START,),
        "temperature": ((START, 25.0),),
    }
    return Timeline(**(plan | other))


def even(days, step_s=600.0):
    return START + np.arange(round(days * DAY / step_s) + 1) * step_s


def test_edges_are_fine_where_something_switches_and_coarse_where_not():
    edges = timeline().edges(START, START + DAY)
    hours = (edges - START) / HOUR
    steps = np.diff(edges)
    assert hours[0] == 0.0 and hours[-1] == pytest.approx(24.0, abs=0.2)
    assert set(steps) == {600.0, 1200.0, 1800.0}
    for moment in (8.0, 9.0, 16.0, 18.0):
        around = (hours[:-1] >= moment - 1 / 6) & (hours[:-1] < moment + 1.3)
        assert (steps[around] == 600.0).all()
    # Between half past two and half past seven at night, nothing asks for fine steps.
    quiet = (hours[:-1] >= 2.5) & (hours[:-1] < 7.5)
    assert (steps[quiet] == 1800.0).all()


@quick
@given(st.floats(0.0, 3.0), st.floats(0.1, 5.0), st.floats(0.0, 6.0), st.floats(0.0, 6.0))
def test_edges_span_the_time_and_are_fine_after_settings_and_changes(first, days, setting, change):
    one = timeline(
        setting_s=(START, START + setting * DAY), changes=(WaterChange(START + change * DAY, 0.3),)
    )
    low, high = START + first * DAY, START + (first + days) * DAY
    edges = one.edges(low, high)
    assert edges[0] <= low < edges[0] + 600.0
    assert high <= edges[-1] < high + 600.0
    assert set(np.diff(edges)) <= {600.0, 1200.0, 1800.0}
    assert (edges % 600.0 == 0.0).all()
    for moment in (START + setting * DAY, START + change * DAY):
        if low <= moment < high - HOUR:
            step = int(np.searchsorted(edges, moment, side="right")) - 1
            assert edges[step + 1] - edges[step] == 600.0


def test_gas_flows_by_the_setting_in_force_and_not_before_the_first():
    one = timeline(setting_s=(START + 10 * HOUR, START + 12 * HOUR))
    forcing = one.forcing(even(1, HOUR))
    np.testing.assert_array_equal(forcing.gas, [0.0] * 10 + [1.0] * 6 + [0.0] * 8)
    np.testing.assert_array_equal(forcing.segment, [0.0] * 12 + [1.0] * 12)
    np.testing.assert_array_equal(one.segments(even(1, HOUR))[:11], [-1] * 10 + [0])
    np.testing.assert_allclose(forcing.open_h[8:16], np.arange(1.0, 9.0))


def test_steps_know_how_much_of_them_is_lit_and_how_tired_the_plants_are():
    forcing = timeline(light=((START, Window(time(9, 30), time(17, 30))),)).forcing(even(1, HOUR))
    assert forcing.light[9] == pytest.approx(0.5) and forcing.light[10] == 1.0
    assert forcing.light_phase[10] == pytest.approx(1.0 / 8.0)
    assert forcing.light_phase[17] == pytest.approx(0.0)  # its middle is the moment of switching
    assert forcing.light.sum() == pytest.approx(8.0)


def test_temperature_runs_straight_between_readings():
    one = timeline(temperature=((START, 24.0), (START + DAY, 26.0)))
    forcing = one.forcing(even(2, HOUR))
    # To a tenth of a degree: the middle of the first hour is 24 + 2·0.5/24.
    assert forcing.temperature_c[0] == pytest.approx(24.0)
    assert forcing.temperature_c[12] == pytest.approx(25.0)
    assert (forcing.temperature_c[24:] == 26.0).all()


@quick
@given(
    st.lists(st.tuples(st.floats(0.0, 2.7), st.floats(0.05, 0.9)), max_size=4),
    st.sampled_from([60.0, 600.0, 3600.0]),
)
def test_every_water_change_falls_on_a_step_of_its_own(changes, step_s):
    changes = sorted(changes)
    listed = tuple(WaterChange(START + day * DAY, part) for day, part in changes)
    forcing = timeline(changes=listed).forcing(even(3, step_s))
    kept = np.flatnonzero(forcing.change)
    assert sorted(forcing.change[kept]) == sorted(part for _, part in changes)
    np.testing.assert_array_equal(forcing.change_index[kept], np.arange(len(changes)))
    assert (forcing.change_index[forcing.change == 0.0] == -1.0).all()
    for step, change in zip(kept, listed, strict=True):
        # Not before its step, and at most as many steps late as changes crowd there.
        late = (START + step * step_s - change.at_s) / step_s
        assert -1.0 <= late <= len(changes)


def test_water_changes_outside_the_steps_are_left_out():
    listed = (WaterChange(START - HOUR, 0.3), WaterChange(START + 2 * DAY, 0.4))
    forcing = timeline(changes=listed).forcing(even(1))
    assert not forcing.change.any()


def test_a_plan_bends_the_future_and_leaves_the_past():
    at = START + 36 * HOUR
    plan = Window(time(20), time(23))
    one = timeline(air=((START, GAS),))
    bent = one.with_gas(at, plan).with_air(at, None).with_setting(at)
    edges = even(3, HOUR)
    before, after = one.forcing(edges), bent.forcing(edges)
    np.testing.assert_array_equal(after.gas[:36], before.gas[:36])
    np.testing.assert_array_equal(np.flatnonzero(after.gas[36:]) + 36, [44, 45, 46, 68, 69, 70])
    np.testing.assert_array_equal(after.air[:36], before.air[:36])
    assert not after.air[36:].any() and before.air[36:].any()
    np.testing.assert_array_equal(after.segment, [0.0] * 36 + [1.0] * 36)
    assert window_in_force(bent.gas, at - 1.0) == GAS
    assert window_in_force(bent.gas, at) == plan
    assert window_in_force(bent.gas, START - 1.0) is None


def test_a_plan_takes_the_place_of_an_earlier_plan():
    later, sooner = START + 40 * HOUR, START + 36 * HOUR
    bent = timeline().with_setting(later).with_setting(sooner)
    assert bent.setting_s == (START, sooner)
    assert timeline().with_gas(later, None).with_gas(sooner, GAS).gas == (
        (START, GAS), (sooner, GAS),
    )  # fmt: skip


@pytest.mark.parametrize("timezone", ["UTC", "Europe/Berlin", "Asia/Kathmandu"])
def test_hour_of_day_is_the_clock_on_the_wall(timezone):
    at = START + np.arange(0.0, 5 * DAY, 1234.0)
    walls = [datetime.fromtimestamp(s, ZoneInfo(timezone)) for s in at]
    by_clock = np.array([w.hour + w.minute / 60.0 + w.second / 3600.0 for w in walls])
    apart = np.abs(hour_of_day(at, timezone) - by_clock)
    # Berlin's clocks go forward on 30 March at one in the night, UTC: an hour off until then.
    on_the_day = (at >= START + 2 * DAY) & (at < START + 3 * DAY)
    assert apart[~on_the_day].max() < 1e-6
    assert np.minimum(apart, 24.0 - apart).max() <= 1.0 + 1e-6


def test_night_air_runs_while_it_is_dark():
    listed = ((START, LIGHT), (START + DAY, NEVER), (START + 2 * DAY, None))
    air = night_air(listed)
    assert air == ((START, Window(time(18), time(9))), (START + DAY, None), (START + 2 * DAY, None))
    edges = even(1)
    one = timeline(air=air)
    forcing = one.forcing(edges)
    np.testing.assert_allclose(forcing.air + forcing.light, 1.0)


def test_old_water_is_what_the_changes_before_have_left():
    changes = (WaterChange(100.0, 0.3), WaterChange(200.0, 0.5))
    timeline = Timeline("UTC", (), (), (), (), ((0.0, 25.0),), changes)
    assert [timeline.old_water(s) for s in (100.0, 150.0, 250.0)] == pytest.approx([1.0, 0.7, 0.35])
