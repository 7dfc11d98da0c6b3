from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from leafgill.diary import Entry
from leafgill.web.models import EntryRow
from leafgill.web.store.entries import add_entry, diary_of
from leafgill.web.store.readings import add_readings, sensor_for

pytestmark = pytest.mark.django_db
BERLIN = ZoneInfo("Europe/Berlin")


def kept(ring):
    return EntryRow.objects.filter(tank=ring.tank, removed_at__isnull=True)


# -- looking


def test_days_are_those_of_the_tanks_clock_and_the_newest_comes_first(ring, text):
    ring.write(("2025-03-07T23:30", "ph", "6.8"), ("2025-03-08T00:30", "kh", "4", "dKH"))
    page = text(ring.get("reader", "diary/"))
    assert "Today, Saturday 8 March" in page
    assert "Yesterday, Friday 7 March" in page
    assert page.index("00:30") < page.index("23:30")
    assert "pH, hand test 6.80" in page


def test_an_empty_diary_says_what_to_begin_with(ring, text):
    page = text(ring.get("owner", "diary/"))
    assert "Nothing is written down yet." in page
    assert "Write down a KH" in page
    assert "Write down a KH" not in text(ring.get("reader", "diary/"))


def test_one_kind_alone_is_shown_when_asked(ring, text):
    ring.write(("2025-03-08T09:00", "ph", "6.8"), ("2025-03-08T10:00", "fish", "normal"))
    page = text(ring.get("owner", "diary/", kind="fish"))
    assert "normal" in page
    assert "6.80" not in page
    assert "6.80" in text(ring.get("owner", "diary/", kind="nonsense"))


def test_pages_follow_each_other_without_losing_or_repeating_an_entry(ring, text):
    # thirty at each of five moments, so that a page ends among equals
    rows = [
        (f"2025-03-08T0{n % 5}:00", "note", "", "", f"entry number {n:03d}") for n in range(150)
    ]
    ring.write(*rows)
    seen, query = [], {}
    for _ in range(5):
        response = ring.get("owner", "diary/", **query)
        seen += [n for n in range(150) if f"entry number {n:03d}" in text(response)]
        if response.context["older"] is None:
            break
        query = {"before": str(response.context["older"])}
    assert sorted(seen) == list(range(150))


@pytest.mark.parametrize("before", ["0", "999999999", "x", "-1", "1" * 40])
def test_an_odd_page_is_the_first(ring, before, text):
    ring.write(("2025-03-08T09:00", "ph", "6.8"))
    assert "6.80" in text(ring.get("owner", "diary/", before=before))


def test_what_was_noticed_stands_beside_the_entry_it_is_about(ring, text):
    ring.write(
        ("2025-03-01T09:00", "cylinder_mass", "5000", "g"),
        ("2025-03-02T09:00", "cylinder_mass", "5900", "g"),
        ("2025-03-08T20:00", "ph", "6.9"),
        ("2025-03-08T09:00", "ph", "9.8"),
    )
    response = ring.get("owner", "diary/")
    lines = {
        (line.clock, day.day.day): line.findings
        for day in response.context["days"]
        for line in day.lines
    }
    assert "weighs 900 g more than at 1 March 2025 09:00" in lines[("09:00", 2)][0]
    assert "later than now" in lines[("20:00", 8)][0]
    assert "unusual" in lines[("09:00", 8)][0]
    assert lines[("09:00", 1)] == ()


def test_a_heavier_cylinder_is_noticed_across_the_end_of_a_page(ring):
    ring.write(
        ("2025-03-01T09:00", "cylinder_mass", "5000", "g"),
        ("2025-03-02T09:00", "cylinder_mass", "5900", "g"),
        *((f"2025-03-03T{n // 60:02d}:{n % 60:02d}", "note", "", "", f"n{n}") for n in range(59)),
    )
    (last,) = [
        line
        for day in ring.get("owner", "diary/").context["days"]
        for line in day.lines
        if line.kind == "cylinder_mass"
    ]
    assert "more than" in last.findings[0]


def test_who_wrote_what_is_told_where_several_may_write(ring, text):
    ring.post("writer", "diary/add/ph/", time="2025-03-08T09:00", value="6.8")
    assert "by writer" in text(ring.get("owner", "diary/"))


# -- writing


def test_a_form_shows_the_present_by_the_tanks_clock(ring):
    response = ring.get("writer", "diary/add/bubble_count/")
    shown = {field.name: field.value for field in response.context["fields"]}
    assert shown["time"] == "2025-03-08T12:10"
    assert shown["seconds"] == "10"


def test_what_is_sent_stands_in_the_diary_at_its_moment(ring, text):
    response = ring.post("writer", "diary/add/kh/", time="2025-03-08T09:00", value="4", unit="dKH",
                         drop="0.5", note="evening kit")  # fmt: skip
    assert response.status_code == 302
    (row,) = kept(ring)
    assert (row.kind, row.value, row.unit) == ("kh", "4", "dKH")
    assert row.note == "drop 0.5 dKH; evening kit"
    assert row.time == datetime(2025, 3, 8, 9, 0, tzinfo=BERLIN)
    assert row.made_by.username == "writer"
    assert "Written down." in text(ring.client("writer").get(response["Location"]))


def test_sent_twice_it_is_written_once(ring, text):
    for _ in range(2):
        response = ring.post("owner", "diary/add/ph/", time="2025-03-08T09:00", value="6.8")
    assert kept(ring).count() == 1
    assert "in the diary already" in text(ring.client("owner").get(response["Location"]))


def test_every_write_tells_the_tank(ring):
    before = ring.tank.version
    ring.post("owner", "diary/add/ph/", time="2025-03-08T09:00", value="6.8")
    ring.tank.refresh_from_db()
    assert ring.tank.version > before


def test_what_is_wrong_stands_beside_the_field_and_what_was_typed_stays(ring, text):
    response = ring.post("owner", "diary/add/ph/", time="2025-03-08T09:00", value="66", note="odd")
    assert response.status_code == 422
    fields = {field.name: field for field in response.context["fields"]}
    assert fields["value"].value == "66"
    assert fields["value"].error.endswith("(did you mean 6.6?)")
    assert fields["note"].value == "odd"
    assert not kept(ring).exists()
    page = response.content.decode()
    assert 'aria-invalid="true"' in page
    assert 'id="f-value-error"' in page


def test_markup_in_a_note_is_shown_as_it_was_typed(ring):
    ring.write(("2025-03-08T09:00", "note", "", "", "<script>alert(1)</script>"))
    page = ring.get("owner", "diary/").content.decode()
    assert "<script>alert(1)" not in page
    assert "&lt;script&gt;alert(1)" in page


def test_an_unknown_kind_is_not_there(ring):
    assert ring.get("owner", "diary/add/mood/").status_code == 404
    assert ring.post("owner", "diary/add/mood/", value="1").status_code == 404


# -- mending


def test_an_entry_is_changed_in_its_place(ring):
    (number,) = ring.write(("2025-03-08T09:00", "kh", "4", "dKH", "drop 0.5 dKH; old kit"))
    shown = {f.name: f.value for f in ring.get("owner", f"diary/{number}/edit/").context["fields"]}
    assert shown == {
        "time": "2025-03-08T09:00",
        "value": "4",
        "unit": "dKH",
        "drop": "0.5",
        "note": "old kit",
    }
    ring.post("writer", f"diary/{number}/edit/", **{**shown, "value": "4.5"})
    (row,) = kept(ring)
    assert (row.pk, row.value, row.note) == (number, "4.5", "drop 0.5 dKH; old kit")


def test_nothing_changed_is_no_change(ring):
    (number,) = ring.write(("2025-03-08T09:00:30", "ph", "6.8"))
    shown = {f.name: f.value for f in ring.get("owner", f"diary/{number}/edit/").context["fields"]}
    ring.tank.refresh_from_db()
    before = ring.tank.version
    response = ring.post("owner", f"diary/{number}/edit/", **shown)
    ring.tank.refresh_from_db()
    assert response["Location"].endswith("told=same")
    assert ring.tank.version == before
    assert kept(ring).get().time.second == 30


def test_a_wrong_change_changes_nothing(ring):
    (number,) = ring.write(("2025-03-08T09:00", "ph", "6.8"))
    response = ring.post("owner", f"diary/{number}/edit/", time="2025-03-08T09:00", value="x")
    assert response.status_code == 422
    assert kept(ring).get().value == "6.8"


def test_an_entry_taken_out_can_be_put_back(ring, text):
    (number,) = ring.write(("2025-03-08T09:00", "ph", "6.8"))
    response = ring.post("writer", f"diary/{number}/remove/")
    assert not kept(ring).exists()
    page = text(ring.client("writer").get(response["Location"]))
    assert "Taken out: pH, hand test 6.80." in page
    assert "Put it back" in page
    assert "6.80" in text(ring.get("owner", "diary/", removed=""))
    ring.post("writer", f"diary/{number}/restore/")
    assert kept(ring).get().pk == number


def test_done_twice_it_is_done_once(ring):
    (number,) = ring.write(("2025-03-08T09:00", "ph", "6.8"))
    ring.post("owner", f"diary/{number}/remove/")
    first = EntryRow.objects.get(pk=number).removed_at
    assert ring.post("owner", f"diary/{number}/remove/").status_code == 302
    assert EntryRow.objects.get(pk=number).removed_at == first
    for _ in range(2):
        assert ring.post("owner", f"diary/{number}/restore/").status_code == 302
    assert kept(ring).count() == 1


def test_an_entry_of_another_tank_is_not_there(ring, other_tank):
    (number,) = other_tank.write(("2025-03-08T09:00", "ph", "6.8"))
    for rest in (f"diary/{number}/edit/", f"diary/{number}/remove/", f"diary/{number}/restore/"):
        assert ring.post("owner", rest, time="2025-03-08T09:00", value="7").status_code == 404
    assert kept(other_tank).get().value == "6.8"


def test_an_entry_that_was_taken_out_is_not_changed(ring):
    (number,) = ring.write(("2025-03-08T09:00", "ph", "6.8"))
    ring.post("owner", f"diary/{number}/remove/")
    assert ring.get("owner", f"diary/{number}/edit/").status_code == 404


# -- clocks and sensors


def test_a_clock_in_a_note_is_the_tanks(ring):
    note = "same probe; indoor air; glass drawn 2025-03-07 08:00"
    ring.write(("2025-03-08T08:00", "degassed_ph", "7.7", "", note))
    (entry,) = diary_of(ring.tank).of("degassed_ph")
    assert entry.drawn == datetime(2025, 3, 7, 8, 0, tzinfo=BERLIN)
    assert entry.time.utcoffset() == entry.drawn.utcoffset()


def test_an_entry_of_the_hour_that_comes_twice_keeps_its_pass(ring):
    second = datetime(2024, 10, 27, 2, 30, tzinfo=BERLIN, fold=1)
    row = add_entry(ring.tank, Entry(second, "ph", "6.8"), ring.keepers["owner"])
    shown = {f.name: f.value for f in ring.get("owner", f"diary/{row.pk}/edit/").context["fields"]}
    assert shown["time"] == "2024-10-27T02:30"
    ring.post("owner", f"diary/{row.pk}/edit/", **{**shown, "value": "6.9"})
    changed = kept(ring).get()
    assert changed.value == "6.9"
    # moments: Python holds a time of the hour that comes twice equal to none of another zone
    assert changed.time.timestamp() == second.timestamp()


def test_sensors_are_listed_with_their_newest_reading_and_a_line_of_the_last_day(ring, now, text):
    at = int(now.timestamp())
    times = np.arange(at - 3 * 86_400, at - 600, 600)
    add_readings(sensor_for(ring.tank, "temperature"), times, 24.0 + 0.001 * np.arange(times.size))
    sensor_for(ring.tank, "ph")
    page = text(ring.get("reader", "diary/"))
    assert "Temperature of the tank water 24.43 °C, today 11:50" in page
    assert "431 readings since 5 March 2025" in page
    assert "PH of the tank water" not in page
    assert "pH of the tank water Nothing sent yet." in page
    ring.keepers["reader"].units = "us"
    ring.keepers["reader"].save()
    response = ring.get("reader", "diary/")
    assert "75.97 °F, today 11:50" in text(response)
    line = next(s for s in response.context["sensors"] if s.name == "temperature")
    assert len(line.line.points.split()) == 145
    assert 'aria-label="The last 24 hours, 75.71 to 75.97 °F"' in response.content.decode()
