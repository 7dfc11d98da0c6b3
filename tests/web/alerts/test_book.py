"""The book of alerts: each opened once, kept while it holds, closed when it is over."""

from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction

from leafgill.errors import InputError
from leafgill.web.alert_models import AlertRow
from leafgill.web.alerts import book
from leafgill.web.alerts.condition import Condition, Round

pytestmark = pytest.mark.django_db


@pytest.fixture
def now(facts):
    return facts().now


@pytest.fixture
def held(now):
    def of(key="watch:surge", urgency="today", **more):
        return Condition(key, urgency, "More gas comes", now, **more)

    return of


def found(*held, judged=("watch", "over limit")):
    return Round(tuple(held), frozenset(judged))


def rows(den):
    return list(AlertRow.objects.filter(tank=den).order_by("pk"))


def test_it_is_opened_once_and_goes_on(den, held, now):
    book.keep(den, found(held(sure=0.5, seen="pH 6.2")), now)
    at = now + timedelta(minutes=10)
    book.keep(den, found(held(sure=0.9, seen="pH 6.1")), at)
    (row,) = rows(den)
    assert (row.opened_at, row.held_at, row.sure, row.seen) == (now, at, 0.9, "pH 6.1")
    assert row.state_at(at) == "open"


def test_it_is_over_once_it_has_not_held_for_a_while(den, held, now):
    book.keep(den, found(held()), now)
    book.keep(den, found(), now + timedelta(minutes=14))
    assert book.open_alerts(den) == rows(den)
    end = now + timedelta(minutes=15)
    book.keep(den, found(), end)
    (row,) = rows(den)
    assert (row.over_at, row.state_at(end)) == (end, "over")
    assert book.open_alerts(den) == []
    assert book.past_alerts(den) == [row]


def test_what_comes_back_soon_is_the_same_later_another(den, held, now):
    book.keep(den, found(held()), now)
    book.keep(den, found(), now + timedelta(minutes=10))
    book.keep(den, found(held()), now + timedelta(minutes=20))
    assert len(rows(den)) == 1
    book.keep(den, found(), now + timedelta(minutes=40))
    book.keep(den, found(held()), now + timedelta(minutes=50))
    assert [row.over_at is None for row in rows(den)] == [False, True]


def test_what_cannot_be_judged_is_neither_over_nor_held(den, held, now):
    book.keep(den, found(held()), now)
    book.keep(den, found(judged=("over limit",)), now + timedelta(hours=5))
    (row,) = rows(den)
    assert (row.over_at, row.held_at) == (None, now)


def test_another_of_its_kinds_in_the_lead_is_the_same_alert(den, held, now):
    book.keep(den, found(held(kinds=("watch:surge", "watch:flow drift"))), now)
    other = held("watch:flow drift", kinds=("watch:flow drift", "watch:surge"))
    book.keep(den, found(other), now)
    (row,) = rows(den)
    assert row.key == "watch:surge"
    book.keep(den, found(other, held("watch:kh changed")), now)
    assert [row.key for row in rows(den)] == ["watch:surge", "watch:kh changed"]


def test_the_store_itself_holds_that_it_is_open_once(den, held, now):
    book.keep(den, found(held()), now)
    with pytest.raises(IntegrityError), transaction.atomic():
        book._open(den, held(), now)


def test_seen_is_noted_once_with_who(den, held, now, keeper):
    book.keep(den, found(held()), now)
    (row,) = rows(den)
    assert book.acknowledge(row, keeper, now + timedelta(minutes=1))
    assert book.acknowledge(row, None, now + timedelta(minutes=2))
    (row,) = rows(den)
    assert (row.seen_at, row.seen_by) == (now + timedelta(minutes=1), keeper)
    assert row.state_at(now) == "seen"
    # it goes on as seen
    book.keep(den, found(held(sure=0.99)), now + timedelta(minutes=3))
    assert rows(den)[0].state_at(now) == "seen"


def test_grown_worse_it_is_open_again(den, held, now, keeper):
    book.keep(den, found(held()), now)
    book.acknowledge(rows(den)[0], keeper, now)
    book.keep(den, found(held(urgency="now")), now)
    (row,) = rows(den)
    assert (row.urgency, row.state_at(now)) == ("now", "open")


def test_put_off_it_is_open_again_later(den, held, now):
    book.keep(den, found(held()), now)
    assert book.snooze(rows(den)[0], 4, now)
    (row,) = rows(den)
    assert row.state_at(now + timedelta(minutes=239)) == "snoozed"
    assert row.state_at(now + timedelta(minutes=240)) == "open"


def test_danger_is_put_off_for_an_hour_at_most(den, held, now):
    book.keep(den, found(held(urgency="now")), now)
    (row,) = rows(den)
    with pytest.raises(InputError, match="1 hour"):
        book.snooze(row, 4, now)
    assert book.snooze(row, 1, now)
    with pytest.raises(InputError):
        book.snooze(row, 1000, now)


def test_what_is_over_is_neither_seen_nor_put_off(den, held, now, keeper):
    book.keep(den, found(held()), now)
    book.keep(den, found(), now + timedelta(hours=1))
    (row,) = rows(den)
    assert not book.acknowledge(row, keeper, now)
    assert not book.snooze(row, 1, now)
    (row,) = rows(den)
    assert (row.seen_at, row.snoozed_until) == (None, None)


def test_danger_comes_first_then_the_newest(den, held, now):
    for minutes, (key, urgency) in enumerate(
        [("watch:a", "look"), ("watch:b", "now"), ("watch:c", "look"), ("watch:d", "today")]
    ):
        condition = held(key, urgency)
        book.keep(den, found(condition, judged=()), now + timedelta(minutes=minutes))
    assert [row.key[-1] for row in book.open_alerts(den)] == ["b", "d", "c", "a"]


def test_what_was_over_long_ago_is_taken_out(den, held, now):
    book.keep(den, found(held()), now)
    book.keep(den, found(), now + timedelta(hours=1))
    book.keep(den, found(held()), now + timedelta(hours=2))
    assert book.tidy(now + timedelta(days=400)) == 0
    assert book.tidy(now + timedelta(days=401)) == 1
    assert [row.over_at for row in rows(den)] == [None]
