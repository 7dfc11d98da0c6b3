"""What a keeper replies to a step: the step as it was shown, and the entries a reply means."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

from django.core import signing
from django.db import transaction

from leafgill.diary import Entry, Kind
from leafgill.web.models import EntryRow, Keeper, StepRow, TankRow
from leafgill.web.store.entries import add_entry

DONE, NOT_NOW, FISH = "done", "not now", "fish"
# The actions after which the valve stands at the step's rate.
SETS_RATE = ("raise", "lower", "first setting", "emergency")
# A step is followed while its page is open; one that lay about longer is not.
GOOD_FOR = timedelta(hours=2)
# So long what was replied is still told beside the same step.
REMEMBERED = timedelta(hours=6)
_SALT = "leafgill.web.step"


def sealed(row: TankRow, payload: Mapping[str, Any]) -> str:
    """Return the step of an answer as a form carries it, so that the reply is to what was seen.

    The answer may be another by the time the reply comes.
    """
    step = payload["step"]
    told = {
        "tank": row.public_id,
        # two steps of one moment are told apart by what was written in between
        "version": row.version,
        "asked_for": payload["now"],
        "what": payload["said"]["what_to_do"],
        "action": step["action"],
        "rate_per_s": step["rate_per_s"],
        "schedule": step["schedule"],
        "air": step["air"],
        "look_at": step["look_at"],
    }
    return signing.dumps(told, salt=_SALT, compress=True)


def unsealed(row: TankRow, text: str) -> dict[str, Any] | None:
    """Return the step that a form carried; None where it is not one of this tank's."""
    try:
        told = signing.loads(text, salt=_SALT)
    except signing.BadSignature:
        return None
    return told if isinstance(told, dict) and told.get("tank") == row.public_id else None


def too_old(step: Mapping[str, Any], now: datetime) -> bool:
    """Return whether a step is of so long ago that it must not be followed any more."""
    return abs(now - datetime.fromisoformat(step["asked_for"])) > GOOD_FOR


def entries_of(step: Mapping[str, Any], now: datetime) -> list[Entry]:
    """Return what a followed step writes into the diary at an aware moment."""
    found = []
    if step["action"] in SETS_RATE and step["rate_per_s"] is not None:
        found.append(Entry(now, Kind.BUBBLE_RATE, f"{step['rate_per_s']:g}", "per s"))
    if step["schedule"]:
        found.append(Entry(now, Kind.GAS_DAY, step["schedule"]))
    if step["air"]:
        found.append(Entry(now, Kind.AIR_DAY, step["air"]))
    return found


def reply_to(
    row: TankRow, step: dict[str, Any], reply: str, keeper: Keeper, now: datetime
) -> list[EntryRow] | None:
    """Note a reply, and write what it means into the diary; return the entries' rows.

    None where the step was followed already: of two that reply at once one is heard.
    """
    asked_for = datetime.fromisoformat(step["asked_for"])
    with transaction.atomic():
        # the tank's row is the turnstile
        TankRow.objects.select_for_update().get(pk=row.pk)
        found = StepRow.objects.filter(
            tank=row, made_at=asked_for, payload__version=step["version"]
        ).first()
        if found is not None and found.reply == DONE:
            return None
        at = found or StepRow(tank=row, made_at=asked_for, payload=step)
        at.reply, at.replied_at = reply, now
        at.save()
        entries = entries_of(step, now) if reply == DONE else []
        return [add_entry(row, entry, keeper) for entry in entries]


def last_reply(row: TankRow, what: str, now: datetime) -> StepRow | None:
    """Return the newest reply to a step that says the same, if it is not long ago."""
    found = (
        StepRow.objects.filter(tank=row, replied_at__gte=now - REMEMBERED, replied_at__lte=now)
        .exclude(reply="")
        .order_by("-replied_at", "-pk")
        .first()
    )
    return found if found is not None and found.payload.get("what") == what else None
