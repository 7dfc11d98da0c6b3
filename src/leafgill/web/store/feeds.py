"""A keeper's calendar by a link: made, taken back, and what is in it."""

from __future__ import annotations

import hashlib
import re
import secrets
from datetime import datetime

from leafgill.tank.clock import zone
from leafgill.web.calendar_events import Care, Planned, planned
from leafgill.web.models import AnswerRow, FeedRow, Keeper, TankRow, TaskRow
from leafgill.web.store.tanks import spec_of

_TOKEN = re.compile(r"[A-Za-z0-9_-]{43}", re.ASCII)


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def make_feed(keeper: Keeper, now: datetime) -> str:
    """Make a keeper's calendar; return the token of its link, which is kept nowhere.

    A link that was there before works no more.
    """
    token = secrets.token_urlsafe(32)
    FeedRow.objects.update_or_create(
        keeper=keeper, defaults={"token_hash": _hash(token), "made_at": now}
    )
    return token


def revoke_feed(keeper: Keeper) -> None:
    """Let the link of a keeper's calendar work no more."""
    FeedRow.objects.filter(keeper=keeper).delete()


def feed_made(keeper: Keeper) -> datetime | None:
    """Return when a keeper's calendar was made, None where there is none."""
    return FeedRow.objects.filter(keeper=keeper).values_list("made_at", flat=True).first()


def keeper_of_feed(token: str) -> Keeper | None:
    """Return whose calendar a link gives, None where it does not work (any more)."""
    if not _TOKEN.fullmatch(token):
        return None
    found = FeedRow.objects.select_related("keeper").filter(
        token_hash=_hash(token), keeper__is_active=True
    )
    feed = found.first()
    return None if feed is None else feed.keeper


def plans_of(row: TankRow, now: datetime) -> tuple[Planned, ...]:
    """Return what is planned at a tank, by its clock."""
    here = now.astimezone(zone(spec_of(row).timezone))
    answer = AnswerRow.objects.filter(tank=row).first()
    payload = answer.payload if answer is not None and answer.payload else {}
    made_at = answer.made_at if answer is not None else None
    tasks = [
        Care(task.pk, task.what, task.every_days, task.last_done, task.note)
        for task in TaskRow.objects.filter(tank=row).order_by("pk")
    ]
    return tuple(planned(tasks, payload, made_at, here))
