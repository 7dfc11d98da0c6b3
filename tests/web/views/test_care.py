from datetime import timedelta

import pytest

from leafgill.web.models import AnswerRow, EntryRow, TaskRow

pytestmark = pytest.mark.django_db


def tasks(ring):
    return TaskRow.objects.filter(tank=ring.tank)


def work_done(ring):
    return EntryRow.objects.filter(tank=ring.tank, kind="care", removed_at__isnull=True)


@pytest.fixture
def weekly(ring, now):
    return TaskRow.objects.create(
        tank=ring.tank, what="Trim the plants", every_days=7, last_done=now - timedelta(days=9)
    )


def seen(ring):
    (item,) = ring.get("owner", "care/").context["tasks"]
    return item["seen"]


def test_what_is_overdue_comes_first_and_is_told_in_words(ring, now, weekly, text):
    TaskRow.objects.create(tank=ring.tank, what="Later", every_days=30, last_done=now)
    TaskRow.objects.create(tank=ring.tank, what="Never yet", every_days=3)
    response = ring.get("reader", "care/")
    assert [item["task"].what for item in response.context["tasks"]] == [
        "Trim the plants",
        "Never yet",
        "Later",
    ]
    page = text(response)
    assert "Overdue by 2 days" in page
    assert "done last: 9 days ago, Thu 27 Feb." in page
    assert "due in 30 days".capitalize() in page


def test_done_is_noted_in_its_place_and_in_the_diary(ring, now, weekly):
    response = ring.post("writer", f"care/{weekly.pk}/done/", seen=seen(ring))
    assert response.status_code == 302
    weekly.refresh_from_db()
    assert weekly.last_done == now
    entry = work_done(ring).get()
    assert (entry.value, entry.time) == ("plants trimmed", now) or entry.value == "Trim the plants"


def test_two_taps_are_one_doing(ring, weekly):
    before = seen(ring)
    for _ in range(2):
        ring.post("owner", f"care/{weekly.pk}/done/", seen=before)
    assert work_done(ring).count() == 1


def test_the_list_to_begin_with_says_that_nobody_published_it(ring, text):
    page = text(ring.get("owner", "care/"))
    assert "common practice, no source" in page
    assert "Weigh the cylinder" in page
    ring.post("owner", "care/begin/", what=["Weigh the cylinder", "Hack the planet"])
    assert list(tasks(ring).values_list("what", "every_days")) == [("Weigh the cylinder", 7)]
    ring.post("owner", "care/begin/", what=["Weigh the cylinder"])
    assert tasks(ring).count() == 1
    names = [task.what for task in ring.get("owner", "care/").context["starters"]]
    assert "Weigh the cylinder" not in names


def test_an_electrode_is_to_be_calibrated_only_where_there_is_one(ring):
    names = [task.what for task in ring.get("owner", "care/").context["starters"]]
    assert "Calibrate the electrode" not in names
    ring.write(("2025-03-08T09:00", "ph_probe", "6.8"))
    names = [task.what for task in ring.get("owner", "care/").context["starters"]]
    assert "Calibrate the electrode" in names


def test_a_task_of_ones_own_once(ring):
    for _ in range(2):
        ring.post("writer", "care/add/", what=" Feed  the snails ", every_days="2",
                  last_done="2025-03-07", note="few")  # fmt: skip
    task = tasks(ring).get()
    assert (task.what, task.every_days, task.note) == ("Feed the snails", 2, "few")
    assert task.last_done.date().isoformat() == "2025-03-07"


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ({"what": "", "every_days": "7"}, "what"),
        ({"what": "x" * 121, "every_days": "7"}, "what"),
        ({"what": "x", "every_days": "0"}, "every_days"),
        ({"what": "x", "every_days": "2.5"}, "every_days"),
        ({"what": "x", "every_days": "99999999999999"}, "every_days"),
        ({"what": "x", "every_days": "7", "last_done": "soon"}, "last_done"),
        ({"what": "x", "every_days": "7", "last_done": "2025-03-09"}, "last_done"),
        ({"what": "x", "every_days": "7", "last_done": "0001-01-01"}, "last_done"),
    ],
)
def test_what_is_wrong_stands_beside_the_field(ring, typed, name):
    response = ring.post("owner", "care/add/", **typed)
    assert response.status_code == 422
    fields = {f.name: f for f in response.context["fields"]}
    assert fields[name].error
    assert fields["what"].value == typed["what"]
    assert not tasks(ring).exists()


def test_a_task_is_changed_and_the_same_day_keeps_its_hour(ring, weekly):
    done = weekly.last_done
    shown = {f.name: f.value for f in ring.get("writer", f"care/{weekly.pk}/").context["fields"]}
    assert shown["last_done"] == "2025-02-27"
    ring.post("writer", f"care/{weekly.pk}/", **{**shown, "every_days": "14"})
    weekly.refresh_from_db()
    assert (weekly.every_days, weekly.last_done) == (14, done)


def test_a_task_taken_out_leaves_what_was_done(ring, weekly):
    ring.post("owner", f"care/{weekly.pk}/done/", seen=seen(ring))
    for _ in range(2):
        assert ring.post("owner", f"care/{weekly.pk}/remove/").status_code == 302
    assert not tasks(ring).exists()
    assert work_done(ring).count() == 1


def test_a_task_of_another_tank_is_not_there(ring, other_tank, weekly):
    for rest in (f"care/{weekly.pk}/done/", f"care/{weekly.pk}/"):
        assert other_tank.post("owner", rest, what="x", every_days="1").status_code == 404
    other_tank.post("owner", f"care/{weekly.pk}/remove/")
    assert tasks(ring).count() == 1


def test_trouble_is_what_the_last_answer_tells(ring, now, text):
    assert "Nothing is worked out yet." in text(ring.get("reader", "care/"))
    ring.tank.refresh_from_db()
    said = {"what_does_not_fit": ["pH 6.2 does not fit"], "findings": ["A gap."]}
    answer = AnswerRow.objects.create(
        tank=ring.tank,
        version=ring.tank.version,
        asked_for=now,
        made_at=now,
        payload={"said": said, "bands": {"times_s": []}},
    )
    page = text(ring.get("reader", "care/"))
    assert "pH 6.2 does not fit" in page
    assert "A gap." in page
    assert "with everything that is written" in page
    answer.payload = {"said": {"what_does_not_fit": [], "findings": []}, "bands": {"times_s": []}}
    answer.save()
    ring.write(("2025-03-08T09:00", "ph", "6.8"))
    page = text(ring.get("reader", "care/"))
    assert "Nothing stands out" in page
    assert "what was written since is not in them" in page
