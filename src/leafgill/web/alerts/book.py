"""The book of alerts: opened once, kept while they hold, closed when they are over."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from django.db import transaction

from leafgill.answer.alerts import NOW, URGENCIES
from leafgill.errors import InputError
from leafgill.web.alert_models import AlertRow
from leafgill.web.alerts.condition import Condition, Round, family
from leafgill.web.models import Keeper, TankRow

# What has not held for so long is over; what comes back sooner is the same alert.
OVER_AFTER = timedelta(minutes=15)
# For how long an alert may be put off [h]; danger not longer than the first.
SNOOZES_H = (1, 4, 24)
# Alerts that are over are kept so long.
KEPT = timedelta(days=400)


def keep(row: TankRow, found: Round, now: datetime) -> None:
    """Write into the book what a round of rules found of a tank at an aware moment."""
    with transaction.atomic():
        # one round at a time for a tank
        if not TankRow.objects.select_for_update().filter(pk=row.pk).exists():
            return
        there = list(AlertRow.objects.filter(tank=row, over_at__isnull=True))
        for condition in found.held:
            same = next((at for at in there if _same(at, condition)), None)
            if same is None:
                _open(row, condition, now)
            else:
                there.remove(same)
                _goes_on(same, condition, now)
        for at in there:
            if family(at.key) in found.judged and now - at.held_at >= OVER_AFTER:
                at.over_at = now
                at.save(update_fields=["over_at"])


def _same(at: AlertRow, condition: Condition) -> bool:
    return bool({at.key, *at.kinds.split(",")} & set(condition.all_kinds))


def _open(row: TankRow, condition: Condition, now: datetime) -> None:
    AlertRow.objects.create(
        tank=row,
        opened_at=now,
        held_at=condition.at or now,
        since=condition.since,
        **_told(condition),
    )


def _goes_on(at: AlertRow, condition: Condition, now: datetime) -> None:
    """Let an alert say what holds now; one that has grown more urgent is open again."""
    worse = URGENCIES.index(condition.urgency) < URGENCIES.index(at.urgency)
    for name, value in _told(condition).items():
        # which of its kinds leads may change; it stays the alert it is
        if name != "key":
            setattr(at, name, value)
    at.held_at = max(at.held_at, condition.at or now)
    at.since = min(at.since, condition.since)
    if worse:
        at.seen_at = at.seen_by = at.snoozed_until = None
    at.save()


def _told(condition: Condition) -> dict[str, object]:
    return {
        "key": condition.key[:40],
        "kinds": ",".join(condition.all_kinds),
        "urgency": condition.urgency,
        "title": condition.title,
        "seen": condition.seen,
        "check_first": condition.check,
        "sure": condition.sure,
    }


def acknowledge(at: AlertRow, keeper: Keeper | None, now: datetime) -> bool:
    """Note that somebody has seen an alert: it is told no more. False where it is over."""
    with transaction.atomic():
        found = _locked(at)
        if found is None:
            return False
        if found.seen_at is None:
            found.seen_at, found.seen_by = now, keeper
            found.save(update_fields=["seen_at", "seen_by"])
    return True


def snooze(at: AlertRow, hours: int, now: datetime) -> bool:
    """Let an alert be told again only after some hours. False where it is over.

    Raises InputError for hours that are not offered for it.
    """
    with transaction.atomic():
        found = _locked(at)
        if found is None:
            return False
        if hours not in offered_h(found.urgency):
            raise InputError("It can be put off for " + hours_words(found.urgency) + ".")
        found.snoozed_until, found.seen_at, found.seen_by = now + timedelta(hours=hours), None, None
        found.save(update_fields=["snoozed_until", "seen_at", "seen_by"])
    return True


def offered_h(urgency: str) -> tuple[int, ...]:
    """Return for how many hours an alert of an urgency may be put off."""
    return SNOOZES_H[:1] if urgency == NOW else SNOOZES_H


def hours_words(urgency: str) -> str:
    """Return those hours in words: "1, 4 or 24 hours"."""
    told = [str(hours) for hours in offered_h(urgency)]
    return "1 hour" if len(told) == 1 else f"{', '.join(told[:-1])} or {told[-1]} hours"


def _locked(at: AlertRow) -> AlertRow | None:
    rows = AlertRow.objects.select_for_update().filter(pk=at.pk, over_at__isnull=True)
    return rows.first()


def open_alerts(row: TankRow) -> list[AlertRow]:
    """Return a tank's alerts that are not over, danger first, then the newest first."""
    found = AlertRow.objects.filter(tank=row, over_at__isnull=True).select_related("seen_by")
    return in_order(found)


def past_alerts(row: TankRow, most: int = 30) -> list[AlertRow]:
    """Return a tank's newest alerts that are over, the newest first."""
    found = AlertRow.objects.filter(tank=row, over_at__isnull=False).select_related("seen_by")
    return list(found.order_by("-over_at")[:most])


def in_order(rows: Iterable[AlertRow]) -> list[AlertRow]:
    """Return alerts with danger first, and of the same urgency the newest first."""
    newest = sorted(rows, key=lambda at: at.opened_at, reverse=True)
    return sorted(newest, key=lambda at: URGENCIES.index(at.urgency))


def tidy(now: datetime) -> int:
    """Take out alerts that were over long ago; return how many."""
    found, _ = AlertRow.objects.filter(over_at__lt=now - KEPT).delete()
    return int(found)
