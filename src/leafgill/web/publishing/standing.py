"""From the store to what permission is decided by, and to what is published of a tank."""

from __future__ import annotations

from datetime import datetime

from django.db.models import Q

from leafgill.answer.alerts import NOW
from leafgill.tank.clock import zone
from leafgill.web.alert_models import AlertRow
from leafgill.web.alerts.book import open_alerts
from leafgill.web.models import EntryRow, SpecRow, TankRow
from leafgill.web.publishing.permission import Standing
from leafgill.web.store.tanks import spec_of
from leafgill.web.working import answers


class Memory:
    """What a publisher remembers of a tank from one look to the next."""

    def __init__(self, row: TankRow) -> None:
        kept = answers.kept_answer(row.pk)
        # what was worked out before it began is never taken for new, whatever the clocks say
        self.old = None if kept is None else kept.made_at
        self.behind_since: datetime | None = None


def standing_of(
    row: TankRow, memory: Memory, now: datetime, alerts: list[AlertRow] | None = None
) -> Standing:
    """Return what permission for a tank's gas is decided by at an aware moment."""
    # the version before the answer: what is written in between makes it behind, never ahead
    version = answers.version_of(row.pk)
    kept = answers.kept_answer(row.pk)
    here = now.astimezone(zone(spec_of(row).timezone))
    there = open_alerts(row) if alerts is None else alerts
    dangers = tuple(at.title for at in there if at.urgency == NOW)
    if kept is None or not kept.payload or kept.asked_for is None:
        return Standing(here, dangers=dangers)
    behind = kept.version != version
    memory.behind_since = (memory.behind_since or here) if behind else None
    return Standing(
        now=here,
        payload=kept.payload,
        asked_for=kept.asked_for.astimezone(here.tzinfo),
        is_new=kept.made_at is not None and kept.made_at != memory.old,
        by_hand=behind and _by_hand(row, kept.asked_for),
        behind_since=memory.behind_since,
        dangers=dangers,
    )


def _by_hand(row: TankRow, since: datetime) -> bool:
    """Return whether something was written, taken out or described anew since a moment."""
    entries = EntryRow.objects.filter(tank=row)
    if entries.filter(Q(made_at__gte=since) | Q(removed_at__gte=since)).exists():
        return True
    return SpecRow.objects.filter(tank=row, valid_from__gte=since).exists()
