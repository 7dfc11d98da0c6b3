"""Permission: there only while everything that speaks against it has been looked at."""

from datetime import timedelta

import pytest

from leafgill.web.publishing.permission import Standing, permission_of


@pytest.fixture
def known(now, payload):
    """Return a function that gives a standing in which gas is permitted, but for what is told."""

    def of(**changes):
        told = {"now": now, "payload": payload(), "asked_for": now, "is_new": True}
        return Standing(**told | changes)

    return of


def test_with_nothing_against_it_gas_is_permitted(known):
    told = permission_of(known())
    assert told.permitted
    assert told.why == "nothing that is known speaks against it"


def test_without_anything_it_is_not(now):
    assert not permission_of(Standing(now)).permitted


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"payload": {}}, "nothing is worked out"),
        ({"asked_for": None}, "nothing is worked out"),
        ({"is_new": False}, "nothing is worked out since the app started"),
        ({"by_hand": True}, "something was written"),
        ({"dangers": ("CO2 may be over", "x")}, "danger: CO2 may be over"),
    ],
)
def test_each_of_these_withdraws_it(known, changes, why):
    told = permission_of(known(**changes))
    assert not told.permitted
    assert told.why.startswith(why)


@pytest.mark.parametrize(
    ("minutes", "permitted"), [(0, True), (15, True), (15.1, False), (-0.9, True), (-1.1, False)]
)
def test_an_old_belief_withdraws_it_and_so_does_one_of_the_future(known, now, minutes, permitted):
    told = permission_of(known(asked_for=now - timedelta(minutes=minutes)))
    assert told.permitted is permitted
    assert permitted or told.why.startswith("what is believed is of today")


@pytest.mark.parametrize(("minutes", "permitted"), [(0, True), (5, True), (5.1, False)])
def test_lacking_readings_are_borne_for_a_while(known, now, minutes, permitted):
    behind = now - timedelta(minutes=minutes)
    assert permission_of(known(behind_since=behind)).permitted is permitted


@pytest.mark.parametrize(
    ("what", "most"), [("p_over_limit", 0.10), ("p_over_danger", 0.01), ("p_low_o2", 0.01)]
)
def test_each_chance_withdraws_it_beyond_its_most(known, payload, what, most):
    assert permission_of(known(payload=payload(**{what: most}))).permitted
    assert not permission_of(known(payload=payload(**{what: most + 0.001}))).permitted
    assert not permission_of(known(payload=payload(**{what: float("nan")}))).permitted


def test_a_limit_passed_within_half_an_hour_withdraws_it_later_it_does_not(known, payload):
    for step, permitted in ((2, False), (3, False), (5, True)):
        told = payload()
        told["risk"]["p_over_limit"][step:] = [0.5] * (200 - step)
        assert permission_of(known(payload=told)).permitted is permitted


def test_beyond_what_is_worked_out_it_is_withdrawn(known, payload, now):
    told = payload()
    told["risk"] = {name: values[:3] for name, values in told["risk"].items()}
    assert not permission_of(known(payload=told)).permitted
    del told["risk"]
    assert not permission_of(known(payload=told)).permitted


@pytest.mark.parametrize(
    "change",
    [
        {"watch": None},
        {"watch": {"alerts": None, "at": "2025-03-08T12:10:00+01:00", "error": "x"}},
        {"watch": {"alerts": [], "at": "2025-03-08T11:24:00+01:00"}},
        {"watch": {"alerts": [{"urgency": "now"}], "at": "2025-03-08T12:10:00+01:00"}},
        {"step": {"action": "emergency"}},
    ],
)
def test_a_watch_that_is_blind_old_or_alarmed_withdraws_it_and_so_does_distress(
    known, payload, change
):
    assert not permission_of(known(payload={**payload(), **change})).permitted


def test_what_can_wait_does_not_withdraw_it(known, payload):
    told = payload()
    told["watch"]["alerts"] = [{"urgency": "today"}, {"urgency": "look"}]
    assert permission_of(known(payload=told)).permitted
