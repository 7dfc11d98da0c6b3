"""The right to send as a sensor: made, shown once, taken back, and known again."""

from __future__ import annotations

import hashlib
import re
import secrets
import threading
import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from django.db import Error

from leafgill.errors import InputError
from leafgill.web.ingest import ways
from leafgill.web.ingest.failing import StoreError, words_of
from leafgill.web.ingest.parcel import Sender, sender_of
from leafgill.web.ingest.ways import Mark
from leafgill.web.models import Keeper, SensorRow, TokenRow
from leafgill.web.store.tanks import spec_of

# So often it is asked whether any token changed; one taken back in this process is gone at once.
KNOWN_S = 5.0
# A sensor has one program that sends, and now and then a new one beside the old.
MOST_EACH = 5
LONGEST_NAME = 60
_MARK = "lg_"
_TOKEN = re.compile(r"lg_[A-Za-z0-9_-]{43}", re.ASCII)
_MOST_KNOWN = 20_000


@dataclass(frozen=True, slots=True)
class Door:
    """What a right token opens: the sensor, and the zone of its tank's clock."""

    sender: Sender
    timezone: str


def make(sensor: SensorRow, name: str, by: Keeper, now: datetime) -> str:
    """Make a token for a sensor; return it, which is kept nowhere.

    Raises InputError when there are too many.
    """
    if open_tokens(sensor).count() >= MOST_EACH:
        raise InputError(f"{MOST_EACH} tokens of this sensor work; take one back first.")
    token = _MARK + secrets.token_urlsafe(32)
    TokenRow.objects.create(
        sensor=sensor,
        token_hash=_hash(token),
        name=" ".join(name.split())[:LONGEST_NAME],
        made_by=by,
        made_at=now,
    )
    return token


def open_tokens(sensor: SensorRow):  # type: ignore[no-untyped-def]
    """Return the tokens of a sensor that work, the oldest first."""
    return TokenRow.objects.filter(sensor=sensor, revoked_at__isnull=True).order_by("pk")


def revoke(sensor: SensorRow, number: int, now: datetime) -> bool:
    """Take a token back; return whether there was one that worked."""
    rows = TokenRow.objects.filter(sensor=sensor, pk=number, revoked_at__isnull=True)
    done = bool(rows.update(revoked_at=now))
    DOORS.forget()
    return done


def _hash(token: str) -> str:
    # a token has 256 bits of chance; a slow hash, which passwords need, would gain nothing
    return hashlib.sha256(token.encode()).hexdigest()


class Doors:
    """Doors by name and token, those that were opened remembered; safe among threads.

    Whether they still hold is asked once in a while for all together: asking for each would be
    most of the work of a server that hundreds of sensors send to.
    """

    def __init__(self, steady: Callable[[], float] = time.monotonic) -> None:
        self._steady = steady
        self._lock = threading.Lock()
        self._known: OrderedDict[tuple[str, str], Door] = OrderedDict()
        self._mark: Mark | None = None
        self._asked_s = float("-inf")

    def open(self, slug: str, token: str) -> Door | None:
        """Return what a token opens at a sensor's name, None where it does not (any more).

        Raises StoreError where the store cannot be asked.
        """
        if not _TOKEN.fullmatch(token):
            return None
        key = (slug, _hash(token))
        try:
            self._look()
            with self._lock:
                found, mark = self._known.get(key), self._mark
            if found is not None:
                return found
            door = _door(*key)
        except Error as wrong:
            raise StoreError(words_of(wrong)) from wrong
        with self._lock:
            # one that was looked up while others were forgotten may be of before
            if door is not None and mark == self._mark:
                self._known[key] = door
                while len(self._known) > _MOST_KNOWN:
                    self._known.popitem(last=False)
        return door

    def _look(self) -> None:
        """Forget the doors where something changed since it was asked last."""
        with self._lock:
            now_s = self._steady()
            if self._mark is not None and now_s - self._asked_s < KNOWN_S:
                return
            self._asked_s = now_s
        found = ways.mark()
        with self._lock:
            if found != self._mark:
                self._known.clear()
                self._mark = found

    def forget(self) -> None:
        """Ask the store again from now on."""
        with self._lock:
            self._known.clear()
            self._mark = None


def _door(slug: str, token_hash: str) -> Door | None:
    found = TokenRow.objects.select_related("sensor__tank").filter(
        token_hash=token_hash, sensor__slug=slug, revoked_at__isnull=True
    )
    row = found.first()
    if row is None:
        return None
    return Door(sender_of(row.sensor), spec_of(row.sensor.tank).timezone)


DOORS = Doors()
