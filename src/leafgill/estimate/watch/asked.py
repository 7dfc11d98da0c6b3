"""What a diary shows that is not as believed: the watch that the rest of the house asks."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from leafgill.diary import Diary
from leafgill.errors import InputError
from leafgill.estimate.belief import Belief
from leafgill.estimate.believe import believe
from leafgill.estimate.fit import TooFewDrawsError
from leafgill.estimate.watch.alert import URGENCIES, Alert
from leafgill.estimate.watch.tracker import Tracker
from leafgill.tank.spec import Tank

# A fit that has seen a fault has learnt to explain it, so what is new is held against fits that
# ended before: every other morning at this hour, the two newest. The younger knows the tank
# better, the older sees what grows slowly.
REFERENCE_HOUR, EVERY_DAYS, REFERENCES = 7, 2, 2
# With less diary than this before it, a fit knows too little to doubt by [h].
LEAST_DIARY_H = 46.0


def watch(tank: Tank, diary: Diary, belief: Belief, now: datetime) -> list[Alert]:
    """Return what is not as believed at `now`, the most urgent first; mostly nothing.

    `belief` is held against all that came after it. What it has itself been fitted to it cannot
    doubt, so the diary is also fitted as it stood on earlier mornings (`reference_moments`). `now`
    is aware or naive by the tank's clock. Raises InputError for a `now` before the belief's.
    """
    if now.tzinfo is None:
        now = now.replace(tzinfo=ZoneInfo(tank.timezone))
    if now < belief.now:
        raise InputError(f"now {now:%Y-%m-%dT%H:%M} is before the belief it is to be held against")
    known = diary if diary.timezone is not None else diary.localised(tank.timezone)
    seen = known.until(now)
    held_against = [belief] if now > belief.now else []
    first_s = belief.problem.evidence.start_s
    for moment in reference_moments(now, tank.timezone):
        if moment != belief.now and moment.timestamp() - first_s >= LEAST_DIARY_H * 3600.0:
            held_against += _as_it_stood(tank, seen, moment, belief.count)
    alerts: list[Alert] = []
    for reference in held_against:
        alerts += Tracker.of(tank, seen, reference).run(seen, now).alerts
    return merged(alerts)


def reference_moments(now: datetime, timezone: str) -> list[datetime]:
    """Return the mornings whose fits a moment is held against, the newest first.

    Every other day of the calendar, so that all moments of two days share theirs.
    """
    local = now.astimezone(ZoneInfo(timezone))
    day = local.replace(hour=REFERENCE_HOUR, minute=0, second=0, microsecond=0)
    if day > local:
        day -= timedelta(days=1)
    day -= timedelta(days=day.toordinal() % EVERY_DAYS)
    return [day - timedelta(days=EVERY_DAYS * k) for k in range(REFERENCES)]


def merged(alerts: list[Alert]) -> list[Alert]:
    """Return one alert for each leading fault, the surest of them; the most urgent first."""
    best: dict[str, Alert] = {}
    for alert in alerts:
        if alert.kind not in best or alert.sure > best[alert.kind].sure:
            best[alert.kind] = alert
    return sorted(best.values(), key=lambda a: (URGENCIES.index(a.urgency), a.since))


def _as_it_stood(tank: Tank, diary: Diary, then: datetime, count: int) -> list[Belief]:
    try:
        return [believe(tank, diary.until(then), then, count=count)]
    except TooFewDrawsError:
        return []
