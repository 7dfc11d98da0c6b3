"""From a counsel to the picture of the oxygen through the night."""

from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from leafgill.advise.forecast import Plan
from leafgill.answer.night import _ticks, night_of
from leafgill.tank.schedule import parse_window


def test_it_is_the_day_ahead_as_advised(hallway):
    picture = night_of(hallway)
    outlook = hallway.stepped.outlook
    values = outlook.through("o2", outlook.times_s[0] + picture.hours * 3600.0)
    assert np.allclose(picture.mean, values.mean(axis=0))
    assert np.allclose(picture.low, np.quantile(values, 0.05, axis=0))
    assert np.allclose(picture.high, np.quantile(values, 0.95, axis=0))
    assert (picture.hours[0], picture.hours[-1]) == (0.0, pytest.approx(24.0))


def test_the_lowest_point_is_the_counsels(hallway):
    picture = night_of(hallway)
    at = hallway.now + timedelta(hours=picture.lowest[0])
    assert abs(at - hallway.ahead.o2_min_at) <= timedelta(minutes=10)
    assert picture.least_mg_l == hallway.limits.o2_min_mg_l


def test_dark_is_when_the_light_is_off(hallway):
    # lit 11:00 to 17:00, asked for at 12:10
    (dark,) = night_of(hallway).dark
    assert dark == pytest.approx((17.0 - 12.0 - 10.0 / 60.0, 24.0 + 11.0 - 12.0 - 10.0 / 60.0))


def test_air_that_the_step_asks_for_is_in_it(hallway):
    def with_plan(plan):
        from leafgill.answer.counsel import _ahead

        ahead = _ahead(hallway.belief, hallway.limits, plan, hallway.now)
        return night_of(replace(hallway, plan=plan, stepped=ahead)).lowest[1]

    still = with_plan(Plan(bubble_rate=1.0))
    assert with_plan(Plan(bubble_rate=1.0, air=parse_window("17:00-11:00"))) > still + 0.05


def test_ticks_are_the_clocks_every_six_hours_in_the_night_it_changes():
    lisbon = ZoneInfo("Europe/Lisbon")
    first = datetime(2025, 3, 29, 12, 10, tzinfo=lisbon).timestamp()
    ticks = _ticks(first, first + 24 * 3600.0, "Europe/Lisbon")
    assert [text for _, text in ticks] == ["18:00", "00:00", "06:00", "12:00"]
    # an hour is skipped between midnight and six
    assert np.diff([hour for hour, _ in ticks]) == pytest.approx([6.0, 5.0, 6.0])
