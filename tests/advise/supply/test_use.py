"""Seconds of gas and what went through the counter, from settings and hours."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from leafgill.advise.supply.use import use_of
from leafgill.diary import Diary, Entry
from leafgill.tank.spec import Tank

UTC = ZoneInfo("UTC")
BEGIN = datetime(2025, 1, 6, 8, tzinfo=UTC)


def tank_of(timezone="UTC", **rig):
    return Tank.from_mapping(
        {
            "tank": {"name": "Invented", "volume_l": 100, "timezone": timezone},
            "day": {"lights_on": "10:00", "lights_off": "18:00"},
            "rig": rig,
        }
    )


def use_after(days, *rows, tank=None):
    tank = tank or tank_of()
    entries = [Entry(BEGIN + timedelta(days=d), kind, value) for d, kind, value in rows]
    diary = Diary(entries).localised(tank.timezone)
    now = (BEGIN + timedelta(days=days)).timestamp()
    return use_of(tank, diary, BEGIN.timestamp(), now), now


RUNNING = ((0.0, "gas_day", "09:00-18:00"), (0.0, "bubble_rate", 1.0))


def test_nine_hours_a_day():
    use, now = use_after(10.0, *RUNNING)
    assert use.hours_a_day == 9.0
    assert use.known and not use.shut
    seconds = use.seconds(np.array([now]), BEGIN.timestamp())
    assert seconds.shape == (1, use.stretches)
    assert seconds.sum() == pytest.approx(10 * 9 * 3600.0)


def test_a_stretch_has_only_its_own_seconds():
    use, now = use_after(10.0, *RUNNING, (4.0, "bubble_rate", 2.0))
    seconds = use.seconds(np.array([now]), BEGIN.timestamp())[0]
    starts = np.array(use.flow.start_s)
    later = starts >= (BEGIN + timedelta(days=4)).timestamp() - 1.0
    assert seconds[later].sum() == pytest.approx(6 * 9 * 3600.0)
    assert seconds[~later].sum() == pytest.approx(4 * 9 * 3600.0)


def test_only_what_is_after_the_filling_counts():
    use, now = use_after(10.0, *RUNNING)
    since = (BEGIN + timedelta(days=7)).timestamp()
    assert use.seconds(np.array([now]), since).sum() == pytest.approx(3 * 9 * 3600.0)
    before = use.seconds(np.array([since - 3600.0]), since)
    assert before.sum() == 0.0


def test_the_night_the_clocks_change_is_an_hour_shorter():
    tank = tank_of("Europe/Berlin")
    rows = [
        Entry("2025-03-29T00:00", "gas_day", "00:00-24:00"),
        Entry("2025-03-29T00:00", "bubble_rate", 1.0),
    ]
    diary = Diary(rows).localised("Europe/Berlin")
    begin = datetime(2025, 3, 29, tzinfo=ZoneInfo("Europe/Berlin"))
    end = datetime(2025, 3, 31, tzinfo=ZoneInfo("Europe/Berlin"))
    use = use_of(tank, diary, begin.timestamp(), end.timestamp())
    seconds = use.seconds(np.array([end.timestamp()]), begin.timestamp())
    assert seconds.sum() == pytest.approx(47 * 3600.0)


def test_bubbles_grow_with_the_rate():
    use, _ = use_after(10.0, (0.0, "gas_day", "09:00-18:00"), (0.0, "bubble_rate", 4.0))
    z = np.zeros((2, use.directions))
    gas = use.per_second(z, np.array([0.0, 0.1]))
    assert gas[0] == pytest.approx(4.0, rel=0.01)
    assert gas[1] / gas[0] == pytest.approx(4.0**0.1, rel=0.01)


def test_a_higher_working_pressure_puts_more_into_a_bubble():
    use, _ = use_after(
        10.0, *RUNNING, (0.0, "working_pressure", 1.0), (5.0, "working_pressure", 2.0)
    )
    gas = use.per_second(np.zeros((1, use.directions)), np.zeros(1))[0]
    assert gas[-1] / gas[0] == pytest.approx(3.01325 / 2.01325, rel=0.02)


def test_shut_and_off():
    shut, _ = use_after(10.0, *RUNNING, (5.0, "bubble_rate", 0.0))
    assert shut.shut and not shut.known
    off, _ = use_after(10.0, *RUNNING, (5.0, "gas_day", "off"))
    assert off.hours_a_day is None and not off.known
    nothing, now = use_after(10.0)
    assert nothing.stretches == 0
    assert nothing.seconds(np.array([now]), BEGIN.timestamp()).shape == (1, 0)


def test_without_gas_hours_those_of_the_light_and_it_says_so():
    use, _ = use_after(10.0, (0.0, "bubble_rate", 1.0))
    assert use.hours_a_day == 8.0
    assert any("no hours of gas" in text for text in use.assumed)
