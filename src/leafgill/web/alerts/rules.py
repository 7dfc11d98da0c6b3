"""The rules: from what is known of a tank to what is not well with it. They ask nothing."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta

from leafgill.answer import figures
from leafgill.answer.alerts import LOOK, TODAY
from leafgill.answer.said import sentence
from leafgill.web.alerts.condition import Condition, Found, Round, gathered
from leafgill.web.alerts.facts import Facts
from leafgill.web.alerts.hours import gas_without_light
from leafgill.web.alerts.levels import distress, low_oxygen, over_limit

# What is older says nothing of now.
WATCH_GOOD_FOR = timedelta(minutes=45)
# Without figures for so long somebody should know.
UNKNOWN_AFTER = timedelta(hours=3)
ORDER_SOON = timedelta(days=7)
# Silence: as long as the usual gap so many times, and never shorter.
_SILENT_GAPS, _SILENT_S = 6.0, 1800.0
BROKER_AWAY = timedelta(minutes=10)


def look(facts: Facts) -> Round:
    """Return what is not well with a tank by all the rules."""
    return gathered([rule(facts) for rule in RULES])


# --- from the watch -----------------------------------------------------------------------------


def watched(facts: Facts) -> Found:
    """What the watch says is not as believed."""
    told = facts.payload.get("watch")
    if not told or told["alerts"] is None:
        return Found()
    at = datetime.fromisoformat(told["at"])
    if abs(facts.now - at) > WATCH_GOOD_FOR:
        return Found()
    held = tuple(
        Condition(
            key=_watch_key(alert["kinds"][0]),
            urgency=alert["urgency"],
            title=sentence(alert["explains"]),
            since=datetime.fromisoformat(alert["since"]),
            seen=alert["seen"],
            check=alert["check"],
            sure=alert["sure"],
            kinds=tuple(_watch_key(kind) for kind in alert["kinds"]),
            at=at,
        )
        for alert in told["alerts"]
    )
    return Found(held, frozenset({"watch"}))


def _watch_key(kind: str) -> str:
    return f"watch:{kind}"


# --- from the day, the gas and the work ---------------------------------------------------------


def dark_gas(facts: Facts) -> Found:
    """Gas that comes while no light is on and none comes soon."""
    hours = facts.payload.get("hours")
    if not hours or not facts.fresh:
        return Found()
    judged = frozenset({"gas in the dark"})
    since_s = gas_without_light(hours["gas"], hours["light"], facts.now.timestamp())
    if since_s is None:
        return Found((), judged)
    since = datetime.fromtimestamp(since_s, facts.now.tzinfo)
    title = "By its timer the gas is on while the light is off"
    seen = f"since {figures.moment(since, facts.now)}, and no light comes within 3 hours"
    check = "look at the gas's timer, and move its hours to the light's"
    return Found((Condition("gas in the dark", TODAY, title, since, seen, check),), judged)


def gas_left(facts: Facts) -> Found:
    """Gas that is to be ordered within a week."""
    supply = facts.payload.get("supply")
    if "supply" not in facts.payload:
        return Found()
    judged = frozenset({"gas left"})
    if not supply or not supply.get("order_by"):
        return Found((), judged)
    by = datetime.fromisoformat(supply["order_by"])
    if by - facts.now > ORDER_SOON:
        return Found((), judged)
    urgency = TODAY if by - facts.now < timedelta(days=1) else LOOK
    title, seen = supply["headline"], supply["order"]
    check = "weigh the cylinder, or read its gauge"
    return Found((Condition("gas left", urgency, title, facts.now, seen, check),), judged)


def care_due(facts: Facts) -> Found:
    """Care of the list that is overdue."""
    judged = frozenset({"care"})
    if not facts.overdue:
        return Found((), judged)
    count = len(facts.overdue)
    title = "Care is overdue" if count == 1 else f"{count} things of the care list are overdue"
    seen = "; ".join(f"{what}: {words}" for what, words in facts.overdue)
    return Found(
        (Condition("care", LOOK, title, facts.now, seen, "do it, and tick it off"),), judged
    )


# --- from what sends ----------------------------------------------------------------------------


def silent(facts: Facts) -> Found:
    """Sensors that used to send and have stopped."""
    held = []
    for sensor in facts.sends:
        quiet_s = (facts.now - sensor.last).total_seconds()
        if quiet_s > max(_SILENT_S, _SILENT_GAPS * sensor.gap_s):
            when = figures.moment(sensor.last, facts.now)
            held.append(
                Condition(
                    f"silent:{sensor.slug}",
                    TODAY,
                    f"The sensor {sensor.name} sends nothing",
                    sensor.last,
                    f"its newest reading is of {when}",
                    "look at its power, its network and the program that sends",
                )
            )
    return Found(tuple(held), frozenset({"silent"}))


def broker_gone(facts: Facts) -> Found:
    """A broker that a sensor of the tank sends through, and that cannot be reached."""
    judged = frozenset({"broker"})
    away = facts.broker_away
    if not facts.has_topics or away is None or facts.now - away < BROKER_AWAY:
        return Found((), judged)
    held = Condition(
        "broker",
        TODAY,
        "The broker cannot be reached, so its sensors' readings do not come",
        away,
        facts.broker_words,
        "look whether the broker's machine and program run",
    )
    return Found((held,), judged)


def unknown(facts: Facts) -> Found:
    """Nothing could be worked out for hours, so that nothing above can be told."""
    judged = frozenset({"not known"})
    since = facts.asked_for or facts.began
    if facts.now - since < UNKNOWN_AFTER:
        return Found((), judged)
    title = "Nothing has been worked out for hours; dangers would not be noticed"
    check = "look at the tank's page, and run leafgill doctor where the app runs"
    return Found((Condition("not known", TODAY, title, since, facts.error, check),), judged)


RULES: tuple[Callable[[Facts], Found], ...] = (
    watched,
    distress,
    over_limit,
    low_oxygen,
    dark_gas,
    gas_left,
    care_due,
    silent,
    broker_gone,
    unknown,
)
