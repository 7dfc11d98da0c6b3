"""A backup a day: when one is due, and which go when it was made."""

import os
import threading
import time
from datetime import UTC, datetime, timedelta

import pytest

from leafgill.errors import InputError
from leafgill.web.keeping import schedule
from leafgill.web.keeping.backup_format import (
    BEFORE_UPGRADE,
    BY_HAND,
    DAILY,
    is_kept,
    name_of,
    told_by_name,
)
from leafgill.web.keeping.reading_back import read_back

NOW = datetime(2025, 3, 8, 12, 10, tzinfo=UTC)
DAY = timedelta(days=1)
HOUR = timedelta(hours=1)


@pytest.fixture
def folder(monkeypatch, tmp_path):
    made = tmp_path / "backups"
    made.mkdir()
    monkeypatch.setenv("LEAFGILL_BACKUPS", str(made))
    return made


def put(folder, at, kind):
    path = folder / name_of(at, kind)
    path.touch()
    return path


@pytest.mark.django_db(transaction=True)
def test_the_first_is_made_at_once_and_the_next_a_day_later(folder):
    first = schedule.back_up_when_due(NOW)
    assert first.path == folder / "leafgill-2025-03-08T121000Z-daily.zip"
    assert read_back(first.path) == first.manifest
    assert schedule.back_up_when_due(NOW + DAY - HOUR) is None
    second = schedule.back_up_when_due(NOW + DAY)
    assert second is not None
    assert [path for _, _, path in schedule.backups()] == [first.path, second.path]


@pytest.mark.django_db(transaction=True)
def test_what_a_killed_backup_left_behind_goes_with_a_later_one(folder):
    old, new = folder / ".backup-old", folder / ".backup-new"
    for left in (old, new):
        left.mkdir()
        (left / "leafgill.db").touch()
    a_while_ago = time.time() - 90_000.0
    os.utime(old, (a_while_ago, a_while_ago))
    schedule.back_up_when_due(NOW)
    assert not old.exists()
    assert (new / "leafgill.db").exists()


@pytest.mark.django_db(transaction=True)
def test_one_by_hand_is_no_daily_one(folder):
    put(folder, NOW, BY_HAND)
    assert schedule.back_up_when_due(NOW) is not None


@pytest.mark.django_db(transaction=True)
def test_one_that_a_wrong_clock_dated_far_ahead_does_not_stand_in_the_way(folder):
    put(folder, NOW + 400 * DAY, DAILY)
    assert schedule.back_up_when_due(NOW) is not None


def test_only_what_has_served_goes(folder):
    daily = [put(folder, NOW - n * DAY, DAILY) for n in range(60)]
    by_hand = [put(folder, NOW - n * DAY, BY_HAND) for n in range(60)]
    upgrades = [put(folder, NOW - n * DAY, BEFORE_UPGRADE) for n in range(6)]
    mine = folder / "leafgill-notes.zip"
    mine.touch()
    gone = set(schedule.rotate())
    assert set(daily[:7]).isdisjoint(gone)
    assert gone < {*daily, *upgrades}
    assert gone & set(upgrades) == set(upgrades[3:])
    assert len(set(daily) - gone) == 7 + 4 + 1
    assert all(path.exists() for path in by_hand) and mine.exists()
    assert not any(path.exists() for path in gone)


@pytest.mark.django_db(transaction=True)
def test_nothing_goes_when_none_could_be_made(folder, monkeypatch):
    old = [put(folder, NOW - n * DAY, DAILY) for n in range(2, 30)]

    def full(*_what):
        raise InputError("no backup could be made: No space left on device")

    monkeypatch.setattr(schedule, "back_up", full)
    with pytest.raises(InputError, match="No space left"):
        schedule.back_up_when_due(NOW)
    assert all(path.exists() for path in old)


def test_the_runner_looks_again_and_again_and_ends_when_told(monkeypatch, folder):
    asked, enough = [], threading.Event()

    def look(now):
        asked.append(now)
        if len(asked) == 3:
            enough.set()

    monkeypatch.setattr(schedule, "back_up_when_due", look)
    stop = threading.Event()
    runner = schedule.Backups(first_after_s=0.0, look_every_s=0.001, now=lambda: NOW)
    thread = threading.Thread(target=runner.run, args=(stop,))
    thread.start()
    assert enough.wait(20.0)
    stop.set()
    thread.join(20.0)
    assert not thread.is_alive()
    assert set(asked) == {NOW}


def test_told_to_stop_before_its_first_look_it_makes_none(monkeypatch, folder):
    monkeypatch.setattr(schedule, "back_up_when_due", lambda now: pytest.fail("it looked"))
    stop = threading.Event()
    stop.set()
    schedule.Backups().run(stop)


def test_a_folder_that_is_not_there_holds_none(monkeypatch, tmp_path):
    monkeypatch.setenv("LEAFGILL_BACKUPS", str(tmp_path / "none"))
    assert schedule.backups() == []
    assert schedule.newest() is None


@pytest.mark.parametrize("kind", [BY_HAND, DAILY, BEFORE_UPGRADE])
def test_a_name_tells_time_and_kind(kind):
    assert told_by_name(name_of(NOW, kind)) == (NOW, kind)


@pytest.mark.parametrize(
    "name",
    ["leafgill.db", "leafgill-2025-03-08T121000Z-weekly.zip",
     "leafgill-2025-02-30T121000Z-daily.zip", "leafgill-2025-03-08T121000Z-daily.zip.part", "x"],
)  # fmt: skip
def test_other_names_tell_nothing(name):
    assert told_by_name(name) is None


def test_which_files_belong_to_the_data():
    assert all(is_kept(name) for name in ("secret-key", "broker.toml", "a-password"))
    for name in ("leafgill.db", "running.json", "running.lock", "../secret-key", "", ".secret-key"):
        assert not is_kept(name)
