import io
import json
import zipfile
from contextlib import suppress

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leafgill.errors import InputError
from leafgill.web.store import archive_reader
from leafgill.web.store.archive_format import ENTRY_COLUMNS, Kept, Sensor
from leafgill.web.store.archive_reader import Archive
from leafgill.web.store.archive_writer import write

SPEC = '[tank]\nname = "Den"\nvolume_l = 60.0\n'


def entry(**columns):
    return dict.fromkeys(ENTRY_COLUMNS, "") | columns


def tank(name="Den"):
    times_s = np.arange(1_700_000_000, 1_700_000_600, 60)
    return Kept(
        name=name,
        created="2025-01-01T00:00:00+00:00",
        archived_at=None,
        specs=[("2025-01-01T00:00:00+00:00", SPEC), ("2025-02-01T00:00:00+00:00", SPEC)],
        entries=[
            entry(time="2025-03-04T12:30:00+01:00", kind="ph", value="6.8", note='a, "b"\nc'),
            entry(time="2025-03-04T12:31:00+01:00", kind="note", removed_at="2025-03-05T00:00Z"),
        ],
        sensors=lambda: [
            Sensor("ph", "ph", "", times_s, 6.8 + 0.001 * np.arange(10), np.zeros(10, np.int16))
        ],
        tasks=[{"what": "Clean", "every_days": 7}],
        steps=[{"reply": "done"}],
    )


def archive(*tanks):
    out = io.BytesIO()
    write(tanks, out, "2025-03-08T12:00:00+00:00", "0.1.0")
    return out.getvalue()


def rebuilt(data, **members):
    """Return the archive with members replaced, or left out where None."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            key = name.replace("/", "__").replace("-", "_").replace(".", "_")
            content = members.pop(key, old.read(name))
            if content is not None:
                new.writestr(name, content)
    assert not members
    return out.getvalue()


def read_all(data):
    opened = Archive(io.BytesIO(data))
    kept = [opened.tank(number) for number in range(len(opened.tanks))]
    return [(tank, list(tank.sensors())) for tank in kept]


def test_what_is_written_reads_back():
    (first, sensors), (second, _) = read_all(archive(tank(), tank("Other")))
    original = tank()
    assert (first.name, second.name) == ("Den", "Other")
    assert first.specs == original.specs
    assert first.entries == original.entries
    assert first.tasks == original.tasks
    assert first.steps == original.steps
    (sensor,) = sensors
    (given,) = original.sensors()
    assert (sensor.name, sensor.kind, sensor.unit) == ("ph", "ph", "")
    assert np.array_equal(sensor.times_s, given.times_s)
    assert np.array_equal(sensor.values, given.values)
    assert np.array_equal(sensor.flags, given.flags)


def test_an_archive_is_readable_without_the_program():
    with zipfile.ZipFile(io.BytesIO(archive(tank()))) as opened:
        names = set(opened.namelist())
        manifest = json.loads(opened.read("manifest.json"))
        lines = opened.read("tanks/1/entries.csv").decode().splitlines()
    assert names == {
        "manifest.json",
        "tanks/1/spec-1.toml",
        "tanks/1/spec-2.toml",
        "tanks/1/entries.csv",
        "tanks/1/readings-1.csv",
        "tanks/1/tasks.json",
        "tanks/1/steps.json",
    }
    assert manifest["version"] == 1
    assert manifest["tanks"][0]["sensors"][0]["readings"] == 10
    assert lines[0] == ",".join(ENTRY_COLUMNS)


def manifest_of(data, **changes):
    with zipfile.ZipFile(io.BytesIO(data)) as opened:
        told = json.loads(opened.read("manifest.json"))
    told.update({key: value for key, value in changes.items() if key != "tank"})
    told["tanks"][0].update(changes.get("tank", {}))
    return rebuilt(data, manifest_json=json.dumps(told))


GOOD = archive(tank())


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "no zip file"),
        (b"PK\x03\x04 nonsense", "no zip file"),
        (rebuilt(GOOD, manifest_json=None), "lacks manifest.json"),
        (rebuilt(GOOD, manifest_json="{"), "cannot be read"),
        (rebuilt(GOOD, manifest_json="[" * 100_000), "cannot be read"),
        (rebuilt(GOOD, manifest_json="[]"), "no archive of tanks"),
        (manifest_of(GOOD, version=2), "version 2"),
        (manifest_of(GOOD, tanks=[{}] * 600), "lists more than"),
        (manifest_of(GOOD, tank={"folder": "../../etc"}), "folder"),
        (manifest_of(GOOD, tank={"folder": "tanks/../1"}), "names the folder"),
        (manifest_of(GOOD, tank={"folder": "tanks/²"}), "names the folder"),
        (manifest_of(GOOD, tank={"folder": "tanks/7"}), "lacks tanks/7/"),
        (manifest_of(GOOD, tank={"name": 7}), "name 7 cannot be meant"),
        (manifest_of(GOOD, tank={"specs": "all"}), "no list of specs"),
        (rebuilt(GOOD, tanks__1__entries_csv=None), "lacks tanks/1/entries.csv"),
        (rebuilt(GOOD, tanks__1__entries_csv=b"time,kind\n1,2\n"), "columns of a diary"),
        (rebuilt(GOOD, tanks__1__entries_csv=b"\xff\xfe"), "cannot be read"),
        (rebuilt(GOOD, tanks__1__tasks_json="[1]"), "no list of things"),
        (rebuilt(GOOD, tanks__1__spec_1_toml=b"\xff"), "not UTF-8"),
        (rebuilt(GOOD, tanks__1__readings_1_csv="time_s,value,flag\nx,y,z\n"), "cannot be read"),
        (rebuilt(GOOD, tanks__1__readings_1_csv="time_s,value,flag\n1,,0\n"), "cannot be meant"),
        (rebuilt(GOOD, tanks__1__readings_1_csv="a,b\n1,2\n"), "readings-1.csv"),
    ],
)
def test_what_is_no_archive_is_refused_in_one_line(data, words):
    with pytest.raises(InputError, match=words) as refused:
        read_all(data)
    assert "\n" not in str(refused.value)


def test_a_name_that_stands_twice_is_refused():
    out = io.BytesIO(GOOD)
    with zipfile.ZipFile(out, "a") as opened, pytest.warns(UserWarning, match="Duplicate"):
        opened.writestr("tanks/1/tasks.json", "[]")
    with pytest.raises(InputError, match="twice"):
        Archive(io.BytesIO(out.getvalue()))


def test_sizes_are_counted_as_they_come_out(monkeypatch):
    monkeypatch.setattr(archive_reader, "LARGEST_MEMBER", 10_000)
    bomb = rebuilt(GOOD, tanks__1__tasks_json=b"[" + b" " * 1_000_000 + b"]")
    with pytest.raises(InputError, match="larger than anything"):
        read_all(bomb)


def test_all_members_together_are_counted_too(monkeypatch):
    monkeypatch.setattr(archive_reader, "LARGEST_TOTAL", 900)
    with pytest.raises(InputError, match="larger than anything"):
        read_all(GOOD)


@settings(deadline=None)
@given(st.data())
def test_a_damaged_archive_is_refused_or_read(data):
    damaged = bytearray(GOOD)
    for _ in range(data.draw(st.integers(1, 4))):
        damaged[data.draw(st.integers(0, len(damaged) - 1))] = data.draw(st.integers(0, 255))
    with suppress(InputError):
        read_all(bytes(damaged))
