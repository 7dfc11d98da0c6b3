"""What the worker process keeps of the watch between two questions: trackers that go on.

`estimate.watch.watch` fits a diary as it stood on earlier mornings each time it is asked. Here the
fits and the trackers are kept, so that a reading of the electrode costs a step and no fit.
"""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from leafgill.answer import alerts as said
from leafgill.answer.figures import interval_json, plain
from leafgill.diary import Entry
from leafgill.estimate import Belief, TooFewDrawsError, believe
from leafgill.estimate.watch import Tracker
from leafgill.estimate.watch.asked import LEAST_DIARY_H, merged, reference_moments
from leafgill.tank.spec import Tank
from leafgill.web.page_words import page_words
from leafgill.web.working.job import Job, WatchJob

# Where no earlier morning can be held against, the newest belief is, made anew after so long.
ANEW_AFTER = timedelta(hours=6)
# Trackers of so many tanks are kept, some megabytes each, and so many fits, a dozen each; what was
# not asked for longest goes.
MOST_KEPT, MOST_FITS = 16, 8

Entries = tuple[Entry, ...]


@dataclass
class _Followed:
    """One tank's trackers: what they were made from, when, and up to when they have gone."""

    tank: Tank
    entries: Entries
    moments: list[datetime]
    made: datetime
    at: datetime
    trackers: list[Tracker]

    def goes_on(self, job: Job, moments: list[datetime]) -> bool:
        """Return whether only readings of the electrode and time have been added since."""
        return (
            self.at <= job.now
            and self.moments == moments
            and (bool(moments) or job.now - self.made <= ANEW_AFTER)
            and self.tank == job.tank
            and self.entries == tuple(job.diary.entries)
        )


_kept: OrderedDict[int, _Followed] = OrderedDict()
_fits: OrderedDict[tuple[int, datetime], tuple[Tank, Entries, Belief | None]] = OrderedDict()


def watched(job: Job) -> dict[str, Any]:
    """Return {"alerts": what is not as believed, "co2": CO2 by the newest reading}, mg/L.

    A `WatchJob` goes on where the last one of its tank ended, unless something was written by
    hand. Raises TooFewDrawsError.
    """
    number = job.tank_id if isinstance(job, WatchJob) else 0
    moments = _moments(job)
    found = _kept.pop(number, None)
    if found is None or not found.goes_on(job, moments):
        found = _made(job, number, moments)
    tracked = [tracker.run(job.diary, job.now) for tracker in found.trackers]
    found.at = job.now
    # only now: trackers that broke are not gone on with
    _kept[number] = found
    while len(_kept) > MOST_KEPT:
        _kept.popitem(last=False)
    alerts = said.as_json(merged([alert for one in tracked for alert in one.alerts]))
    for alert in alerts:
        for name in ("seen", "explains", "check", "said"):
            alert[name] = page_words(alert[name])
    # the tracker of the youngest fit knows the tank best
    told: dict[str, Any] = plain({"alerts": alerts, "co2": interval_json(tracked[0].co2)})
    return told


def _moments(job: Job) -> list[datetime]:
    """Return the mornings before which there is diary enough, the newest first."""
    first = _first(job)
    if first is None:
        return []
    least = timedelta(hours=LEAST_DIARY_H)
    moments = reference_moments(job.now, job.tank.timezone)
    return [moment for moment in moments if moment - first >= least]


def _first(job: Job) -> datetime | None:
    """Return when the first thing was written or read."""
    diary = job.diary
    times = [entry.time for entry in diary.entries[:1]]
    times += [stream.time(0) for stream in diary.streams.values() if len(stream)]
    return min(times, default=None)


def _made(job: Job, number: int, moments: list[datetime]) -> _Followed:
    beliefs = [fit for moment in moments if (fit := _as_it_stood(job, number, moment)) is not None]
    beliefs = beliefs or [believe(job.tank, job.diary, job.now)]
    trackers = [Tracker.of(job.tank, job.diary, one) for one in beliefs]
    return _Followed(job.tank, tuple(job.diary.entries), moments, job.now, job.now, trackers)


def _as_it_stood(job: Job, number: int, moment: datetime) -> Belief | None:
    """Return the belief of a diary as it stood at a moment, None where it is too poor."""
    then = job.diary.until(moment)
    entries, key = tuple(then.entries), (number, moment)
    kept = _fits.pop(key, None)
    if kept is None or kept[:2] != (job.tank, entries):
        try:
            kept = (job.tank, entries, believe(job.tank, then, moment))
        except TooFewDrawsError:
            kept = (job.tank, entries, None)
    _fits[key] = kept
    while len(_fits) > MOST_FITS:
        _fits.popitem(last=False)
    return kept[2]


def forget() -> None:
    """Let all trackers and fits go."""
    _kept.clear()
    _fits.clear()
