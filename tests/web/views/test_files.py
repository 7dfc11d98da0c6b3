from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from leafgill.diary import Diary
from leafgill.tank.spec import Tank
from leafgill.tank.toml_file import tank_content
from leafgill.web.importing import upload
from leafgill.web.models import EntryRow, ReadingRow, Share, SpecRow
from leafgill.web.store.entries import diary_of
from leafgill.web.store.readings import add_readings, sensor_for
from leafgill.web.store.tanks import spec_of

pytestmark = pytest.mark.django_db
BERLIN = ZoneInfo("Europe/Berlin")
HEADER = "time,kind,value,unit,note\n"
GOOD = HEADER + "2025-03-04T12:30,ph,6.8,,\n2025-03-04T12:31,fish,normal,,\n"


def send(ring, kind, data, who="owner", name="file.csv"):
    data = data.encode() if isinstance(data, str) else data
    return ring.post(who, f"files/{kind}/", file=SimpleUploadedFile(name, data))


def entries(ring):
    return EntryRow.objects.filter(tank=ring.tank, removed_at__isnull=True)


def readings(ring):
    return ReadingRow.objects.filter(sensor__tank=ring.tank)


def at(response):
    """Return the address a response leads to, below the tank's."""
    assert response.status_code == 302, response.content.decode()[:2000]
    return response["Location"].split("/", 3)[3]


# -- a diary


def test_nothing_is_written_before_it_is_confirmed(ring, text):
    look = at(send(ring, "diary", GOOD, "writer"))
    page = text(ring.get("writer", look))
    assert "2 new rows" in page
    assert "pH, hand test 6.80" in page
    assert not entries(ring).exists()
    back = ring.post("writer", look)
    assert entries(ring).count() == 2
    assert entries(ring).first().made_by.username == "writer"
    assert "It is in." in text(ring.client("writer").get(back["Location"]))


def test_confirmed_twice_it_comes_in_once(ring, text):
    look = at(send(ring, "diary", GOOD))
    ring.post("owner", look)
    again = ring.post("owner", look)
    assert entries(ring).count() == 2
    assert "before" in text(ring.client("owner").get(again["Location"]))
    # and the same file a second time brings nothing
    look = at(send(ring, "diary", GOOD))
    page = text(ring.get("owner", look))
    assert "0 new rows" in page
    assert "2 in the diary already" in page
    ring.post("owner", look)
    assert entries(ring).count() == 2


def test_what_was_written_in_between_is_not_doubled(ring):
    first, second = at(send(ring, "diary", GOOD)), at(send(ring, "diary", GOOD))
    ring.post("owner", first)
    ring.post("owner", second)
    assert entries(ring).count() == 2


def test_rows_that_cannot_be_meant_are_named_by_line_and_left_out(ring, text):
    look = at(send(ring, "diary", GOOD + "2025-03-04T12:32,ph,66,,\nsoon,ph,6.8,,\n"))
    page = text(ring.get("owner", look))
    assert "file.csv line 4: value 66 is not accepted" in page
    assert "file.csv line 5: time" in page
    assert "Bring in the 2 that can be read" in page
    ring.post("owner", look)
    assert entries(ring).count() == 2


@pytest.mark.parametrize(
    ("kind", "data", "words"),
    [
        ("diary", b"", "empty"),
        ("diary", b"[tank]\nname='x'\n", "this is a tank file"),
        ("diary", b"\x00\x01\x02", "not a text file"),
        ("probe", b"time,kind,value\n2025-03-04T08:00,ph,6\n", "bring it in as the diary"),
        ("probe", b"hello", "one column"),
        ("tank", b"[tank]\nname = 'x'\n", "volume_l"),
        ("tank", b"[tank]\nname = 'x'\nvolume_l = 60\ncolour = 'red'\n", "unknown key"),
    ],
)
def test_a_file_that_is_none_is_refused_beside_its_field(ring, kind, data, words):
    response = send(ring, kind, data)
    assert response.status_code == 422
    (way,) = [way for way in response.context["ways"] if way["kind"] == kind]
    assert words in way["wrong"]
    assert [w["wrong"] for w in response.context["ways"] if w["kind"] != kind] == ["", ""]


def test_no_file_is_told_of(ring, text):
    assert "Choose a file first." in text(ring.post("owner", "files/diary/"))


def test_a_file_too_large_is_refused(ring, monkeypatch, text):
    monkeypatch.setitem(upload.LARGEST, "diary", 10)
    response = send(ring, "diary", GOOD)
    assert response.status_code == 422
    assert "is larger than" in text(response)


def test_an_upload_is_the_keepers_and_the_tanks_own(ring, other_tank):
    look = at(send(ring, "diary", GOOD))
    assert ring.get("writer", look).status_code == 302
    ring.post("writer", look)
    assert not entries(ring).exists()
    # somebody with two tanks cannot bring one's file into the other
    stranger_look = at(send(other_tank, "diary", GOOD))
    token = stranger_look.split("/")[2]
    Share.objects.create(tank=ring.tank, keeper=ring.keepers["stranger"], role="write")
    ring.post("stranger", f"files/diary/{token}/")
    assert not entries(ring).exists()
    assert other_tank.get("owner", stranger_look).status_code == 200


def test_an_upload_can_be_thrown_away(ring, text):
    look = at(send(ring, "diary", GOOD))
    back = ring.post("owner", f"{look}forget/")
    assert "thrown away" in text(ring.client("owner").get(back["Location"]))
    assert ring.get("owner", look).status_code == 302
    ring.post("owner", look)
    assert not entries(ring).exists()


# -- readings


def test_readings_come_in_once_whatever_is_sent(ring, text):
    data = "time,ph,temperature (°F)\n2025-03-04T12:30,6.8,77\n2025-03-04T12:31,6.7,\n"
    for new in (3, 0):
        look = at(send(ring, "probe", data))
        streams = {s["sensor"]: s for s in ring.get("owner", look).context["streams"]}
        assert sum(s["new"] for s in streams.values()) == new
        ring.post("owner", look)
        assert readings(ring).count() == 3
    stream = diary_of(ring.tank).streams["temperature"]
    assert stream.values.tolist() == pytest.approx([25.0])
    when = datetime.fromtimestamp(int(stream.times_s[0]), BERLIN)
    assert (when.hour, when.minute) == (12, 30)


def test_another_value_at_the_same_second_is_told_of_and_takes_its_place(ring, text):
    ring.post("owner", at(send(ring, "probe", "time,ph\n2025-03-04T12:30,6.8\n")))
    look = at(send(ring, "probe", "time,ph\n2025-03-04T12:30,6.9\n"))
    assert ring.get("owner", look).context["streams"][0]["changed"] == 1
    ring.post("owner", look)
    assert readings(ring).get().value == 6.9


ODD = "no;Datum;Uhr;Wert A;Wert B\n1;04.03.25;08:00;6,91;24,1\n2;04.03.25;08:01;6,90;24,2\n"


def test_columns_are_asked_for_where_the_titles_are_not_known(ring, text):
    columns = at(send(ring, "probe", ODD))
    assert columns.endswith("/columns/")
    response = ring.get("owner", columns)
    shown = {c["title"]: c for c in response.context["columns"]}
    assert shown["Datum"]["is"] == "time"
    assert shown["Uhr"]["is"] == "clock"
    assert shown["Wert A"]["cells"] == ["6,91", "6,90"]
    chosen = {"is-1": "time", "is-2": "clock", "is-3": "ph", "is-4": "temperature"}
    chosen |= {"form": "day first", "clock": "tank"}
    look = at(ring.post("owner", columns, **chosen))
    page = text(ring.get("owner", look))
    assert "2025-03-04 08:00" in page
    assert "6.9 to 6.91" in page
    assert not readings(ring).exists()
    ring.post("owner", look)
    assert readings(ring).count() == 4
    assert diary_of(ring.tank).streams["ph"].values.tolist() == [6.91, 6.90]


def test_what_was_chosen_is_shown_again_with_what_is_wrong(ring, text):
    columns = at(send(ring, "probe", ODD))
    wrong = ring.post("owner", columns, **{"is-1": "time", "is-3": "ph", "is-4": "ph"})
    assert wrong.status_code == 422
    assert "one sensor is chosen for two columns" in text(wrong)
    shown = {c["title"]: c["is"] for c in wrong.context["columns"]}
    assert (shown["Wert A"], shown["Wert B"], shown["Uhr"]) == ("ph", "ph", "")
    nothing = ring.post("owner", columns)
    assert "no column is said to be the date" in text(nothing)
    assert not readings(ring).exists()


def test_columns_that_are_known_can_be_chosen_otherwise(ring):
    look = at(send(ring, "probe", "time,ph,temp\n2025-03-04T12:30,6.8,6.2\n"))
    token = look.split("/")[2]
    columns = f"files/probe/{token}/columns/"
    assert {c["title"]: c["is"] for c in ring.get("owner", columns).context["columns"]} == {
        "time": "time",
        "ph": "ph",
        "temp": "temperature",
    }
    ring.post("owner", columns, **{"is-0": "time", "is-2": "ph", "clock": "utc"})
    ring.post("owner", look)
    stream = diary_of(ring.tank).streams["ph"]
    assert stream.values.tolist() == [6.2]
    assert datetime.fromtimestamp(int(stream.times_s[0]), BERLIN).hour == 13


# -- a description


TOML = '[tank]\nname = "Den"\nvolume_l = 70\ntimezone = "Europe/Berlin"\n[water]\nkh_dkh = 4\n'


def test_a_description_shows_what_it_changes_first(ring, text):
    look = at(send(ring, "tank", TOML, name="den.toml"))
    page = text(ring.get("owner", look))
    assert "Water in it 60 L 70 L" in page
    assert "Carbonate" not in page
    assert spec_of(ring.tank).volume_l == 60.0
    for _ in range(2):
        ring.post("owner", look)
    assert spec_of(ring.tank).volume_l == 70.0
    assert SpecRow.objects.filter(tank=ring.tank).count() == 2


# -- going out


def test_what_goes_out_comes_back_equal(ring):
    ring.write(
        ("2025-03-04T12:30", "kh", "4", "dKH", "drop 0.5"),
        ("2025-03-04T12:31", "note", "", "", 'a, "b"\nc'),
        ("2025-10-26T02:30", "ph", "6.8"),
    )
    add_readings(
        sensor_for(ring.tank, "ph"), np.array([1741087800, 1741087860]), np.array([6.8, 6.81])
    )
    kept = diary_of(ring.tank)
    diary = ring.get("reader", "files/out/diary.csv")
    probe = ring.get("reader", "files/out/probe.csv")
    assert diary["Content-Disposition"] == 'attachment; filename="den-diary.csv"'
    assert Diary.read(diary.content, probe.content, timezone="Europe/Berlin") == kept
    toml = ring.get("reader", "files/out/tank.toml").content
    assert Tank.from_mapping(tank_content(toml, "t")) == spec_of(ring.tank)


def test_what_is_taken_out_of_the_diary_does_not_go_out(ring):
    (number,) = ring.write(("2025-03-04T12:30", "ph", "6.8"))
    ring.post("owner", f"diary/{number}/remove/")
    assert ring.get("owner", "files/out/diary.csv").content == HEADER.encode()


def test_a_tank_without_sensors_has_an_empty_file(ring):
    assert ring.get("owner", "files/out/probe.csv").content == b"time,ph\n"


@pytest.mark.parametrize("name", ['A "quoted"\r\nX: y', "../../etc", "水槽", "x" * 80])
def test_a_files_name_is_plain_whatever_the_tanks_is(ring, name):
    ring.tank.name = name
    ring.tank.save()
    header = ring.get("owner", "files/out/diary.csv")["Content-Disposition"]
    stem = header.removeprefix('attachment; filename="').removesuffix('-diary.csv"')
    assert stem.replace("-", "").isascii()
    assert stem.replace("-", "").isalnum()
    assert Path(stem).name == stem
