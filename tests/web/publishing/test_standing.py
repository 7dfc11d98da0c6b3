"""What permission is decided by, read from the store."""

from datetime import timedelta

import pytest

from leafgill.diary import Entry
from leafgill.web.alert_models import AlertRow
from leafgill.web.alerts import book
from leafgill.web.alerts.condition import Condition, Round
from leafgill.web.publishing.permission import permission_of
from leafgill.web.publishing.standing import Memory, standing_of
from leafgill.web.store.entries import add_entry, remove_entry
from leafgill.web.store.tanks import change_spec, spec_of, touch

pytestmark = pytest.mark.django_db


@pytest.fixture
def memory(den):
    return Memory(den)


@pytest.fixture
def permitted(den, memory, now):
    def of(at=now):
        den.refresh_from_db()
        return permission_of(standing_of(den, memory, at))

    return of


def test_a_new_answer_permits(permitted, answered):
    assert permitted().why == "nothing is worked out"
    answered()
    assert permitted().permitted


def test_an_answer_from_before_never_does(den, answered, now):
    answered()
    begun = Memory(den)  # as after a restart
    assert not permission_of(standing_of(den, begun, now)).permitted
    # nor when only what belongs to it was written since
    answer = answered(made_at=begun.old)
    assert not permission_of(standing_of(den, begun, now)).permitted
    answer.delete()
    answered()
    assert permission_of(standing_of(den, begun, now)).permitted


def test_what_is_written_by_hand_withdraws_it_until_it_is_in_what_is_believed(
    permitted, answered, den, keeper, clock, now
):
    answered()
    entry = add_entry(den, Entry(now, "fish", "gasping"), keeper)
    assert permitted().why.startswith("something was written")
    for minutes, act in (
        (1, lambda: remove_entry(entry, keeper)),
        (3, lambda: change_spec(den, spec_of(den), keeper)),
    ):
        at = now + timedelta(minutes=minutes)
        answered(asked_for=at)
        assert permitted(at).permitted
        clock(at + timedelta(minutes=1))
        act()
        assert permitted(at + timedelta(minutes=1)).why.startswith("something was written")


def test_readings_that_come_in_are_borne_for_a_while(permitted, answered, den, clock, now):
    # asked for after everything by hand
    answered(asked_for=now + timedelta(seconds=30))
    touch(den)
    assert permitted(now + timedelta(minutes=1)).permitted
    assert permitted(now + timedelta(minutes=6)).permitted
    assert permitted(now + timedelta(minutes=6, seconds=1)).why.startswith("newer readings")
    answered(asked_for=now + timedelta(minutes=6))
    assert permitted(now + timedelta(minutes=6, seconds=2)).permitted
    # and the while begins anew
    touch(den)
    assert permitted(now + timedelta(minutes=9)).permitted


def test_danger_withdraws_it_also_when_it_was_seen(permitted, answered, den, keeper, now):
    answered()
    told = Condition("over limit", "now", "CO2 may be over", now)
    book.keep(den, Round((told,), frozenset()), now)
    assert permitted().why == "danger: CO2 may be over"
    book.acknowledge(AlertRow.objects.get(), keeper, now)
    assert permitted().why == "danger: CO2 may be over"
    AlertRow.objects.update(over_at=now)
    assert permitted().permitted


def test_an_alert_that_can_wait_does_not(permitted, answered, den, now):
    answered()
    told = Condition("silent:x", "today", "The sensor sends nothing", now)
    book.keep(den, Round((told,), frozenset()), now)
    assert permitted().permitted
