import io
import json
import zipfile

import numpy as np
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from leafgill.web.models import (
    EntryRow,
    ReadingRow,
    SensorRow,
    Share,
    SpecRow,
    StepRow,
    TankRow,
    TaskRow,
)
from leafgill.web.store import archive
from leafgill.web.store.entries import diary_of
from leafgill.web.store.readings import add_readings, sensor_for
from leafgill.web.store.tanks import spec_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def full(ring, now):
    """Return the ring with something of everything in its tank."""
    ring.post("owner", "about/water/", **{"water-kh_dkh": "5", "tank-temperature_c": "24"})
    numbers = ring.write(
        ("2025-03-04T12:30:15", "kh", "4", "dKH", "drop 0.5 dKH; old kit"),
        ("2025-03-04T12:31", "note", "", "", 'a, "b"\nc'),
        ("2025-03-04T12:32", "gas_day", "08:30-17:30"),
        ("2025-03-05T12:32", "ph", "6.8"),
    )
    ring.post("writer", "diary/add/ph/", time="2025-03-06T09:00", value="6.9")
    ring.post("owner", f"diary/{numbers[3]}/remove/")
    ph = sensor_for(ring.tank, "ph")
    times_s = np.arange(1_741_087_800, 1_741_087_800 + 3600, 60)
    add_readings(ph, times_s, 6.5 + 0.001 * np.arange(60))
    ReadingRow.objects.filter(sensor=ph, time_s__in=times_s[3:6].tolist()).update(flag=2)
    # a broken electrode shows what no water has; doubted, it is kept
    ReadingRow.objects.filter(sensor=ph, time_s=times_s[3]).update(value=15.3, flag=1)
    add_readings(sensor_for(ring.tank, "temperature"), times_s[:2], np.array([24.1, 24.2]))
    TaskRow.objects.create(tank=ring.tank, what="Trim", every_days=14, last_done=now, note="n")
    TaskRow.objects.create(tank=ring.tank, what="Feed", every_days=1)
    StepRow.objects.create(
        tank=ring.tank, made_at=now, payload={"what": "Raise"}, reply="done", replied_at=now
    )
    return ring


def everything(row):
    """Return all the store has of a tank, without what is of this store alone."""
    rows = {
        "specs": list(SpecRow.objects.filter(tank=row).order_by("pk").values("valid_from", "toml")),
        "entries": list(
            EntryRow.objects.filter(tank=row)
            .order_by("time", "pk")
            .values("time", "kind", "value", "unit", "note", "made_at", "removed_at")
        ),
        "sensors": list(
            SensorRow.objects.filter(tank=row).order_by("pk").values("name", "kind", "unit")
        ),
        "readings": list(
            ReadingRow.objects.filter(sensor__tank=row)
            .order_by("sensor__kind", "time_s")
            .values_list("sensor__kind", "time_s", "value", "flag")
        ),
        "tasks": list(
            TaskRow.objects.filter(tank=row)
            .order_by("pk")
            .values("what", "every_days", "last_done", "note")
        ),
        "steps": list(
            StepRow.objects.filter(tank=row)
            .order_by("pk")
            .values("made_at", "payload", "reply", "replied_at")
        ),
    }
    return {**rows, "name": row.name, "created": row.created}


def saved(ring):
    response = ring.get("owner", "files/out/everything.zip")
    assert response["Content-Type"] == "application/zip"
    return b"".join(response.streaming_content)


def send(client, data, name="den.zip"):
    return client.post("/archive/", {"file": SimpleUploadedFile(name, data)})


def newest():
    return TankRow.objects.order_by("-pk").first()


def test_a_tank_comes_back_whole_to_somebody_else(full, text):
    data = saved(full)
    client = full.client("stranger")
    look = send(client, data)["Location"]
    page = text(client.get(look))
    assert "Den 5 entries, 62 readings of 2 sensors, 2 descriptions, 2 tasks, 1 step." in page
    assert TankRow.objects.count() == 1
    client.post(look)
    row = newest()
    assert row.pk != full.tank.pk
    assert row.public_id != full.tank.public_id
    full.tank.refresh_from_db()
    assert everything(row) == everything(full.tank)
    assert diary_of(row) == diary_of(full.tank)
    assert spec_of(row) == spec_of(full.tank)
    shares = list(Share.objects.filter(tank=row).values_list("keeper__username", "role"))
    assert shares == [("stranger", "owner")]


def test_who_wrote_what_is_known_only_of_who_brings_it_back(full):
    client = full.client("owner")
    client.post(send(client, saved(full))["Location"])
    by = EntryRow.objects.filter(tank=newest()).values_list("made_by__username", flat=True)
    assert set(by) == {"owner", None}


def test_confirmed_twice_it_comes_back_once(full, text):
    client = full.client("owner")
    look = send(client, saved(full))["Location"]
    assert "you have a tank of this name" in text(client.get(look))
    for _ in range(2):
        assert client.post(look).status_code == 302
    assert TankRow.objects.count() == 2


def test_all_of_a_keepers_own_tanks_go_out_together(full, other_tank):
    stranger = full.keepers["stranger"]
    Share.objects.create(tank=full.tank, keeper=stranger, role="write")
    data = b"".join(full.client("stranger").get("/archive/out.zip").streaming_content)
    assert [tank["name"] for tank in archive.look(data, "a.zip")["tanks"]] == ["Elsewhere"]


def test_only_who_may_see_a_tank_takes_it_out(full):
    assert full.get("stranger", "files/out/everything.zip").status_code == 404


def rebuilt(data, member, change):
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            content = old.read(name)
            new.writestr(name, change(content) if name == member else content)
    return out.getvalue()


def in_json(**changes):
    def change(content):
        told = json.loads(content)
        (told[0] if isinstance(told, list) else told["tanks"][0]).update(changes)
        return json.dumps(told)

    return change


@pytest.mark.parametrize(
    ("member", "change", "words"),
    [
        ("tanks/1/spec-2.toml", lambda c: c.replace(b"volume_l", b"volume"), "unknown key"),
        ("tanks/1/spec-2.toml", lambda c: b"[tank", "cannot be read"),
        ("tanks/1/entries.csv", lambda c: c.replace(b",kh,4,", b",kh,400,"), "entries.csv line 2"),
        ("tanks/1/entries.csv", lambda c: c.replace(b",kh,", b",mood,"), "kind"),
        ("tanks/1/entries.csv", lambda c: c.replace(b"2025-03-04T", b"20x5-03-04T"), "time"),
        ("tanks/1/readings-1.csv", lambda c: c.replace(b"6.5,", b"66.5,", 1), "cannot be"),
        ("tanks/1/readings-1.csv", lambda c: c + c.split(b"\n")[1] + b"\n", "out of order"),
        ("tanks/1/tasks.json", in_json(every_days=0), "task"),
        ("tanks/1/tasks.json", in_json(what=""), "task"),
        ("tanks/1/tasks.json", in_json(last_done="soon"), "time"),
        ("tanks/1/steps.json", in_json(reply="maybe"), "step"),
        ("tanks/1/steps.json", in_json(payload=[1]), "step"),
        ("manifest.json", in_json(specs=[]), "no description"),
        ("manifest.json", in_json(created="2025-01-01"), "time"),
        ("manifest.json", lambda c: c.replace(b'"kind": "ph"', b'"kind": "mood"'), "not known"),
    ],
)
def test_an_archive_that_was_tampered_with_brings_nothing(full, member, change, words, text):
    data = rebuilt(saved(full), member, change)
    response = send(full.client("owner"), data)
    assert response.status_code == 422
    assert words in text(response)
    assert TankRow.objects.count() == 1


def test_what_fails_while_it_comes_back_leaves_nothing(full, monkeypatch, now):
    data = saved(full)

    def broken(*args):
        raise ZeroDivisionError

    monkeypatch.setattr(archive, "_restore_sensor", broken)
    with pytest.raises(ZeroDivisionError):
        archive.restore(data, "a.zip", full.keepers["owner"], now)
    assert TankRow.objects.count() == 1


def test_an_uploaded_archive_is_the_keepers_own_and_can_be_thrown_away(full):
    look = send(full.client("owner"), saved(full))["Location"]
    full.client("writer").post(look)
    assert TankRow.objects.count() == 1
    client = full.client("owner")
    assert client.post(f"{look}forget/").status_code == 302
    client.post(look)
    assert TankRow.objects.count() == 1
