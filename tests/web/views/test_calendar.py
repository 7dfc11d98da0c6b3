"""The calendar's link: who it is for, what it gives, and how it ends."""

import re
from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from icalendar import Calendar

from leafgill.web.models import AnswerRow, FeedRow, Share, TaskRow
from leafgill.web.store.tanks import change_spec, spec_of

pytestmark = pytest.mark.django_db


def link_of(ring, who="owner"):
    page = ring.client(who).post("/settings/calendar/make/").content.decode()
    (link,) = re.findall(r"<code>http://testserver(/calendar/[^<]+)</code>", page)
    return link


def titles(response):
    assert response.status_code == 200
    told = Calendar.from_ical(response.content)
    return sorted(str(event["summary"]) for event in told.walk("VEVENT"))


@pytest.fixture
def trim(ring, now):
    return TaskRow.objects.create(
        tank=ring.tank, what="Trim", every_days=7, last_done=now - timedelta(days=2)
    )


def test_a_link_gives_what_is_planned_to_whoever_has_it(ring, trim, answered):
    answered()
    response = ring.client("nobody").get(link_of(ring))
    assert response["Content-Type"] == "text/calendar; charset=utf-8"
    assert "no-store" in response["Cache-Control"]
    assert titles(response) == ["Look again: Den", "Trim: Den"]
    told = Calendar.from_ical(response.content)
    (event,) = (e for e in told.walk("VEVENT") if "care" in str(e["uid"]))
    assert event.decoded("dtstart") == date(2025, 3, 13)
    assert str(event["url"]) == f"http://testserver{ring.url()}"


def test_before_anything_is_worked_out_there_is_care_alone(ring, trim):
    assert not AnswerRow.objects.exists()
    assert titles(ring.client("nobody").get(link_of(ring))) == ["Trim: Den"]


def test_it_is_of_the_tanks_a_keeper_has_or_may_see(ring, other_tank, trim, now):
    TaskRow.objects.create(tank=other_tank.tank, what="Weigh", every_days=7)
    links = {who: link_of(ring, who) for who in ("reader", "stranger")}
    assert titles(ring.client("nobody").get(links["reader"])) == ["Trim: Den"]
    assert titles(ring.client("nobody").get(links["stranger"])) == ["Weigh: Elsewhere"]
    Share.objects.filter(keeper=ring.keepers["reader"]).delete()
    assert titles(ring.client("nobody").get(links["reader"])) == []
    other_tank.tank.archived_at = now
    other_tank.tank.save()
    assert titles(ring.client("nobody").get(links["stranger"])) == []


def test_the_link_is_shown_once_and_kept_nowhere(ring):
    link = link_of(ring)
    token = link.removeprefix("/calendar/").removesuffix(".ics")
    assert len(token) == 43
    page = ring.client("owner").get("/settings/calendar/").content.decode()
    assert token not in page
    assert "An address was made on 8 March 2025, 11:10" in page
    (row,) = FeedRow.objects.values()
    assert token not in str(row)


def test_another_link_ends_the_one_before(ring):
    first, second = link_of(ring), link_of(ring)
    assert first != second
    assert ring.client("nobody").get(first).status_code == 404
    assert ring.client("nobody").get(second).status_code == 200
    assert FeedRow.objects.count() == 1


def test_taken_back_it_works_no_more_for_this_keeper_alone(ring):
    mine, other = link_of(ring), link_of(ring, "reader")
    assert ring.client("owner").post("/settings/calendar/revoke/").status_code == 302
    assert ring.client("nobody").get(mine).status_code == 404
    assert ring.client("nobody").get(other).status_code == 200
    assert (
        "An address was made"
        not in ring.client("owner").get("/settings/calendar/").content.decode()
    )


def test_of_a_keeper_who_is_not_let_in_any_more_it_gives_nothing(ring):
    link = link_of(ring)
    ring.keepers["owner"].is_active = False
    ring.keepers["owner"].save()
    assert ring.client("nobody").get(link).status_code == 404


@pytest.mark.parametrize("token", ["x", "A" * 43, "é" * 43, "A" * 500, "../../etc"])
def test_another_link_leads_nowhere(ring, token):
    link_of(ring)
    assert ring.client("owner").get(f"/calendar/{token}.ics").status_code == 404


def test_looking_writes_nothing_and_nothing_else_is_answered(ring, trim):
    link = link_of(ring)
    with CaptureQueriesContext(connection) as queries:
        assert ring.client("nobody").get(link).status_code == 200
    assert {q["sql"].split(" ", 1)[0] for q in queries} == {"SELECT"}
    assert ring.client("nobody").head(link).status_code == 200
    assert ring.client("nobody").post(link).status_code == 405


def test_days_are_those_of_the_tanks_clock(ring, trim):
    tank = spec_of(ring.tank)
    from dataclasses import replace

    change_spec(ring.tank, replace(tank, timezone="Pacific/Kiritimati"), ring.keepers["owner"])
    told = Calendar.from_ical(ring.client("nobody").get(link_of(ring)).content)
    (event,) = told.walk("VEVENT")
    # 11:10 UTC on the 6th is the 7th there
    assert event.decoded("dtstart") == date(2025, 3, 14)


def test_the_settings_lead_to_it(ring):
    assert 'href="/settings/calendar/"' in ring.client("owner").get("/settings/").content.decode()
