"""A tank's alerts on its pages: shown with their age, seen and put off by whoever may write."""

import re
from datetime import timedelta

import pytest

from leafgill.tank.spec import Tank
from leafgill.web.alert_models import AlertRow, PublishRow
from leafgill.web.alerts import book
from leafgill.web.alerts.condition import Condition, Round
from leafgill.web.models import AnswerRow
from leafgill.web.store.tanks import create_tank

pytestmark = pytest.mark.django_db


@pytest.fixture
def opened(ring, now):
    """Return a function that opens an alert of the ring's tank."""

    def of(key="watch:surge", urgency="today", title="More gas comes than was set", **more):
        at = more.pop("found_at", now)
        told = Condition(key, urgency, title, at - timedelta(hours=1), at=at, **more)
        book.keep(ring.tank, Round((told,), frozenset()), now)
        return AlertRow.objects.get(tank=ring.tank, key=key)

    return of


def test_today_shows_what_was_seen_how_sure_and_what_to_look_at(ring, opened, text):
    opened(seen="10:00: pH 6.20; expected pH 6.80, 6.70 to 6.90", check="count the bubbles",
           sure=0.72)  # fmt: skip
    words = text(ring.get("reader"))
    assert "More gas comes than was set (72 % sure)" in words
    assert "Since about today 11:10" in words
    assert "Seen 10:00: pH 6.20; expected pH 6.80, 6.70 to 6.90." in words
    assert "Look first Count the bubbles." in words
    assert "Older" not in words


def test_danger_comes_first_and_the_keepers_decimal_sign_is_used(ring, opened, text):
    opened(title="Something of 6.8")
    opened("over limit", "now", "CO2 may be over")
    ring.keepers["owner"].decimal = ","
    ring.keepers["owner"].save()
    words = text(ring.get("owner"))
    assert words.index("CO2 may be over") < words.index("Something of 6,8")


def test_an_old_alert_is_never_shown_as_of_now(ring, opened, text, now):
    opened(found_at=now - timedelta(minutes=13))
    assert "Older Found so today 11:57, and not since." in text(ring.get("owner"))
    opened(found_at=now - timedelta(minutes=11))
    assert "Older" not in text(ring.get("owner"))


def test_the_page_says_when_the_watch_looked(ring, text, now):
    assert "No alert is open. The watch has not looked at this tank yet." in text(
        ring.get("reader", "alerts/")
    )

    def watched(minutes, **more):
        at = (now - timedelta(minutes=minutes)).isoformat()
        told = {"at": at, "alerts": [], "error": "", **more}
        AnswerRow.objects.update_or_create(tank=ring.tank, defaults={"payload": {"watch": told}})
        return text(ring.get("reader", "alerts/"))

    assert "The watch looked today 12:05." in watched(5)
    assert "The watch last looked today 11:30, not since." in watched(40)
    failed = watched(5, alerts=None, error="too few draws")
    assert "The watch could not tell anything today 12:05: too few draws." in failed


def test_seen_and_put_off_without_a_script(ring, opened, text):
    row = opened()
    response = ring.post("writer", f"alerts/{row.pk}/snooze/", hours="4", back="today")
    assert response["Location"] == ring.url()
    assert "Put off until today 16:10." in text(ring.get("owner"))
    response = ring.post("writer", f"alerts/{row.pk}/seen/")
    assert response["Location"] == ring.url("alerts/")
    words = text(ring.get("owner"))
    assert "Seen by writer today 12:10; told no more." in words
    assert "I have seen it" not in words
    # done twice is done once
    assert ring.post("owner", f"alerts/{row.pk}/seen/").status_code == 302
    assert "Seen by writer" in text(ring.get("owner"))


@pytest.mark.parametrize("hours", ["", "2", "-1", "one", "99999999999999999999", "²"])
def test_hours_that_are_not_offered_are_refused(ring, opened, text, hours):
    row = opened()
    response = ring.post("owner", f"alerts/{row.pk}/snooze/", hours=hours)
    assert response.status_code == 422
    assert "It can be put off for 1, 4 or 24 hours." in text(response)
    row.refresh_from_db()
    assert row.snoozed_until is None


def test_danger_is_offered_one_hour(ring, opened):
    row = opened(urgency="now")
    page = ring.get("owner").content.decode()
    assert page.count('name="hours"') == 1
    assert ring.post("owner", f"alerts/{row.pk}/snooze/", hours="4").status_code == 422


@pytest.mark.parametrize("what", ["seen", "snooze"])
@pytest.mark.parametrize(
    ("who", "status"), [("owner", 302), ("writer", 302), ("reader", 403), ("stranger", 404),
                        ("nobody", 302)],
)  # fmt: skip
def test_only_who_may_write_answers_an_alert(ring, opened, what, who, status):
    row = opened()
    response = ring.post(who, f"alerts/{row.pk}/{what}/", hours="1")
    assert response.status_code == status
    row.refresh_from_db()
    changed = row.seen_at is not None or row.snoozed_until is not None
    assert changed is (who in ("owner", "writer"))


def test_a_reader_sees_no_buttons(ring, opened):
    opened()
    assert "I have seen it" in ring.get("writer").content.decode()
    assert "I have seen it" not in ring.get("reader").content.decode()


def test_an_alert_of_another_tank_is_none_of_this_one(ring, other_tank, opened):
    row = opened()
    assert other_tank.post("stranger", f"alerts/{row.pk}/seen/").status_code == 404
    row.refresh_from_db()
    assert row.seen_at is None


def test_what_is_over_stays_on_its_page(ring, opened, text, now):
    row = opened()
    row.over_at = now
    row.save()
    assert "More gas" not in text(ring.get("owner"))
    words = text(ring.get("owner", "alerts/"))
    assert words.index("Over") < words.index("More gas comes than was set")
    assert "Over today 12:10" in words
    assert ring.post("owner", f"alerts/{row.pk}/seen/").status_code == 302
    row.refresh_from_db()
    assert row.seen_at is None


def test_what_an_alert_says_is_text(ring, opened):
    opened(title="<b>x</b>", seen="<script>1</script>")
    page = ring.get("owner").content.decode()
    assert "<b>x" not in page
    assert "<script>1" not in page


def test_the_parts_that_grow_old_bring_the_alerts(ring, opened):
    opened()
    page = ring.get("owner", "now/").content.decode()
    assert 'id="alerts" class="alerts" aria-labelledby="alerts-head" hx-swap-oob="true"' in page
    assert "More gas comes" in page


def test_an_open_page_hears_of_what_is_new_and_else_of_nothing(ring, opened, text):
    (address,) = re.findall(
        r'hx-get="([^"]+alerts/now/[^"]+)"', ring.get("reader").content.decode()
    )
    client = ring.client("reader")
    assert client.get(address).status_code == 204
    opened("over limit", "now", "CO2 may be over")
    response = client.get(address)
    assert response.status_code == 200
    assert "<html" not in response.content.decode()
    assert "CO2 may be over" in text(response)
    assert ring.get("stranger", "alerts/now/").status_code == 404


def test_only_an_owner_publishes_a_tank(ring, text):
    assert "Publish this tank" in text(ring.get("owner", "alerts/"))
    assert "Publish this tank" not in text(ring.get("writer", "alerts/"))
    assert ring.post("writer", "alerts/publish/", publish="yes").status_code == 404
    assert not PublishRow.objects.exists()
    for _ in range(2):
        assert ring.post("owner", "alerts/publish/", publish="yes").status_code == 302
    assert PublishRow.objects.get().tank == ring.tank
    assert "Publish no more" in text(ring.get("owner", "alerts/"))
    assert ring.post("owner", "alerts/publish/", publish="maybe").status_code == 404
    ring.post("owner", "alerts/publish/", publish="no")
    assert not PublishRow.objects.exists()


def test_the_list_of_tanks_shows_the_first_alert_and_danger_comes_first(ring, opened, text):
    told = {"tank": {"name": "Alcove", "volume_l": 30.0, "timezone": "UTC"}}
    create_tank(ring.keepers["owner"], Tank.from_mapping(told))

    def names():
        words = text(ring.client("owner").get("/?all"))
        return words.index("Den CO2") < words.index("Alcove CO2"), words

    assert not names()[0]
    opened()
    first, words = names()
    assert not first
    assert "Look today: More gas comes than was set" in words
    opened("over limit", "now", "CO2 may be over")
    first, words = names()
    assert first
    assert "Look now: CO2 may be over 2 alerts of Den" in words
