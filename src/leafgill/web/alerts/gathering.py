"""From the store to the facts that the rules go by."""

from __future__ import annotations

from datetime import datetime
from itertools import pairwise
from statistics import median

from leafgill.advise.care import State, due
from leafgill.tank.clock import zone
from leafgill.web.alerts.facts import Facts, Sends
from leafgill.web.care_done import done_last
from leafgill.web.ingest import broker, status
from leafgill.web.models import AnswerRow, ReadingRow, SensorRow, TankRow, TaskRow, TopicRow
from leafgill.web.store.tanks import spec_of

# The usual gap is that of so many newest readings.
_NEWEST = 30


def facts_of(row: TankRow, now: datetime) -> Facts:
    """Return what is known of a tank at an aware moment."""
    here = now.astimezone(zone(spec_of(row).timezone))
    answer = AnswerRow.objects.filter(tank=row).first()
    has_topics = TopicRow.objects.filter(sensor__tank=row).exists()
    away, words = broker_away() if has_topics else (None, "")
    known = answer is not None and bool(answer.payload)
    return Facts(
        now=here,
        began=row.created.astimezone(here.tzinfo),
        payload=answer.payload if answer is not None and answer.payload else {},
        asked_for=_here(answer.asked_for, here) if answer is not None and known else None,
        error=answer.error if answer is not None else "",
        sends=tuple(_sends(row, here)),
        has_topics=has_topics,
        broker_away=_here(away, here),
        broker_words=words,
        overdue=_overdue(row, here),
    )


def _here(at: datetime | None, now: datetime) -> datetime | None:
    return None if at is None else at.astimezone(now.tzinfo)


def _sends(row: TankRow, now: datetime) -> list[Sends]:
    """Return the sensors that have a way in and have sent something by it.

    Those whose readings come as files alone are silent between the files.
    """
    tokens = SensorRow.objects.filter(tank=row, tokenrow__revoked_at__isnull=True)
    open_ways = set(tokens.exclude(tokenrow=None).values_list("pk", flat=True))
    open_ways |= set(TopicRow.objects.filter(sensor__tank=row).values_list("sensor", flat=True))
    found = []
    for sensor in SensorRow.objects.filter(pk__in=open_ways).order_by("pk"):
        rows = ReadingRow.objects.filter(sensor=sensor).order_by("-time_s")
        times = list(rows.values_list("time_s", flat=True)[:_NEWEST])
        if not times:
            continue
        gaps = [later - earlier for later, earlier in pairwise(times)]
        last = datetime.fromtimestamp(times[0], now.tzinfo)
        found.append(Sends(sensor.slug, sensor.name, last, float(median(gaps)) if gaps else 0.0))
    return found


def broker_away() -> tuple[datetime | None, str]:
    """Return since when the broker cannot be reached, and what is known of why."""
    found, how = broker.load(), status.read()
    if found is None or how is None or how.address != found.address:
        return None, ""
    if how.state != status.AWAY:
        return None, ""
    return how.since_when, how.words


def _overdue(row: TankRow, now: datetime) -> tuple[tuple[str, str], ...]:
    """Return (what, how long overdue) of the tasks of the care list."""
    answer = AnswerRow.objects.filter(tank=row).values_list("payload__care", flat=True).first()
    jobs = answer or {}
    found = []
    for task in TaskRow.objects.filter(tank=row).order_by("pk"):
        when = due(task.every_days, done_last(task.last_done, jobs.get(task.what)), now)
        if when.state is State.OVERDUE:
            found.append((task.what, when.words))
    return tuple(found)
