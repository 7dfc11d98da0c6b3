"""Whether gas is permitted: only while everything that speaks against it has been looked at.

A permission does not ask for gas. It says that nothing known speaks against what the timer and the
valve let through; whatever is missing, old or broken withdraws it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from leafgill.answer import figures
from leafgill.web.alerts.levels import LOW_O2, OVER_LIMIT
from leafgill.web.alerts.rules import WATCH_GOOD_FOR
from leafgill.web.working import bands
from leafgill.web.working.reading import GOOD_FOR

# The chance of passing what is dangerous, as the step's own rule has it.
OVER_DANGER = 0.01
# The limits have to hold for so long ahead: until the next belief is there, and some more.
AHEAD = timedelta(minutes=30)
# Readings come in all the time; a belief may lack them for as long as it takes to reckon anew.
BEHIND = timedelta(minutes=5)
_AHEAD_OF_CLOCK = timedelta(minutes=1)


@dataclass(frozen=True, slots=True)
class Standing:
    """What is known of a tank when permission is asked; times aware.

    `is_new` says that what is believed was worked out since this publisher began. `by_hand` says
    that something was written by hand, or the description changed, after what is believed;
    `behind_since` is since when readings are lacking in it, None where none are. `dangers` are the
    open alerts of danger, seen or not.
    """

    now: datetime
    payload: dict[str, Any] = field(default_factory=dict)
    asked_for: datetime | None = None
    is_new: bool = False
    by_hand: bool = False
    behind_since: datetime | None = None
    dangers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Permission:
    """Whether gas is permitted, and why not."""

    permitted: bool
    why: str


def permission_of(known: Standing) -> Permission:
    """Return the permission; whatever speaks against it is named."""
    why = _against(known)
    return Permission(not why, why or "nothing that is known speaks against it")


def _against(known: Standing) -> str:
    for reason in (_of_belief, _of_dangers, _of_watch, _of_limits):
        if why := reason(known):
            return why
    return ""


def _of_belief(known: Standing) -> str:
    if not known.payload or known.asked_for is None:
        return "nothing is worked out"
    if not known.is_new:
        return "nothing is worked out since the app started"
    if known.by_hand:
        return "something was written that is not in what is believed yet"
    if known.behind_since is not None and known.now - known.behind_since > BEHIND:
        return "newer readings are not in what is believed"
    age = known.now - known.asked_for
    if not -_AHEAD_OF_CLOCK <= age <= GOOD_FOR:
        return f"what is believed is of {figures.moment(known.asked_for, known.now)}"
    return ""


def _of_dangers(known: Standing) -> str:
    if known.payload["step"]["action"] == "emergency":
        return "the animals are in distress"
    return f"danger: {known.dangers[0]}" if known.dangers else ""


def _of_watch(known: Standing) -> str:
    told = known.payload.get("watch")
    if not told or told["alerts"] is None:
        return "the watch could not look at the tank"
    if abs(known.now - datetime.fromisoformat(told["at"])) > WATCH_GOOD_FOR:
        return "the watch has not looked at the tank lately"
    if any(alert["urgency"] == "now" for alert in told["alerts"]):
        return "danger: the watch sees something that has to be looked at now"
    return ""


_LIMITS = (
    ("p_over_limit", OVER_LIMIT, "CO2 may be over the animals' limit"),
    ("p_over_danger", OVER_DANGER, "CO2 may be dangerous"),
    ("p_low_o2", LOW_O2, "oxygen may be below the animals' minimum"),
)


def _of_limits(known: Standing) -> str:
    risk = known.payload.get("risk")
    if not risk:
        return "the chances of passing the limits are not worked out"
    first = known.now.timestamp()
    for what, most, words in _LIMITS:
        chance = bands.chance_between(risk, what, first, first + AHEAD.total_seconds())
        if chance is None or not chance <= most:
            return words
    return ""
