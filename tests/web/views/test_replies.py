"""A step as a form carries it, and what a reply writes."""

from datetime import timedelta

import pytest

from leafgill.diary import Kind, written
from leafgill.web import replies
from leafgill.web.models import EntryRow, StepRow

pytestmark = pytest.mark.django_db
STEP = {
    "action": "raise",
    "rate_per_s": 1.6,
    "schedule": None,
    "air": None,
    "look_at": "2025-03-08T16:30:00+00:00",
}


def payload(now, **changes):
    return {
        "now": now.isoformat(),
        "said": {"what_to_do": "Raise the gas: 1.6 bubbles/s"},
        "step": {**STEP, **changes},
    }


def told(ring, now, **changes):
    step = replies.unsealed(ring.tank, replies.sealed(ring.tank, payload(now, **changes)))
    assert step is not None
    return step


def test_it_comes_back_as_it_was_and_only_for_its_tank(ring, other_tank, now):
    sealed = replies.sealed(ring.tank, payload(now))
    step = replies.unsealed(ring.tank, sealed)
    assert {name: step[name] for name in STEP} == STEP
    assert step["what"] == "Raise the gas: 1.6 bubbles/s"
    assert replies.unsealed(other_tank.tank, sealed) is None
    middle = len(sealed) // 2
    changed = sealed[:middle] + ("A" if sealed[middle] != "A" else "B") + sealed[middle + 1 :]
    assert replies.unsealed(ring.tank, changed) is None


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({}, [(Kind.BUBBLE_RATE, "1.6")]),
        ({"action": "hold"}, []),
        ({"action": "measure", "rate_per_s": None}, []),
        ({"action": "emergency", "rate_per_s": 0.0}, [(Kind.BUBBLE_RATE, "0")]),
        (
            {"schedule": "08:30-17:30", "air": "18:00-09:00"},
            [(Kind.BUBBLE_RATE, "1.6"), (Kind.GAS_DAY, "08:30-17:30"),
             (Kind.AIR_DAY, "18:00-09:00")],
        ),
        ({"action": "hold", "air": "18:00-09:00"}, [(Kind.AIR_DAY, "18:00-09:00")]),
    ],
)  # fmt: skip
def test_what_a_followed_step_writes(ring, now, changes, expected):
    entries = replies.entries_of(told(ring, now, **changes), now)
    assert [(entry.kind, written(entry)) for entry in entries] == expected
    assert {entry.time for entry in entries} <= {now}


def test_two_steps_of_one_moment_are_two(ring, now):
    owner = ring.keepers["owner"]
    first = told(ring, now)
    assert len(replies.reply_to(ring.tank, first, replies.DONE, owner, now)) == 1
    ring.tank.refresh_from_db()
    second = told(ring, now, rate_per_s=2.0)
    assert len(replies.reply_to(ring.tank, second, replies.DONE, owner, now)) == 1
    assert replies.reply_to(ring.tank, second, replies.DONE, owner, now) is None
    rates = EntryRow.objects.filter(tank=ring.tank, kind="bubble_rate").order_by("pk")
    assert [at.value for at in rates] == ["1.6", "2"]
    assert StepRow.objects.filter(tank=ring.tank, reply="done").count() == 2


def test_who_said_not_now_may_still_do_it(ring, now):
    owner, step = ring.keepers["owner"], told(ring, now)
    assert replies.reply_to(ring.tank, step, replies.NOT_NOW, owner, now) == []
    later = now + timedelta(minutes=5)
    assert len(replies.reply_to(ring.tank, step, replies.DONE, owner, later)) == 1
    assert StepRow.objects.get(tank=ring.tank).replied_at == later


def test_a_reply_is_remembered_beside_the_same_words_for_hours(ring, now):
    replies.reply_to(ring.tank, told(ring, now), replies.NOT_NOW, ring.keepers["owner"], now)
    what = "Raise the gas: 1.6 bubbles/s"
    soon, late = now + timedelta(hours=5.9), now + timedelta(hours=6.1)
    assert replies.last_reply(ring.tank, what, soon).reply == "not now"
    assert replies.last_reply(ring.tank, what, late) is None
    assert replies.last_reply(ring.tank, "Leave the gas as it is", soon) is None


def test_a_step_is_too_old_after_two_hours(ring, now):
    step = told(ring, now)
    assert not replies.too_old(step, now + timedelta(hours=2))
    assert replies.too_old(step, now + timedelta(hours=2, seconds=1))
