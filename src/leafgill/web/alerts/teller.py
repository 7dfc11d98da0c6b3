"""The teller: tells keepers of open alerts by their channels, each as often as is due."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from datetime import datetime

from leafgill.answer.alerts import NOW
from leafgill.tank.clock import zone
from leafgill.web.alert_models import OPEN, AlertRow, ChannelRow, TellingRow, ToldRow
from leafgill.web.alerts import addresses
from leafgill.web.alerts.book import in_order
from leafgill.web.alerts.sending import send
from leafgill.web.alerts.text import TEST, text_of
from leafgill.web.alerts.when import Before, is_due, is_quiet, retry_after
from leafgill.web.clock import now as clock_now
from leafgill.web.models import Keeper, TankRow
from leafgill.web.store.tanks import spec_of

log = logging.getLogger(__name__)
EVERY_S = 15.0
Send = Callable[..., str]


class Teller:
    """A runner that tells what is due, every quarter of a minute."""

    name = "teller"

    def __init__(self, every_s: float = EVERY_S) -> None:
        self._every_s = every_s

    def run(self, stop: threading.Event) -> None:
        """Begin with a round at once; a telling that has begun is finished."""
        while not stop.is_set():
            tell_all(clock_now(), stop)
            stop.wait(self._every_s)


def tell_all(now: datetime, stop: threading.Event | None = None, way: Send = send) -> int:
    """Tell every keeper what is due at an aware moment; return how many texts were taken."""
    known, taken = addresses.load(), 0
    channels = ChannelRow.objects.filter(keeper__is_active=True).select_related("keeper")
    for channel in channels.order_by("pk"):
        if stop is not None and stop.is_set():
            break
        if channel.next_try is not None and now < channel.next_try:
            continue
        taken += _tell(channel, known.get(channel.slug), now, way)
    return taken


def _tell(channel: ChannelRow, address: str | None, now: datetime, way: Send) -> int:
    """Tell by one channel, danger first; what fails ends its turn."""
    taken = 0
    for tank, alerts in _due(channel, now):
        here = now.astimezone(zone(spec_of(tank).timezone))
        title, body = text_of(tank.name, alerts, here)
        urgent = alerts[0].urgency == NOW
        if note(channel, _sent(address, way, title, body, urgent), now):
            return taken
        for at in alerts:
            _note_told(at, channel, now)
        taken += 1
    return taken


def _sent(address: str | None, way: Send, title: str, body: str, urgent: bool) -> str:
    if address is None:
        return "its address is not kept here any more; add it again"
    return way(address, title, body, urgent=urgent)


def _due(channel: ChannelRow, now: datetime) -> list[tuple[TankRow, list[AlertRow]]]:
    """Return each tank with its alerts that are due by a channel, danger first."""
    quiet = keeper_is_quiet(channel.keeper, now)
    rows = AlertRow.objects.filter(
        tank__share__keeper=channel.keeper, tank__archived_at__isnull=True, over_at__isnull=True
    ).select_related("tank")
    told = {row.alert_id: row for row in ToldRow.objects.filter(channel=channel, alert__in=rows)}
    found: dict[int, list[AlertRow]] = {}
    for at in in_order(rows):
        row = told.get(at.pk)
        before = None if row is None else Before(row.count, row.told_at, row.urgency)
        if at.state_at(now) == OPEN and is_due(at.urgency, before, at.snoozed_until, now, quiet):
            found.setdefault(at.tank_id, []).append(at)
    return [(alerts[0].tank, alerts) for alerts in found.values()]


def keeper_is_quiet(keeper: Keeper, now: datetime) -> bool:
    """Return whether a keeper has quiet hours at an aware moment."""
    row = TellingRow.objects.filter(keeper=keeper).first()
    if row is None:
        return False
    return is_quiet(row.quiet_from, row.quiet_until, now.astimezone(zone(keeper.time_zone)).time())


def _note_told(at: AlertRow, channel: ChannelRow, now: datetime) -> None:
    row, made = ToldRow.objects.get_or_create(
        alert=at, channel=channel, defaults={"count": 1, "told_at": now, "urgency": at.urgency}
    )
    if not made:
        row.count = 1 if row.urgency != at.urgency else row.count + 1
        row.told_at, row.urgency = now, at.urgency
        row.save(update_fields=["count", "told_at", "urgency"])


def note(channel: ChannelRow, wrong: str, now: datetime) -> bool:
    """Note how a telling went, "" for well; return whether it failed."""
    if wrong:
        channel.failures, channel.error = channel.failures + 1, wrong
        channel.next_try = now + retry_after(channel.failures)
        log.warning("telling by channel %s failed: %s", channel.pk, wrong)
    else:
        channel.failures, channel.error, channel.next_try, channel.told_at = 0, "", None, now
    # one that was taken away meanwhile stays away
    ChannelRow.objects.filter(pk=channel.pk).update(
        failures=channel.failures,
        error=channel.error,
        next_try=channel.next_try,
        told_at=channel.told_at,
    )
    return bool(wrong)


def try_out(channel: ChannelRow, now: datetime, way: Send = send) -> str:
    """Send a test by a channel; return "" where it was taken, else why not."""
    title, body = TEST
    wrong = _sent(addresses.load().get(channel.slug), way, title, body, False)
    note(channel, wrong, now)
    return wrong
