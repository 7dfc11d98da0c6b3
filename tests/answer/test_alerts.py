"""Alerts in words: how sure, how soon, and what to look at first."""

from datetime import UTC, datetime

from leafgill.answer import alerts as said
from leafgill.estimate.watch import Alert

NOW = datetime(2025, 3, 8, 12, 10, tzinfo=UTC)


def alert(kind="gas lost", sure=0.72, urgency="today", seen="2025-03-08 11:40: pH 7.10", **more):
    told = {"explains": "less gas comes than was set", "check": "count the bubbles"} | more
    return Alert((kind,), NOW.replace(hour=9, minute=0), seen, sure=sure, urgency=urgency, **told)


def test_a_headline_says_what_and_how_sure():
    assert said.headline(alert()) == "Less gas comes than was set (72 % sure)"
    assert said.headline(alert(sure=0.999)) == "Less gas comes than was set (over 99 % sure)"


def test_rows_say_since_when_what_was_seen_and_what_to_look_at():
    assert said.rows(alert(), NOW) == [
        ("Since about", "today 09:00"),
        ("Seen", "2025-03-08 11:40: pH 7.10."),
        ("Look first", "Count the bubbles."),
    ]
    assert [label for label, _ in said.rows(alert(seen=""), NOW)] == ["Since about", "Look first"]


def test_danger_is_first_then_the_surest():
    mild, unsure, sure = alert("a", urgency="look"), alert("b", 0.5), alert("c", 0.9)
    danger = alert("d", 0.3, "now")
    told = said.in_order([mild, unsure, danger, sure])
    assert [one.kind for one in told] == ["d", "c", "b", "a"]


def test_the_summary_counts_and_says_how_soon():
    assert said.summary([]) == "Nothing that is not as believed."
    assert said.summary([alert()]) == "One thing is not as believed. Look today."
    two = said.summary([alert(), alert("surge", urgency="now")])
    assert two == "2 things are not as believed. Look now."


def test_as_json_has_every_part_in_order():
    first, second = said.as_json([alert(urgency="look"), alert("surge", urgency="now")])
    assert (first["kinds"], first["urgency"]) == (["surge"], "now")
    assert second == {
        "kinds": ["gas lost"],
        "since": NOW.replace(hour=9, minute=0),
        "seen": "2025-03-08 11:40: pH 7.10",
        "explains": "less gas comes than was set",
        "sure": 0.72,
        "urgency": "look",
        "check": "count the bubbles",
        "said": "Less gas comes than was set (72 % sure)",
    }
