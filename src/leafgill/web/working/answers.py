"""From rows to a job, and from its outcome back to the row of the answer."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db import transaction

from leafgill.tank.clock import zone
from leafgill.web.clock import now as clock_now
from leafgill.web.models import AnswerRow, TankRow
from leafgill.web.store.entries import recent_diary
from leafgill.web.store.tanks import spec_of
from leafgill.web.working.job import Job, Outcome

# Worked out after the counsel, and kept through the next one with the version they are of.
EXTRAS = ("supply", "rig", "care", "clues", "water", "balance")
EXTRAS_VERSION, EXTRAS_AT = "equipment_version", "equipment_at"
_EXTRAS_GOOD_FOR = timedelta(hours=6)
# What the watch said, with its own moment and version.
WATCH = "watch"
_WATCH_GOOD_FOR = timedelta(minutes=10)
# Watching all tanks takes at most this part of one core.
_WATCH_SHARE = 0.1


@dataclass(frozen=True)
class Question:
    """A job, and the version of the tank it was read from."""

    tank_id: int
    version: int
    job: Job


def question_of(tank_id: int) -> Question | None:
    """Return what is to be worked out for a tank as it is now; None where it is gone."""
    row = TankRow.objects.filter(pk=tank_id).first()
    if row is None:
        return None
    # the version is read first: what is written in between makes the answer older, never newer
    tank = spec_of(row)
    now = clock_now().astimezone(zone(tank.timezone))
    return Question(tank_id, row.version, Job(tank, recent_diary(row, now), now))


def store(asked: Question, outcome: Outcome, seconds: float) -> None:
    """Keep what came of a question; after a failure what was known before stays, named as that.

    What was asked of an older version than the kept one is let go.
    """
    with transaction.atomic():
        if not TankRow.objects.filter(pk=asked.tank_id).exists():
            return
        kept, _ = AnswerRow.objects.select_for_update().get_or_create(tank_id=asked.tank_id)
        if kept.version > asked.version:
            return
        if outcome.payload is None:
            kept.error, kept.failed_version = outcome.error, asked.version
            kept.failed_at, kept.failures = clock_now(), kept.failures + 1
        else:
            kept.payload = {**_extras(kept.payload), **outcome.payload}
            kept.version, kept.asked_for = asked.version, asked.job.now
            kept.made_at, kept.seconds = clock_now(), seconds
            kept.error, kept.failed_version, kept.failed_at, kept.failures = "", 0, None, 0
        kept.save()


def store_extras(asked: Question, extras: dict[str, Any]) -> None:
    """Put the rig and the gas left beside the counsel; where it is newer, with their version."""
    with transaction.atomic():
        kept = AnswerRow.objects.select_for_update().filter(tank_id=asked.tank_id).first()
        if kept is None or kept.payload is None:
            return
        about = {EXTRAS_VERSION: asked.version, EXTRAS_AT: asked.job.now.isoformat()}
        kept.payload = {**kept.payload, **extras, **about}
        kept.save(update_fields=["payload"])


def extras_missing(tank_id: int) -> bool:
    """Return whether rig and gas left are of an older version than the counsel, or of long ago."""
    kept = kept_answer(tank_id)
    if kept is None or kept.payload is None or kept.asked_for is None:
        return False
    if kept.payload.get(EXTRAS_VERSION, 0) < kept.version:
        return True
    age: timedelta = kept.asked_for - datetime.fromisoformat(kept.payload[EXTRAS_AT])
    return abs(age) > _EXTRAS_GOOD_FOR


def store_watch(asked: Question, outcome: Outcome, seconds: float) -> None:
    """Put what the watch said beside the counsel; where it failed, why, and nothing else."""
    with transaction.atomic():
        kept = AnswerRow.objects.select_for_update().filter(tank_id=asked.tank_id).first()
        if kept is None or kept.payload is None:
            return
        told = {
            "at": asked.job.now.isoformat(),
            "version": asked.version,
            "seconds": round(seconds, 3),
            "error": outcome.error,
            **(outcome.payload or {"alerts": None}),
        }
        kept.payload = {**kept.payload, WATCH: told}
        kept.save(update_fields=["payload"])


def watch_missing(tank_id: int, now: datetime) -> bool:
    """Return whether the watch has not seen a version, or not for a while.

    With many tanks, or on a slow machine, a while is longer.
    """
    kept = kept_answer(tank_id)
    if kept is None or kept.payload is None:
        return False
    told = kept.payload.get(WATCH)
    if told is None:
        return True
    age = abs(now - datetime.fromisoformat(told["at"]))
    tanks = TankRow.objects.filter(archived_at__isnull=True).count()
    least = timedelta(seconds=told["seconds"] * tanks / _WATCH_SHARE)
    if told["version"] < kept.version:
        return bool(age >= min(least, _WATCH_GOOD_FOR))
    return bool(age >= max(least, _WATCH_GOOD_FOR))


def kept_answer(tank_id: int) -> AnswerRow | None:
    """Return the row of what was last worked out."""
    return AnswerRow.objects.filter(tank_id=tank_id).first()


def version_of(tank_id: int) -> int:
    """Return the tank's version as it stands in the store; 0 where the tank is gone."""
    found = TankRow.objects.filter(pk=tank_id).values_list("version", flat=True).first()
    return 0 if found is None else int(found)


def failed_lately(kept: AnswerRow, version: int, now: datetime, wait_s: float) -> bool:
    """Return whether this very version failed a short while ago, so that it is not asked again."""
    if not kept.error or kept.failed_version != version or kept.failed_at is None:
        return False
    since: timedelta = now - kept.failed_at
    return abs(since) < timedelta(seconds=wait_s)


def _extras(payload: dict[str, Any] | None) -> dict[str, Any]:
    names = (*EXTRAS, EXTRAS_VERSION, EXTRAS_AT, WATCH)
    return {name: payload[name] for name in names if name in payload} if payload else {}
