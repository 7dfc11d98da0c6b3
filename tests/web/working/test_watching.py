"""The watch in the worker process: it goes on with its trackers, and says what it sees."""

import json
from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from leafgill.diary import Diary, Entry, Stream
from leafgill.examples import HALLWAY
from leafgill.tank.spec import Tank
from leafgill.web.working import watching
from leafgill.web.working.job import Job, WatchJob, watch_job

AT = datetime(2025, 3, 8, 12, 10, tzinfo=ZoneInfo("Europe/Berlin"))


@pytest.fixture(scope="module")
def tank():
    return Tank.load(HALLWAY.tank)


@pytest.fixture(scope="module")
def diary(tank):
    return Diary.load(HALLWAY.diary, HALLWAY.probe).localised(tank.timezone)


@pytest.fixture(autouse=True)
def _alone():
    watching.forget()
    yield
    watching.forget()


@pytest.fixture
def fits(monkeypatch):
    """Count the fits; each is the real one."""
    made, real = [], watching.believe

    def counted(tank, diary, moment, **more):
        made.append(moment)
        return real(tank, diary, moment, **more)

    monkeypatch.setattr(watching, "believe", counted)
    return made


def flat(diary, now):
    """The diary with an electrode that shows the same figure from now on for two hours."""
    old = diary.until(now).streams["ph"]
    times = now.timestamp() + 60.0 * np.arange(1, 121)
    stream = Stream("ph", np.append(old.times_s, times), np.append(old.values, np.full(120, 6.9)),
                    local=False)  # fmt: skip
    return Diary(diary.until(now).entries, {"ph": stream}, timezone=diary.timezone)


def test_it_goes_on_without_a_fit_until_something_is_written(tank, diary, fits):
    now, seen = AT, diary.until(AT)
    first = watch_job(WatchJob(tank, seen, now, 7))
    assert first.error == ""
    json.dumps(first.payload)
    assert set(first.payload) == {"alerts", "co2"}
    assert first.payload["co2"]["low"] < first.payload["co2"]["mean"] < first.payload["co2"]["high"]
    begun = len(fits)
    assert begun >= 1
    trackers = watching._kept[7].trackers
    # time alone, and readings of the electrode
    later = now + timedelta(hours=2)
    told = watch_job(WatchJob(tank, flat(diary, now), later, 7)).payload
    assert len(fits) == begun
    assert watching._kept[7].trackers is trackers
    assert told["alerts"][0]["kinds"] == ["probe dead"]
    assert "shows 6.9 without a change" in told["alerts"][0]["seen"]
    # something by hand: trackers anew, from the fits of the mornings that are there
    wrote = flat(diary, now)
    wrote.add(Entry(later - timedelta(minutes=5), "ph", 6.9))
    before = watching._kept[7].trackers
    watch_job(WatchJob(tank, wrote, later, 7))
    assert len(fits) == begun
    assert not any(one in before for one in watching._kept[7].trackers)
    # another description: everything anew
    watch_job(WatchJob(replace(tank, name="Other"), wrote, later, 7))
    assert len(fits) == 2 * begun


def test_two_tanks_do_not_go_on_with_each_others(tank, diary, fits):
    young = diary.until(AT - timedelta(days=4))
    early = AT - timedelta(days=4)
    watch_job(WatchJob(tank, young, early, 1))
    begun = len(fits)
    watch_job(WatchJob(tank, young, early, 2))
    assert len(fits) == 2 * begun
    watch_job(WatchJob(tank, young, early + timedelta(minutes=10), 1))
    assert len(fits) == 2 * begun
    # a clock that was put back begins again
    watch_job(WatchJob(tank, young, early - timedelta(hours=1), 1))
    assert len(fits) > 2 * begun


def test_only_so_many_are_kept(tank, diary, monkeypatch):
    monkeypatch.setattr(watching, "MOST_KEPT", 2)
    monkeypatch.setattr(watching, "MOST_FITS", 1)
    young, early = diary.until(AT - timedelta(days=4)), AT - timedelta(days=4)
    for number in (1, 2, 3):
        watch_job(WatchJob(tank, young, early, number))
    assert list(watching._kept) == [2, 3]
    assert len(watching._fits) <= 1


def test_a_diary_with_nothing_in_it_is_watched_too(tank):
    told = watch_job(Job(tank, Diary([], {}, timezone=tank.timezone), AT))
    assert (told.error, told.payload["alerts"]) == ("", [])
