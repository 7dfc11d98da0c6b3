"""Alerts of the watch in words and as plain data, the most urgent first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

from leafgill.answer import figures
from leafgill.answer.said import sentence
from leafgill.estimate.watch import Alert

NOW, TODAY, LOOK = "now", "today", "look"
URGENCIES = (NOW, TODAY, LOOK)
# How soon somebody has to look, as a keeper reads it.
WHEN = {NOW: "Look now", TODAY: "Look today", LOOK: "When there is time"}
NOTHING = "Nothing that is not as believed."


def stopped(text: str) -> str:
    """Return words as a sentence, with its capital and its stop."""
    said = sentence(text)
    return said if said.endswith((".", "?")) else f"{said}."


def sure_words(sure: float) -> str:
    """Return how sure an alert is, in words: "72 % sure", "over 99 % sure"."""
    return f"{figures.chance(sure)} sure"


def headline(alert: Alert) -> str:
    """Say what an alert is in one line: what would explain it, and how sure that is."""
    return f"{sentence(alert.explains)} ({sure_words(alert.sure)})"


def rows(alert: Alert, now: datetime) -> list[tuple[str, str]]:
    """Return (label, words) of an alert: since when, what was seen, what to look at first."""
    found = [("Since about", figures.moment(alert.since, now))]
    if alert.seen:
        found.append(("Seen", stopped(alert.seen)))
    found.append(("Look first", stopped(alert.check)))
    return found


def in_order(alerts: Iterable[Alert]) -> list[Alert]:
    """Return alerts with danger first, and of the same urgency the surest first."""
    return sorted(alerts, key=lambda alert: (URGENCIES.index(alert.urgency), -alert.sure))


def as_json(alerts: Iterable[Alert]) -> list[dict[str, Any]]:
    """Return alerts as plain data, in their order; times are aware moments."""
    return [
        {
            "kinds": list(alert.kinds),
            "since": alert.since,
            "seen": alert.seen,
            "explains": alert.explains,
            "sure": alert.sure,
            "urgency": alert.urgency,
            "check": alert.check,
            "said": headline(alert),
        }
        for alert in in_order(alerts)
    ]


def summary(alerts: Sequence[Alert]) -> str:
    """Say in one line how many alerts there are and how soon to look."""
    if not alerts:
        return NOTHING
    first = in_order(alerts)[0]
    count = "One thing is" if len(alerts) == 1 else f"{len(alerts)} things are"
    return f"{count} not as believed. {WHEN[first.urgency]}."
