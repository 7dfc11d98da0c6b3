import logging
import threading

import pytest

from leafgill.web.ingest import folder as folders
from leafgill.web.ingest.checks import RANGE
from leafgill.web.ingest.failing import StoreError
from leafgill.web.ingest.folder import Folder, folder_of
from leafgill.web.lock import Lock
from leafgill.web.models import ReadingRow, SensorRow

pytestmark = pytest.mark.django_db
GOOD = "time,ph,temperature\n2025-03-08T12:00,6.8,24.1\n2025-03-08T12:01,6.81,24.2\n"


@pytest.fixture(autouse=True)
def _here(monkeypatch, now):
    monkeypatch.setenv("LEAFGILL_NOW", now.isoformat())
    # a test's connection is within a transaction
    monkeypatch.setattr(folders, "make_durable", lambda: None)


@pytest.fixture
def place(row):
    return folder_of(row)


def look():
    """Look twice, as a file has to lie still in between."""
    watcher = Folder()
    watcher.look()
    return watcher.look()


def names(folder):
    return sorted(path.name for path in folder.iterdir() if path.is_file())


def test_a_file_comes_in_and_is_put_away(place, row, kept):
    (place / "log.csv").write_text(GOOD)
    assert look() == 1
    assert names(place) == []
    assert names(place / "done") == ["log.csv"]
    ph = SensorRow.objects.get(tank=row, kind="ph")
    assert [(v, f) for _, v, f in kept(ph)] == [(6.8, 0), (6.81, 0)]
    assert ReadingRow.objects.count() == 4


def test_the_folder_is_the_users_alone_and_stays_when_the_tank_is_renamed(place, row):
    assert place.name == f"den-{row.public_id}"
    assert place.stat().st_mode & 0o077 == 0
    row.name = "Elsewhere"
    assert folder_of(row) == place


@pytest.mark.parametrize("name", ["水槽", "../../etc", "A/B", ""])
def test_whatever_a_tank_is_called_its_folder_is_within(row, name, tmp_path):
    row.name = name
    assert folder_of(row).parent == tmp_path / "incoming"


def test_a_file_that_grows_is_left_until_it_lies_still(place):
    watcher, path = Folder(), place / "log.csv"
    path.write_text(GOOD[:40])
    assert watcher.look() == 0
    path.write_text(GOOD)
    assert watcher.look() == 0
    assert watcher.look() == 1


def test_what_is_not_finished_hidden_or_a_link_is_left(place, tmp_path):
    (tmp_path / "elsewhere.csv").write_text(GOOD)
    (place / "log.csv.part").write_text(GOOD)
    (place / ".log.csv").write_text(GOOD)
    (place / "link.csv").symlink_to(tmp_path / "elsewhere.csv")
    (place / "folder.csv").mkdir()
    assert look() == 0
    assert not ReadingRow.objects.exists()


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "the file is empty"),
        (b"hello\n", "has no column time"),
        (b"\x00\x01\x02", "not a text file"),
        (b"time,kind,value\n2025-03-08T12:00,ph,6\n", "is that of a diary"),
        (b"time,ph\nsoon,6.8\n", '"soon" is not a date and time'),
        (b"time,ph\n1999-03-08T12:00,6.8\n", "no reading in it can be used"),
    ],
)
def test_what_is_no_probe_file_is_refused_with_a_text_that_says_why(place, data, why, caplog):
    (place / "log.csv").write_bytes(data)
    with caplog.at_level(logging.WARNING):
        assert look() == 1
    assert names(place / "refused") == ["log.csv", "log.csv.txt"]
    assert why in (place / "refused" / "log.csv.txt").read_text()
    assert (place / "refused" / "log.csv").read_bytes() == data
    assert not ReadingRow.objects.exists()
    assert "a file is refused; why stands beside it" in caplog.text


def test_a_file_too_large_is_refused_unread(place, monkeypatch):
    monkeypatch.setitem(folders.LARGEST, "probe", 10)
    (place / "log.csv").write_text(GOOD)
    look()
    assert "is larger than" in (place / "refused" / "log.csv.txt").read_text()


def test_what_was_odd_is_written_beside_it(place, row, kept):
    text = GOOD + "2025-03-08T12:02,15.5,\n2025-03-08T12:03,x,24.2\n2025-03-08T12:04,6.8,\n"
    (place / "log.csv").write_text(text)
    look()
    told = (place / "done" / "log.csv.txt").read_text()
    assert "1 readings are kept and doubted" in told
    assert "1 readings were not taken" in told
    assert "no number for ph" in told
    ph = SensorRow.objects.get(tank=row, kind="ph")
    assert [(v, f) for _, v, f in kept(ph)][2:] == [(15.5, RANGE), (6.8, 0)]


def test_the_same_file_again_changes_nothing_and_takes_no_ones_place(place):
    for _ in range(2):
        (place / "log.csv").write_text(GOOD)
        assert look() == 1
    assert ReadingRow.objects.count() == 4
    assert len(names(place / "done")) == 2


def test_a_tank_that_is_put_away_is_left_alone(place, row, now):
    (place / "log.csv").write_text(GOOD)
    row.archived_at = now
    row.save()
    assert look() == 0


def test_where_nothing_can_be_kept_the_file_stays(place, monkeypatch):
    def full(*_):
        raise StoreError("the disk is full or fails")

    (place / "log.csv").write_text(GOOD)
    monkeypatch.setattr(folders.Desk, "take_all", full)
    with pytest.raises(StoreError):
        look()
    assert names(place) == ["log.csv"]
    monkeypatch.undo()
    monkeypatch.setattr(folders, "make_durable", lambda: None)
    monkeypatch.setenv("LEAFGILL_HOME", str(place.parents[1]))
    assert look() == 1


def test_one_process_looks_at_a_time(place):
    (place / "log.csv").write_text(GOOD)
    lock = Lock(place.parents[1] / folders.LOCK_FILE)
    assert lock.take()
    try:
        Folder(every_s=0.01).run(threading.Event())
    finally:
        lock.release()
    assert names(place) == ["log.csv"]


def test_something_unforeseen_in_a_file_keeps_no_other_waiting(place, monkeypatch, caplog):
    def broken(_row, path, _now):
        if path.name == "a.csv":
            raise ZeroDivisionError
        return []

    (place / "a.csv").write_text(GOOD)
    (place / "b.csv").write_text(GOOD)
    monkeypatch.setattr(folders, "take_file", broken)
    assert look() == 2
    assert names(place / "done") == ["b.csv"]
    assert names(place / "refused") == ["a.csv", "a.csv.txt"]
    assert "ZeroDivisionError" in caplog.text
