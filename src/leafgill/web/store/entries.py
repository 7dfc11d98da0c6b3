"""The diary in rows."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta, tzinfo

from django.db import transaction

from leafgill.diary import Diary, Entry, Stream, written
from leafgill.estimate.evidence import LOOK_BACK_DAYS
from leafgill.tank.clock import zone
from leafgill.web.clock import now as clock_now
from leafgill.web.models import EntryRow, Keeper, SensorRow, TankRow
from leafgill.web.store.readings import readings_between
from leafgill.web.store.tanks import spec_of, touch

# A belief looks back so far; a day more lets what was read just before it in.
STREAM_DAYS = LOOK_BACK_DAYS + 1.0


def add_entry(row: TankRow, entry: Entry, keeper: Keeper | None) -> EntryRow:
    """Write an entry with an aware time into a tank's diary."""
    with transaction.atomic():
        made = _row(row, entry, keeper)
        made.save()
        touch(row)
    return made


def add_entries(row: TankRow, entries: Iterable[Entry], keeper: Keeper | None) -> int:
    """Write many entries at once; return how many."""
    with transaction.atomic():
        made = EntryRow.objects.bulk_create(
            (_row(row, entry, keeper) for entry in entries), batch_size=1000
        )
        if made:
            touch(row)
    return len(made)


def _row(row: TankRow, entry: Entry, keeper: Keeper | None) -> EntryRow:
    return EntryRow(tank=row, made_by=keeper, made_at=clock_now(), **_columns(entry))


def _columns(entry: Entry) -> dict[str, str | datetime]:
    if entry.time.tzinfo is None:
        raise ValueError(f"the entry's time {entry.time:%Y-%m-%dT%H:%M} has no zone")
    return {
        "time": entry.time,
        "kind": entry.kind.value,
        "value": written(entry),
        "unit": entry.unit,
        "note": entry.note,
    }


def edit_entry(at: EntryRow, entry: Entry, keeper: Keeper | None) -> None:
    """Let an entry say something else."""
    for name, value in _columns(entry).items():
        setattr(at, name, value)
    at.made_by = keeper
    with transaction.atomic():
        at.save()
        touch(at.tank)


def remove_entry(at: EntryRow, keeper: Keeper | None) -> None:
    """Take an entry out; it stays in its row and can be put back."""
    del keeper
    at.removed_at = clock_now()
    with transaction.atomic():
        at.save(update_fields=["removed_at"])
        touch(at.tank)


def restore_entry(at: EntryRow, keeper: Keeper | None) -> None:
    """Put an entry back that was taken out."""
    del keeper
    at.removed_at = None
    with transaction.atomic():
        at.save(update_fields=["removed_at"])
        touch(at.tank)


def entry_of(at: EntryRow, here: tzinfo) -> Entry:
    """Return the entry of a row by a zone's clock.

    The zone is the tank's: a clock time in the note ("glass drawn 08:00") is read on it.
    """
    return Entry(at.time.astimezone(here), at.kind, at.value, at.unit, at.note)


def diary_of(
    row: TankRow,
    *,
    since: datetime | None = None,
    until: datetime | None = None,
    streams: bool = True,
    streams_since: datetime | None = None,
) -> Diary:
    """Return a tank's diary with its streams, localised.

    Entries between two moments where they are given, all otherwise; `streams_since` limits the
    readings. Without `streams` none are read.
    """
    rows = EntryRow.objects.filter(tank=row, removed_at__isnull=True)
    if since is not None:
        rows = rows.filter(time__gte=since)
    if until is not None:
        rows = rows.filter(time__lte=until)
    timezone = spec_of(row).timezone
    here = zone(timezone)
    entries = [entry_of(at, here) for at in rows.order_by("time", "pk")]
    found = _streams(row, streams_since or since, until) if streams else {}
    return Diary(entries, found, timezone=timezone)


def recent_diary(row: TankRow, now: datetime) -> Diary:
    """Return the diary as a belief reads it: all entries, and the readings of its look-back."""
    since = now - timedelta(days=STREAM_DAYS)
    return diary_of(row, until=now, streams_since=since)


def _streams(row: TankRow, since: datetime | None, until: datetime | None) -> dict[str, Stream]:
    """Return each kind of sensor's readings; of two sensors of a kind the later one's name wins."""
    first = 0 if since is None else int(since.timestamp())
    last = 2**62 if until is None else int(until.timestamp())
    found = {}
    for sensor in SensorRow.objects.filter(tank=row).order_by("pk"):
        times_s, values = readings_between(sensor, first, last)
        if times_s.size or sensor.kind not in found:
            found[sensor.kind] = Stream(sensor.kind, times_s, values, local=False)
    return found
