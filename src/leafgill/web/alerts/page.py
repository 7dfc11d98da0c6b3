"""Alerts as the pages show them: danger first, each with its age."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from leafgill.answer import figures
from leafgill.answer.alerts import NOW, WHEN, stopped, sure_words
from leafgill.web.alert_models import OPEN, OVER, SEEN, SNOOZED, AlertRow
from leafgill.web.alerts import book
from leafgill.web.forms.habits import Habits
from leafgill.web.models import AnswerRow, TankRow

# What was found to hold longer ago is shown as older, never as of now.
OF_NOW = timedelta(minutes=12)


@dataclass(frozen=True, slots=True)
class Shown:
    """An alert as a page shows it; `stale` says that nobody could tell lately whether it holds."""

    number: int
    danger: bool
    when: str
    title: str
    rows: tuple[tuple[str, str], ...]
    state: str
    state_words: str
    stale: str
    snoozes: tuple[int, ...]

    @property
    def to_be_seen(self) -> bool:
        """Whether it can still be marked as seen."""
        return self.state in (OPEN, SNOOZED)


def shown(at: AlertRow, now: datetime, habits: Habits) -> Shown:
    """Return an alert as it stands at an aware moment of the tank's clock."""
    state = at.state_at(now)
    title = at.title if at.sure is None else f"{at.title} ({sure_words(at.sure)})"
    rows = [("Since about", figures.moment(at.since, now))]
    if at.seen:
        rows.append(("Seen", stopped(at.seen)))
    if at.check_first:
        rows.append(("Look first", stopped(at.check_first)))
    if at.over_at is not None:
        rows.append(("Over", figures.moment(at.over_at, now)))
    stale = ""
    if state != OVER and now - at.held_at > OF_NOW:
        stale = f"found so {figures.moment(at.held_at, now)}, and not since"
    return Shown(
        number=at.pk,
        danger=at.urgency == NOW,
        when=WHEN[at.urgency],
        title=habits.text(title),
        rows=tuple((label, habits.text(words)) for label, words in rows),
        state=state,
        state_words=_state_words(at, state, now),
        stale=stale,
        snoozes=book.offered_h(at.urgency),
    )


def _state_words(at: AlertRow, state: str, now: datetime) -> str:
    if state == SEEN and at.seen_at is not None:
        who = f" by {at.seen_by}" if at.seen_by is not None else ""
        return f"Seen{who} {figures.moment(at.seen_at, now)}; told no more."
    if state == SNOOZED and at.snoozed_until is not None:
        return f"Put off until {figures.moment(at.snoozed_until, now)}."
    return ""


def part_of(row: TankRow, now: datetime, habits: Habits) -> dict[str, Any]:
    """Return what a page's part about alerts needs: those that are not over, and the watch's age.

    `mark` is another when they say something else. `now` is aware and by the tank's clock.
    """
    alerts = [shown(at, now, habits) for at in book.open_alerts(row)]
    told = hashlib.sha256(repr(alerts).encode()).hexdigest()[:16]
    return {"alerts": alerts, "watched": watched_words(row, now), "mark": told}


def watched_words(row: TankRow, now: datetime) -> str:
    """Say when the watch last looked, and what is the matter where it could not."""
    told = AnswerRow.objects.filter(tank=row).values_list("payload__watch", flat=True).first()
    if not told:
        return "The watch has not looked at this tank yet."
    at = figures.moment(datetime.fromisoformat(told["at"]), now)
    if told["alerts"] is None:
        return f"The watch could not tell anything {at}: {told['error']}."
    if now - datetime.fromisoformat(told["at"]) > OF_NOW:
        return f"The watch last looked {at}, not since."
    return f"The watch looked {at}."
