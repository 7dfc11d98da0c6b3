"""The rules, each at its edge: what it finds, and when it cannot tell."""

from datetime import timedelta

import pytest

from leafgill.web.alerts import rules
from leafgill.web.alerts.condition import Condition, Found, gathered
from leafgill.web.alerts.facts import Sends
from leafgill.web.alerts.hours import gas_without_light


def only(found):
    (held,) = found.held
    return held


def watch_told(now, *alerts, **changes):
    told = [
        {"kinds": list(kinds), "urgency": urgency, "explains": f"{kinds[0]} it is", "sure": sure,
         "since": (now - timedelta(hours=2)).isoformat(), "seen": "pH 7.1", "check": "count",
         "said": ""}
        for kinds, urgency, sure in alerts
    ]  # fmt: skip
    return {"at": now.isoformat(), "version": 3, "seconds": 1.0, "error": "", "alerts": told,
            **changes}  # fmt: skip


# --- the watch


def test_what_the_watch_says_is_held_with_all_it_may_be(facts, payload):
    now = facts().now
    told = payload(watch=watch_told(now, (("surge", "flow drift"), "now", 0.8)))
    held = only(rules.watched(facts(payload=told)))
    assert (held.key, held.urgency, held.sure) == ("watch:surge", "now", 0.8)
    assert held.kinds == ("watch:surge", "watch:flow drift")
    assert held.since == now - timedelta(hours=2)
    assert (held.title, held.seen, held.check) == ("Surge it is", "pH 7.1", "count")


@pytest.mark.parametrize(("minutes", "judged"), [(44, {"watch"}), (46, set())])
def test_an_old_watch_says_nothing_of_now(facts, payload, minutes, judged):
    at = facts().now - timedelta(minutes=minutes)
    found = rules.watched(facts(payload=payload(watch=watch_told(at, (("surge",), "now", 0.8)))))
    assert found.judged == judged
    assert len(found.held) == len(judged)


def test_a_watch_that_failed_or_never_was_judges_nothing(facts, payload):
    failed = watch_told(facts().now, alerts=None, error="too few draws")
    assert rules.watched(facts(payload=payload(watch=failed))) == Found()
    assert rules.watched(facts()) == Found()
    calm = rules.watched(facts(payload=payload(watch=watch_told(facts().now))))
    assert calm == Found((), frozenset({"watch"}))


# --- levels


@pytest.mark.parametrize(
    ("over", "danger", "key", "urgency"),
    [
        (0.10, 0.0, None, None),
        (0.11, 0.0, "over limit", "today"),
        (0.50, 0.10, "over limit", "today"),
        (0.51, 0.0, "over limit", "now"),
        (0.20, 0.11, "over limit", "now"),
    ],
)
def test_co2_over_the_limit_now(facts, payload, over, danger, key, urgency):
    found = rules.over_limit(facts(payload=payload(over, danger)))
    assert found.judged == {"over limit", "over limit ahead"}
    if key is None:
        assert found.held == ()
    else:
        assert (only(found).key, only(found).urgency) == (key, urgency)


def test_what_is_said_has_the_figure_its_unit_and_its_interval(facts, payload):
    held = only(rules.over_limit(facts(payload=payload(0.6))))
    assert held.title == "CO2 may be over the animals' limit of 30 mg/L (60 %)"
    assert held.seen == "in the worst place CO2 is 24 mg/L, 20 to 28"


def test_co2_over_the_limit_ahead(facts, payload):
    told = payload(0.05)
    told["day_ahead"]["as_set"]["p_over_limit"] = 0.3
    held = only(rules.over_limit(facts(payload=told)))
    assert (held.key, held.urgency) == ("over limit ahead", "today")
    assert "(30 %), most likely today 17:10" in held.title
    assert held.seen == "the highest ahead is 26 mg/L, 21 to 32"
    # once the peak is past, it is ahead no more
    past = facts(payload=told, now=facts().now + timedelta(hours=6), asked_for=None)
    assert rules.over_limit(past) == Found()
    late = facts().now + timedelta(hours=5, minutes=30)
    assert rules.over_limit(facts(payload=told, now=late, asked_for=late)).held == ()


@pytest.mark.parametrize(
    ("low", "urgency"), [(0.01, None), (0.02, "today"), (0.10, "today"), (0.11, "now")]
)
def test_low_oxygen_now(facts, payload, low, urgency):
    found = rules.low_oxygen(facts(payload=payload(low_o2=low)))
    assert [held.urgency for held in found.held] == ([] if urgency is None else [urgency])


def test_low_oxygen_ahead(facts, payload):
    told = payload()
    told["day_ahead"]["as_set"]["p_low_o2"] = 0.02
    held = only(rules.low_oxygen(facts(payload=told)))
    assert (held.key, held.urgency) == ("low oxygen ahead", "today")
    assert "most likely tomorrow 06:10" in held.title


@pytest.mark.parametrize("rule", [rules.over_limit, rules.low_oxygen, rules.distress])
def test_an_old_answer_says_nothing_of_now(facts, payload, rule):
    told = payload(0.9, 0.9, 0.9, step={"action": "emergency"})
    fresh = facts(payload=told, asked_for=facts().now - timedelta(minutes=59))
    assert rule(fresh).held[0].urgency == "now"
    old = facts(payload=told, asked_for=facts().now - timedelta(minutes=61))
    assert rule(old) == Found()
    assert rule(facts(payload={}, asked_for=None)) == Found()


# --- gas without light


H = 3600


@pytest.mark.parametrize(
    ("now_h", "since_h"),
    [
        (7.4, None),  # off
        (8.0, None),  # on, the light comes within three hours
        (12.0, None),
        (20.4, None),  # the light went off a moment ago
        (20.6, 20.0),
        (22.0, None),  # off again
    ],
)
def test_gas_while_the_light_is_off(now_h, since_h):
    since = gas_without_light([(7.5 * H, 21 * H)], [(10 * H, 20 * H)], now_h * H)
    assert since == (None if since_h is None else since_h * H)


def test_gas_at_night_counts_from_when_it_came_on():
    assert gas_without_light([(1 * H, 5 * H)], [(10 * H, 20 * H)], 2 * H) == H
    assert gas_without_light([(1 * H, 5 * H)], [], 2 * H) == H
    assert gas_without_light([(1 * H, 5 * H)], [(4.9 * H, 20 * H)], 2 * H) is None


def test_the_rule_of_gas_in_the_dark(facts, payload):
    now_s = int(facts().now.timestamp())
    hours = {"gas": [[now_s - 2 * H, now_s + H]], "light": [[now_s - 9 * H, now_s - H]]}
    held = only(rules.dark_gas(facts(payload=payload(hours=hours))))
    assert (held.key, held.urgency) == ("gas in the dark", "today")
    assert held.seen == "since today 11:10, and no light comes within 3 hours"
    lit = {"gas": hours["gas"], "light": [[now_s - H, now_s + H]]}
    assert rules.dark_gas(facts(payload=payload(hours=lit))).held == ()
    assert rules.dark_gas(facts()) == Found()


# --- gas left, care


@pytest.mark.parametrize(
    ("days", "urgency"), [(7.1, None), (6.9, "look"), (1.1, "look"), (0.9, "today"), (-2, "today")]
)
def test_gas_is_to_be_ordered(facts, payload, days, urgency):
    by = (facts().now + timedelta(days=days)).isoformat()
    supply = {"headline": "Gas for 9 days, 7 to 12", "order": "Order by 15 March", "order_by": by}
    found = rules.gas_left(facts(payload=payload(supply=supply)))
    assert found.judged == {"gas left"}
    assert [held.urgency for held in found.held] == ([] if urgency is None else [urgency])
    if urgency:
        assert only(found).title == "Gas for 9 days, 7 to 12"


def test_gas_that_is_not_weighed_is_never_short(facts, payload):
    assert rules.gas_left(facts(payload=payload(supply=None))).judged == {"gas left"}
    assert rules.gas_left(facts()) == Found()


def test_overdue_care_is_named(facts):
    assert rules.care_due(facts()).held == ()
    held = only(rules.care_due(facts(overdue=(("Trim", "overdue by 3 days"),))))
    assert (held.title, held.seen) == ("Care is overdue", "Trim: overdue by 3 days")
    both = only(rules.care_due(facts(overdue=(("Trim", "a"), ("Clean", "b")))))
    assert both.title == "2 things of the care list are overdue"


# --- what sends


@pytest.mark.parametrize(
    ("gap_s", "quiet_min", "silent"),
    [(60, 29, False), (60, 31, True), (600, 59, False), (600, 61, True)],
)
def test_a_sensor_falls_silent(facts, gap_s, quiet_min, silent):
    last = facts().now - timedelta(minutes=quiet_min)
    found = rules.silent(facts(sends=(Sends("s1", "ph", last, gap_s),)))
    assert [held.key for held in found.held] == (["silent:s1"] if silent else [])
    assert found.judged == {"silent"}


def test_the_broker_is_away(facts):
    away = facts().now - timedelta(minutes=11)
    assert only(rules.broker_gone(facts(has_topics=True, broker_away=away))).since == away
    assert rules.broker_gone(facts(has_topics=False, broker_away=away)).held == ()
    short = facts().now - timedelta(minutes=9)
    assert rules.broker_gone(facts(has_topics=True, broker_away=short)).held == ()
    assert rules.broker_gone(facts(has_topics=True)).held == ()


def test_hours_without_figures_are_told(facts):
    now = facts().now
    assert rules.unknown(facts(asked_for=now - timedelta(minutes=179))).held == ()
    held = only(rules.unknown(facts(asked_for=now - timedelta(minutes=181), error="no KH")))
    assert (held.key, held.seen) == ("not known", "no KH")
    young = facts(payload={}, asked_for=None, began=now - timedelta(hours=1))
    assert rules.unknown(young).held == ()
    assert only(rules.unknown(facts(payload={}, asked_for=None))).since == facts().began


# --- together


def test_all_rules_together_put_danger_first_and_name_each_once(facts, payload):
    now = facts().now
    told = payload(
        0.9,
        watch=watch_told(
            now,
            (("flow drift", "surge"), "today", 0.9),
            (("surge", "flow drift"), "now", 0.5),
            (("kh changed",), "today", 0.7),
        ),
    )
    found = rules.look(facts(payload=told))
    assert [held.key for held in found.held] == ["watch:surge", "over limit", "watch:kh changed"]
    assert {"watch", "over limit", "low oxygen", "care", "silent", "broker"} <= found.judged
    assert "gas left" not in found.judged  # nothing is known of it


def test_of_the_same_urgency_the_surest_comes_first(facts):
    now = facts().now
    a, b = (Condition(k, "today", "", now, sure=s) for k, s in (("a", 0.2), ("b", 0.9)))
    assert gathered([Found((a,)), Found((b,))]).held == (b, a)
