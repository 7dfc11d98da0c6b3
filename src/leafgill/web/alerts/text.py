"""What is sent of alerts: plain and short, the first line says the tank and what."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from leafgill.answer import figures
from leafgill.answer.alerts import WHEN, stopped, sure_words
from leafgill.web.alert_models import AlertRow

LONGEST = 900
TEST = (
    "Leaf & Gill: this is a test",
    "So you will be told when something is not well with a tank. Nothing is wrong now.",
)


def text_of(tank: str, alerts: Sequence[AlertRow], now: datetime) -> tuple[str, str]:
    """Return (first line, the rest) of a tank's alerts, the most urgent first.

    `now` is by the tank's clock.
    """
    first = alerts[0]
    title = f"{tank}: {first.title}"
    if len(alerts) > 1:
        title += f", and {len(alerts) - 1} more"
    parts = [_words(at, now, with_title=len(alerts) > 1) for at in alerts]
    body = "\n\n".join(parts)
    return title, body if len(body) <= LONGEST else body[: LONGEST - 3] + "..."


def _words(at: AlertRow, now: datetime, *, with_title: bool) -> str:
    sure = "" if at.sure is None else f" ({sure_words(at.sure)})"
    lines = [
        f"{WHEN[at.urgency]}: {at.title}{sure}." if with_title else f"{WHEN[at.urgency]}{sure}."
    ]
    if at.seen:
        lines.append(f"Seen: {stopped(at.seen)}")
    if at.check_first:
        lines.append(f"Look first: {stopped(at.check_first)}")
    lines.append(f"Since about {figures.moment(at.since, now)}.")
    return "\n".join(lines)
