"""What the doctor finds of a machine, a store and an app, well and ill."""

import json
import os
import socket
import sqlite3
from datetime import UTC, datetime, timedelta

import pytest

from leafgill.web import pulse
from leafgill.web.doctor import broker, examination, living, machine, store
from leafgill.web.doctor.finding import BAD, FINE, LOOK, span
from leafgill.web.ingest import broker as broker_settings
from leafgill.web.ingest import status
from leafgill.web.keeping.backup_format import DAILY, name_of
from leafgill.web.lock import Lock
from leafgill.web.models import EntryRow, Keeper, SensorRow
from leafgill.web.store.readings import add_readings, sensor_for
from leafgill.web.store.tanks import create_tank

NOW = datetime(2025, 3, 8, 12, 10, tzinfo=UTC)
HOUR = timedelta(hours=1)


@pytest.fixture
def home(monkeypatch, tmp_path):
    made = tmp_path / "home"
    made.mkdir(mode=0o700)
    monkeypatch.setenv("LEAFGILL_HOME", str(made))
    return made


@pytest.mark.parametrize(
    ("seconds", "said"),
    [(0, "0 seconds"), (1, "1 second"), (59, "59 seconds"), (60, "1 minute"),
     (7_100, "118 minutes"), (7_200, "2 hours"), (172_799, "48 hours"), (172_800, "2 days"),
     (-7_200, "2 hours")],
)  # fmt: skip
def test_spans_are_said_shortly(seconds, said):
    assert span(timedelta(seconds=seconds)) == said


# -- the machine


def test_a_folder_of_its_own_is_fine(home):
    (home / "secret-key").touch(mode=0o600)
    assert machine.folder().state == FINE


def test_a_folder_that_others_may_enter_is_told_with_the_remedy(home):
    home.chmod(0o755)
    found = machine.folder()
    assert (found.state, found.says.endswith(f"chmod 700 {home}")) == (LOOK, True)
    (home / "secret-key").touch()
    (home / "secret-key").chmod(0o644)
    found = machine.folder()
    assert found.state == BAD
    assert "Others may read secret-key" in found.says
    home.chmod(0o700)
    assert machine.folder().state == FINE


def test_a_folder_that_is_not_there_is_told(monkeypatch, tmp_path):
    monkeypatch.setenv("LEAFGILL_HOME", str(tmp_path / "none"))
    assert machine.folder().state == BAD
    assert machine.disk().state in (FINE, LOOK)
    assert [at.what for at in examination.examine(NOW)] == ["data folder", "disk"]
    assert not (tmp_path / "none").exists()


@pytest.mark.parametrize(
    ("free", "state"), [(49_000_000, BAD), (499_000_000, LOOK), (501_000_000, FINE)]
)
def test_little_room_is_told(home, free, state):
    assert machine.disk(free=free).state == state


def test_room_for_backups_counts_too(home):
    with (home / "leafgill.db").open("wb") as file:
        file.truncate(300_000_000)
    assert machine.disk(free=899_000_000).state == LOOK
    assert machine.disk(free=901_000_000).state == FINE


def test_a_clock_before_the_program_is_told():
    assert machine.clock(datetime(1970, 1, 1, 0, 4, tzinfo=UTC), None).state == BAD
    today = datetime.now(UTC)
    assert machine.clock(today, None).state == FINE
    assert machine.clock(today, today + timedelta(minutes=1)).state == FINE
    found = machine.clock(today, today + 3 * HOUR)
    assert (found.state, "3 hours later" in found.says) == (BAD, True)


# -- the store


def test_a_damaged_database_is_told(home):
    file = home / "a.db"
    opened = sqlite3.connect(file)
    opened.execute("CREATE TABLE a (n)")
    opened.executemany("INSERT INTO a VALUES (?)", [("x" * 500,)] * 100)
    opened.commit()
    opened.close()
    assert store._file("database", file).state == FINE
    data = bytearray(file.read_bytes())
    data[4096 * 3 : 4096 * 3 + 100] = bytes(100)
    file.write_bytes(data)
    found = store._file("database", file)
    assert (found.state, "bring a backup back" in found.says) == (BAD, True)
    assert store._file("database", home / "none.db").state == BAD
    assert not (home / "none.db").exists()


@pytest.mark.django_db
def test_the_form_is_held_against_the_programs():
    from django.db.migrations.recorder import MigrationRecorder

    assert store.form().state == FINE
    MigrationRecorder.Migration.objects.filter(app="sessions").delete()
    found = store.form()
    assert found.state == LOOK
    assert "are due" in found.says
    MigrationRecorder.Migration.objects.create(app="web", name="0999_later")
    assert store.form().state == BAD


@pytest.fixture
def den(db):
    from leafgill.tank.spec import Tank

    keeper = Keeper.objects.create(username="ada")
    return create_tank(keeper, Tank.from_mapping({"tank": {"name": "Den", "volume_l": 60.0}}))


def test_when_something_was_written_last(den):
    assert store.last_written() is None
    EntryRow.objects.create(tank=den, time=NOW + HOUR, kind="ph", value="6.8", made_at=NOW)
    assert store.last_written() == NOW


# -- what goes on


def sent(den, *ages_s):
    row = sensor_for(den, "ph")
    times = sorted(int(NOW.timestamp()) - age for age in ages_s)
    add_readings(row, times, [6.8] * len(times))
    return row


def test_a_probe_is_silent_after_ten_of_its_intervals(den):
    assert living.probes(NOW)[0].says == "none has sent anything in the last weeks"
    sent(den, *range(60, 1_200, 60))
    (found,) = living.probes(NOW)
    assert (found.what, found.state) == ("probe ph of Den", FINE)
    assert living.probes(NOW + 58 * timedelta(minutes=1))[0].state == FINE
    (found,) = living.probes(NOW + 3 * HOUR)
    assert found.state == LOOK
    assert found.says.startswith("Silent for 3 hours.")


def test_one_that_sends_every_hour_is_not_silent_after_two(den):
    sent(den, *range(0, 36_000, 3_600))
    assert living.probes(NOW + 9 * HOUR)[0].state == FINE
    assert living.probes(NOW + 11 * HOUR)[0].state == LOOK


def test_one_that_was_put_away_is_nothing_to_look_at(den):
    sent(den, 60, 120)
    SensorRow.objects.create(tank=den, name="o2", kind="o2", made_at=NOW)
    assert living.probes(NOW + timedelta(days=22))[0].state == FINE
    den.archived_at = NOW
    den.save()
    assert living.probes(NOW + 5 * HOUR)[0].what == "probes"


def test_a_probe_whose_clock_is_ahead_is_told(den):
    sent(den, 0, 60)
    (found,) = living.probes(NOW - HOUR)
    assert found.state == BAD
    assert "60 minutes ahead" in found.says


@pytest.mark.parametrize(("days", "state"), [(0, FINE), (1.9, FINE), (2.1, LOOK), (14.5, BAD)])
def test_old_backups_are_told(home, days, state):
    folder = home / "backups"
    folder.mkdir()
    (folder / name_of(NOW - timedelta(days=days), DAILY)).touch()
    assert living.backups(NOW).state == state


def test_without_a_backup_it_says_so(home):
    assert living.backups(NOW).state == LOOK


@pytest.fixture
def running(home):
    """Return a function that writes a pulse as the app does, with its lock held."""
    lock = Lock()
    assert lock.take()

    def beat(age_s=5.0, **changes):
        at_s = NOW.timestamp() - age_s
        told = {"pid": 1, "at_s": at_s, "since_s": at_s - 7_200, "worker": "ready", "runners": [],
                "place": "http://127.0.0.1:8480/"}  # fmt: skip
        (home / pulse.FILE).write_text(json.dumps(told | changes))
        return living.app(NOW)

    yield beat
    lock.release()


def test_an_app_that_runs_is_fine(running):
    found = running()
    assert found.state == FINE
    assert found.says == "runs at http://127.0.0.1:8480/ for 2 hours, worker ready"


def test_one_that_does_not_is_told(home):
    assert living.app(NOW).state == LOOK
    # a file that a killed one left behind
    (home / pulse.FILE).write_text(json.dumps({"at_s": NOW.timestamp()}))
    assert living.app(NOW).says.startswith("It does not run")


@pytest.mark.parametrize("left", ["", "[]", "{}", "nonsense", '{"at_s": "x"}'])
def test_one_that_gives_no_sign_is_told(running, home, left):
    assert running(age_s=300.0).says.endswith("gave no sign for 5 minutes. Start it again.")
    (home / pulse.FILE).write_text(left)
    found = living.app(NOW)
    assert (found.state, f"process {os.getpid()}" in found.says) == (BAD, True)


def test_what_breaks_beside_it_is_named(running):
    broken = {"name": "listener", "doing": "broken", "failures": 4, "wrong": "OSError"}
    found = running(runners=[{"name": "rounds", "doing": "running", "failures": 0}, broken])
    assert found.state == BAD
    assert "listener (OSError)" in found.says and "rounds" not in found.says
    assert running(worker="broken").state == BAD


# -- the broker


def test_without_a_broker_there_is_nothing_to_look_at(home):
    assert broker.broker() == []


def test_a_broker_is_asked_for_at_its_address(home):
    with socket.create_server(("127.0.0.1", 0)) as there:
        port = there.getsockname()[1]
        broker_settings.save(broker_settings.broker_at(f"mqtt://127.0.0.1:{port}"))
        found = {at.what: at.state for at in broker.broker()}
        assert found == {"broker": FINE, "listener": LOOK}
        status.write(status.Listening(status.CONNECTED, NOW.isoformat()))
        assert broker.broker()[1].state == FINE
        status.write(status.Listening(status.AWAY, NOW.isoformat(), "not authorised"))
        assert broker.broker()[1].says.endswith(": not authorised")
    assert broker.broker()[0].state == BAD


def test_a_file_of_the_broker_that_is_none_is_told(home):
    (home / broker_settings.FILE).write_text("host = ")
    (found,) = broker.broker()
    assert found.state == BAD
