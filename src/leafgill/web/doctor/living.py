"""What has to go on: the app itself, its worker and runners, the probes, the backups."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np

from leafgill.web import pulse
from leafgill.web.doctor.finding import BAD, FINE, LOOK, Finding, span
from leafgill.web.keeping import schedule
from leafgill.web.keeping.backing_up import folder
from leafgill.web.lock import Lock
from leafgill.web.running import BROKEN

# A probe is silent after ten of its own intervals, and not before an hour; one that has sent
# nothing for weeks was put away.
_SILENT_AFTER, _SILENT_AT_LEAST = 10, timedelta(hours=1)
_PUT_AWAY_AFTER = timedelta(days=21)
_AHEAD = timedelta(minutes=5)
_OLD, _VERY_OLD = timedelta(days=2), timedelta(days=14)


def app(now: datetime) -> Finding:
    """Look whether the app runs, its worker works, and nothing beside it keeps breaking."""
    what = "app"
    holder = Lock().holder()
    if holder is None:
        return Finding(what, LOOK, "It does not run; nothing is watched. Start leafgill serve.")
    told = pulse.read()
    age = None if told is None else timedelta(seconds=now.timestamp() - told["at_s"])
    if told is None or age is None or age > timedelta(seconds=pulse.STILL_ALIVE_S):
        since = "" if age is None else f" for {span(age)}"
        return Finding(
            what, BAD, f"It runs (process {holder}) but gave no sign{since}. Start it again."
        )
    if told.get("worker") == "broken":
        return Finding(
            what, BAD, "It runs, but what works figures out does not start. See the log."
        )
    broken = [
        f"{at.get('name')} ({at.get('wrong')})"
        for at in told.get("runners", [])
        if at.get("doing") == BROKEN or at.get("failures", 0) > 1
    ]
    if broken:
        return Finding(what, BAD, f"It runs, but these break: {', '.join(broken)}. See the log.")
    since = span(timedelta(seconds=now.timestamp() - float(told.get("since_s", told["at_s"]))))
    place = f" at {told['place']}" if told.get("place") else ""
    return Finding(what, FINE, f"runs{place} for {since}, worker {told.get('worker')}")


def probes(now: datetime) -> list[Finding]:
    """Look at every probe that sent something in the last weeks. Raises DatabaseError."""
    from leafgill.web.models import SensorRow

    rows = SensorRow.objects.filter(tank__archived_at__isnull=True).select_related("tank")
    found = [_probe(row, now) for row in rows.order_by("tank__name", "name")]
    kept = [finding for finding in found if finding is not None]
    return kept or [Finding("probes", FINE, "none has sent anything in the last weeks")]


def _probe(row, now: datetime) -> Finding | None:  # type: ignore[no-untyped-def]
    from leafgill.web.models import ReadingRow

    newest = ReadingRow.objects.filter(sensor=row).order_by("-time_s")[:20]
    times_s = np.array(list(newest.values_list("time_s", flat=True)))
    if not times_s.size:
        return None
    last = datetime.fromtimestamp(int(times_s[0]), UTC)
    age, what = now - last, f"probe {row.name} of {row.tank.name}"
    if age > _PUT_AWAY_AFTER:
        return None
    if age < -_AHEAD:
        return Finding(
            what, BAD, f"Its newest reading is {span(age)} ahead of this machine's clock."
        )
    usual = float(np.median(-np.diff(times_s))) if times_s.size > 1 else 0.0
    if age > max(_SILENT_AT_LEAST, _SILENT_AFTER * timedelta(seconds=usual)):
        return Finding(what, LOOK, f"Silent for {span(age)}. Look at its cable and its sender.")
    return Finding(what, FINE, f"last reading {span(age)} ago")


def backups(now: datetime) -> Finding:
    """Look how old the newest backup is."""
    what, newest = "backups", schedule.newest()
    if newest is None:
        return Finding(
            what, LOOK, f"There is none in {folder()}. The app makes one a day while it runs."
        )
    age = now - newest
    said = f"The newest in {folder()} is {span(age)} old."
    if age > _VERY_OLD:
        return Finding(what, BAD, f"{said} See the log for why, or make one: leafgill backup")
    if age > _OLD:
        return Finding(what, LOOK, f"{said} The app makes one a day while it runs.")
    return Finding(what, FINE, f"{len(schedule.backups())}, the newest {span(age)} old")
